#pragma once
/// Runs independent pieces of work on the machine's threads.

#include <atomic>
#include <cstddef>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace shearpin::advice {

/// Calls work(i) for every i below `count`. Each call must touch only its own slot of the results,
/// so that the outcome does not depend on the number of threads. The first exception (by index
/// order of arrival) is thrown again here.
template <class Work>
void for_each_index(std::size_t count, const Work& work) {
  const std::size_t threads =
      std::min<std::size_t>(count / 4, std::max(1u, std::thread::hardware_concurrency()));
  if (threads < 2) {
    for (std::size_t i = 0; i < count; ++i) {
      work(i);
    }
    return;
  }
  std::atomic<std::size_t> next{0};
  std::exception_ptr failure;
  std::mutex failure_lock;
  const auto worker = [&] {
    for (std::size_t i = next++; i < count; i = next++) {
      try {
        work(i);
      } catch (...) {  // handed to the caller below, not swallowed
        const std::lock_guard lock(failure_lock);
        if (!failure) {
          failure = std::current_exception();
        }
      }
    }
  };
  {
    std::vector<std::jthread> running;
    for (std::size_t t = 1; t < threads; ++t) {
      running.emplace_back(worker);
    }
    worker();
  }
  if (failure) {
    std::rethrow_exception(failure);
  }
}

}  // namespace shearpin::advice
