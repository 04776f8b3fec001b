#include "ledger/uuid.hpp"

#include <fmt/format.h>

#include <charconv>
#include <chrono>
#include <stdexcept>

namespace shearpin::ledger {
namespace {

constexpr std::uint64_t kCounterBits = 26;
constexpr std::uint64_t kCounterEnd = std::uint64_t{1} << kCounterBits;
constexpr std::uint64_t kLowBits = 14;  // of the counter, beside the variant

std::uint64_t number(std::string_view text, int base) {
  std::uint64_t value = 0;
  const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), value, base);
  if (failure != std::errc() || end != text.data() + text.size()) {
    throw std::logic_error("an instant or uuid of a wrong form");
  }
  return value;
}

std::uint64_t milliseconds_of(std::string_view written) {
  if (written.size() < 20 || written[10] != 'T' || written.back() != 'Z') {
    throw std::logic_error("an instant is not of the form 2026-05-25T18:03:07.123Z");
  }
  const auto part = [written](std::size_t at, std::size_t size) {
    return number(written.substr(at, size), 10);
  };
  const std::chrono::year_month_day date{std::chrono::year{static_cast<int>(part(0, 4))},
                                         std::chrono::month{static_cast<unsigned>(part(5, 2))},
                                         std::chrono::day{static_cast<unsigned>(part(8, 2))}};
  if (!date.ok()) throw std::logic_error("an instant on no day of the calendar");
  const auto days = std::chrono::sys_days(date).time_since_epoch().count();
  const std::uint64_t seconds = static_cast<std::uint64_t>(days) * 86400 + part(11, 2) * 3600 +
                                part(14, 2) * 60 + part(17, 2);
  const std::uint64_t fraction = written.size() >= 24 ? part(20, 3) : 0;
  return seconds * 1000 + fraction;
}

}  // namespace

UuidMaker::UuidMaker(std::string_view written, std::string_view latest)
    : milliseconds_(milliseconds_of(written)) {
  // The top bits start at nought so that a long import does not run out of numbers.
  counter_ = random_() & ((kCounterEnd >> 4) - 1);
  if (latest.size() != 36) return;
  const std::uint64_t last =
      (number(latest.substr(0, 8), 16) << 16) + number(latest.substr(9, 4), 16);
  if (last < milliseconds_) return;
  milliseconds_ = last;
  counter_ = ((number(latest.substr(15, 3), 16) << kLowBits) |
              (number(latest.substr(19, 4), 16) & ((1u << kLowBits) - 1))) +
             1;
}

std::string UuidMaker::next() {
  if (counter_ >= kCounterEnd) {
    ++milliseconds_;
    counter_ = 0;
  }
  const std::uint64_t counter = counter_++;
  const std::uint64_t low = 0x8000 | (counter & ((1u << kLowBits) - 1));
  const std::uint64_t tail = ((std::uint64_t{random_()} << 32) | random_()) & 0xffffffffffff;
  return fmt::format("{:08x}-{:04x}-7{:03x}-{:04x}-{:012x}", milliseconds_ >> 16,
                     milliseconds_ & 0xffff, counter >> kLowBits, low, tail);
}

}  // namespace shearpin::ledger
