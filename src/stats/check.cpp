#include "stats/check.hpp"

#include <fmt/format.h>

#include <cmath>

#include "shearpin/base/error.hpp"

namespace shearpin::stats {

void require_positive(std::string_view name, double value) {
  if (!(std::isfinite(value) && value > 0)) {
    throw InputError(fmt::format("{} is {}: it must be a number above 0, e.g. 1.5", name, value));
  }
}

void require_not_negative(std::string_view name, double value) {
  if (!(std::isfinite(value) && value >= 0)) {
    throw InputError(
        fmt::format("{} is {}: it must be a number of 0 or more, e.g. 2", name, value));
  }
}

void require_fraction(std::string_view name, double value) {
  if (!(value > 0 && value < 1)) {
    throw InputError(
        fmt::format("{} is {}: it must lie between 0 and 1, both excluded, e.g. 0.9", name, value));
  }
}

}  // namespace shearpin::stats
