/// Times commands in turn: each round runs every command once, so that whatever else the machine
/// does falls on all alike. Process start to exit, by the monotonic clock; largest resident memory
/// from the kernel's own account.
///   bench_compare ROUNDS NAME COMMAND [WORD ...] [-- NAME COMMAND [WORD ...]] ...
/// One line a command: name, median, lower and upper quartile in ms, ratio of medians to the
/// first, largest resident memory in MiB. Words that hold %R get the round's number there.

#include <fcntl.h>
#include <fmt/format.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <stdexcept>
#include <string>
#include <vector>

extern char** environ;

namespace {

struct Timed {
  std::string name;
  std::vector<std::string> words;
  std::vector<double> milliseconds;
  long peak_kib = 0;
};

std::vector<std::string> for_round(const std::vector<std::string>& words, int round) {
  std::vector<std::string> result = words;
  for (auto& word : result) {
    if (const auto at = word.find("%R"); at != std::string::npos) {
      word.replace(at, 2, std::to_string(round));
    } else if (const auto padded = word.find("%5R"); padded != std::string::npos) {
      word.replace(padded, 3, fmt::format("{:05}", round + 1));
    }
  }
  return result;
}

/// Output to nowhere; errors stay visible. Exit code 10 (something is due) is an answer too.
void run_once(Timed& timed, int round, bool keep) {
  auto words = for_round(timed.words, round);
  std::vector<char*> arguments;
  for (auto& word : words) {
    arguments.push_back(word.data());
  }
  arguments.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, 0, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&actions, 1, "/dev/null", O_WRONLY, 0);
  const auto start = std::chrono::steady_clock::now();
  pid_t child = 0;
  const int failed =
      posix_spawnp(&child, arguments[0], &actions, nullptr, arguments.data(), environ);
  if (failed != 0) {
    throw std::runtime_error(fmt::format("{} cannot be started", timed.words.front()));
  }
  int status = 0;
  rusage usage{};
  wait4(child, &status, 0, &usage);
  const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
  posix_spawn_file_actions_destroy(&actions);
  const bool fine = WIFEXITED(status) && (WEXITSTATUS(status) == 0 || WEXITSTATUS(status) == 10);
  if (!fine) {
    throw std::runtime_error(fmt::format("{} failed in round {}", timed.name, round));
  }
  if (keep) {
    timed.milliseconds.push_back(took.count());
    timed.peak_kib = std::max(timed.peak_kib, usage.ru_maxrss);
  }
}

double quantile(const std::vector<double>& sorted, double share) {
  const double at = share * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<std::size_t>(at);
  const auto above = std::min(below + 1, sorted.size() - 1);
  return sorted[below] + (at - static_cast<double>(below)) * (sorted[above] - sorted[below]);
}

std::vector<Timed> read(int argc, char** argv) {
  std::vector<Timed> all;
  for (int i = 2; i < argc; ++i) {
    const std::string word = argv[i];
    if (word == "--" || all.empty()) {
      i += word == "--" ? 1 : 0;
      if (i + 1 >= argc) {
        throw std::invalid_argument("a name and a command belong together");
      }
      all.push_back({argv[i], {}, {}, 0});
    } else {
      all.back().words.push_back(word);
    }
  }
  return all;
}

int measure(int argc, char** argv) {
  const int rounds = argc > 1 ? std::atoi(argv[1]) : 0;
  auto all = read(argc, argv);
  if (rounds < 1 || all.empty()) {
    std::fputs("bench_compare ROUNDS NAME COMMAND [WORD ...] [-- NAME COMMAND ...]\n", stderr);
    return 2;
  }
  for (int round = 0; round <= rounds; ++round) {  // the first round only warms the caches
    for (auto& timed : all) {
      run_once(timed, round, round > 0);
    }
  }
  double first = 0;
  for (auto& timed : all) {
    std::sort(timed.milliseconds.begin(), timed.milliseconds.end());
    const double median = quantile(timed.milliseconds, 0.5);
    first = first > 0 ? first : median;
    fmt::print("{}\t{:.2f}\t{:.2f}\t{:.2f}\t{:.3f}\t{:.1f}\n", timed.name, median,
               quantile(timed.milliseconds, 0.25), quantile(timed.milliseconds, 0.75),
               median / first, static_cast<double>(timed.peak_kib) / 1024);
  }
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return measure(argc, argv);
  } catch (const std::exception& error) {
    fmt::print(stderr, "bench_compare: {}\n", error.what());
    return 1;
  }
}
