#pragma once
/// Names of entries that sort by time and stay unique when two ledgers are joined.

#include <cstdint>
#include <random>
#include <string>
#include <string_view>

namespace shearpin::ledger {

/// Makes version 7 uuids (RFC 9562, section 5.7; 26-bit counter as in its section 6.2, method 1),
/// each greater than the one before and than `latest`, even where the clock was set back.
class UuidMaker {
 public:
  /// `written` is a UTC instant, 2026-05-25T18:03:07.123Z (fraction optional); std::logic_error
  /// otherwise. `latest` is the greatest uuid so far, may be empty.
  UuidMaker(std::string_view written, std::string_view latest);
  std::string next();

 private:
  std::uint64_t milliseconds_ = 0;
  std::uint64_t counter_ = 0;
  std::random_device random_;
};

}  // namespace shearpin::ledger
