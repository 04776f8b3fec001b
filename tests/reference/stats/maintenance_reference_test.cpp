#include <catch2/catch.hpp>
#include <cmath>
#include <stdexcept>

#include "reference_csv.hpp"
#include "stats/age_replacement.hpp"
#include "stats/failure_finding.hpp"

using namespace shearpin::stats;
using reference::number;
using reference::Row;

namespace {

double replacement_quantity(const Row& row) {
  // No least gain: the table asks where the optimum lies, worth the trouble or not.
  const AgeReplacement answer =
      age_replacement({1, number(row, "shape")}, {1, number(row, "ratio")}, 0);
  const std::string& quantity = row.at("quantity");
  if (quantity == "age") {
    return answer.age.value();
  }
  if (quantity == "cost_rate") {
    return answer.cost_rate;
  }
  if (quantity == "share_of_running_to_failure") {
    return 1 - answer.gain;
  }
  throw std::runtime_error("unknown quantity " + quantity);
}

double finding_quantity(const Row& row) {
  const std::string& quantity = row.at("quantity");
  const double first = number(row, "first");
  const double scale = number(row, "scale");
  const double argument = number(row, "argument");
  const std::size_t aged = quantity.find("_aged_");
  const double age = aged == std::string::npos ? 0 : std::stod(quantity.substr(aged + 6));
  if (quantity.rfind("interval", 0) == 0) {
    return failure_finding_interval({scale, first}, argument, age);
  }
  const WeibullNode node{scale, first, 1};
  return mean_unavailability({&node, 1}, argument, age);
}

}  // namespace

TEST_CASE("Ages of replacement and their costs agree with R") {
  const auto rows = reference::read("stats/age_replacement.csv");
  REQUIRE(rows.size() == 60);
  for (const Row& row : rows) {
    INFO(row.at("id") << " (" << row.at("source") << ")");
    CHECK(std::fabs(replacement_quantity(row) - number(row, "expected")) <=
          number(row, "tolerance"));
  }
}

TEST_CASE("Test intervals and unavailabilities agree with the rules and with R") {
  const auto rows = reference::read("stats/failure_finding.csv");
  REQUIRE(rows.size() == 9);
  for (const Row& row : rows) {
    INFO(row.at("id") << " (" << row.at("source") << ")");
    CHECK(std::fabs(finding_quantity(row) - number(row, "expected")) <= number(row, "tolerance"));
  }
}
