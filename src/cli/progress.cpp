#include "cli/progress.hpp"

#include <fmt/format.h>

#include <ostream>

namespace shearpin::cli {
namespace {

constexpr auto kPatience = std::chrono::milliseconds(500);
constexpr auto kBetween = std::chrono::milliseconds(100);
constexpr std::size_t kBar = 30;

}  // namespace

Progress::Progress(const Context& context, std::string what)
    : context_(context), what_(std::move(what)), began_(Clock::now()) {}

void Progress::show(std::size_t done, std::size_t all) {
  const auto now = Clock::now();
  if (!context_.out_is_terminal || all == 0 || now - began_ < kPatience ||
      now - drawn_ < kBetween) {
    return;
  }
  const std::size_t filled = kBar * done / all;
  context_.bar << fmt::format("\r{} [{}{}] {:3} %", what_, std::string(filled, '#'),
                              std::string(kBar - filled, '.'), 100 * done / all)
               << std::flush;
  drawn_ = now;
  visible_ = true;
}

void Progress::clear() {
  if (visible_) {
    context_.bar << '\r' << std::string(what_.size() + kBar + 9, ' ') << '\r' << std::flush;
    visible_ = false;
  }
}

}  // namespace shearpin::cli
