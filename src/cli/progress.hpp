#pragma once
/// A progress bar on the terminal, for work that takes more than half a second; nothing elsewhere.

#include <chrono>
#include <cstddef>
#include <string>

#include "cli/context.hpp"

namespace shearpin::cli {

class Progress {
 public:
  Progress(const Context& context, std::string what);
  ~Progress() { clear(); }
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  /// `done` of `all`; drawn at most ten times a second, on standard error.
  void show(std::size_t done, std::size_t all);
  /// Takes the bar away.
  void clear();

 private:
  using Clock = std::chrono::steady_clock;
  const Context& context_;
  std::string what_;
  Clock::time_point began_, drawn_;
  bool visible_ = false;
};

}  // namespace shearpin::cli
