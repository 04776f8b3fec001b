#pragma once
/// Sentences and tables about a part's life that `rate` and `explain` share.

#include <cstddef>
#include <string>

#include "report/reasoning.hpp"
#include "shearpin/advice/inquiry.hpp"

namespace shearpin::report {

/// Rows of a long table shown unless all are asked for.
inline constexpr std::size_t kRowsShown = 12;

/// The class belief: median, 80 % range, shape, source.
std::string belief_text(const advice::RateAnswer& answer);

/// Table of the life records; cut after kRowsShown with a count, oldest left out.
std::string records_text(const advice::RateAnswer& answer, const Detail& detail);

/// Failures, exposure, r/T and its chi-square interval; words where nothing failed or was watched.
std::string constant_rate_text(const advice::RateAnswer& answer);

/// Life, mean time between failures and shape as believed now, with 80 % intervals.
std::string posterior_text(const advice::RateAnswer& answer);

/// Share learnt, and a warning where record and belief do not fit together.
std::string learnt_text(const advice::RateAnswer& answer);

/// `low to high`, the unit once.
std::string range_text(double low, double high, const std::string& unit);

}  // namespace shearpin::report
