#include <catch2/catch.hpp>

#include "reference_csv.hpp"
#include "shearpin/stats/constant_rate.hpp"

using namespace shearpin::stats;
using reference::number;
using reference::Row;

namespace {

double classical(const Row& row) {
  const std::string& quantity = row.at("quantity");
  const RateRecord record{
      std::stol(row.at("failures")), number(row, "exposure"),
      row.at("termination") == "failure" ? Termination::failure : Termination::time};
  const double level = number(row, "level");
  if (quantity == "mtbf_point") {
    return 1 / rate_interval(record, level).point.value();
  }
  if (quantity == "mtbf_lower_two_sided") {
    return 1 / rate_interval(record, level).upper;
  }
  if (quantity == "mtbf_upper_two_sided") {
    return 1 / rate_interval(record, level).lower;
  }
  // A one-sided limit is the same end of the two-sided interval that leaves as much on either side.
  const double both_sides = record.failures == 0 ? level : 2 * level - 1;
  if (quantity == "mtbf_lower_one_sided") {
    return 1 / rate_interval(record, both_sides).upper;
  }
  if (quantity == "mtbf_upper_one_sided") {
    return 1 / rate_interval(record, both_sides).lower;
  }
  if (quantity == "rate_upper_one_sided") {
    return rate_interval(record, both_sides).upper;
  }
  if (quantity == "rate_upper_interval") {
    const RateInterval interval = rate_interval(record, level);
    CHECK_FALSE(interval.point.has_value());
    CHECK(interval.lower == 0);
    return interval.upper;
  }
  throw std::runtime_error("unknown quantity " + quantity);
}

}  // namespace

TEST_CASE("Classical limits of a constant rate equal the reference values") {
  const auto rows = reference::read("stats/constant_rate.csv");
  REQUIRE(rows.size() == 150);
  for (const Row& row : rows) {
    INFO(row.at("id") << ": " << row.at("source"));
    CHECK(classical(row) ==
          Approx(number(row, "expected")).epsilon(0).margin(number(row, "tolerance")));
  }
}
