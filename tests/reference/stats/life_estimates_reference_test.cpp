#include <catch2/catch.hpp>
#include <cmath>
#include <utility>

#include "life_sets.hpp"
#include "shearpin/stats/weibull_interval.hpp"
#include "stats/kaplan_meier.hpp"

using namespace shearpin::stats;
using reference::number;
using reference::Row;

namespace {

void check_absolute(double found, const Row& row, const std::string& column) {
  INFO(column);
  CHECK(found == Approx(number(row, column)).epsilon(0).margin(number(row, "tolerance")));
}

void check_limits(const KaplanMeierStep& step, const Row& row) {
  const std::pair<const char*, SurvivalScale> scales[] = {{"plain", SurvivalScale::plain},
                                                          {"log", SurvivalScale::log},
                                                          {"log_log", SurvivalScale::log_log}};
  for (const auto& [name, scale] : scales) {
    const auto interval = survival_interval(step, 0.95, scale);
    REQUIRE(interval.has_value() == !row.at(std::string("lower_") + name).empty());
    if (interval) {
      check_absolute(interval->lower, row, std::string("lower_") + name);
      check_absolute(interval->upper, row, std::string("upper_") + name);
    }
  }
}

LifeInterval interval_of(const std::vector<LifeRecord>& records, const Row& row) {
  const double level = number(row, "level");
  const std::string& quantity = row.at("quantity");
  if (quantity == "scale") {
    return scale_interval(records, level);
  }
  REQUIRE(quantity == "shape");
  return shape_interval(records, level);
}

void check_end(const std::optional<double>& found, const Row& row, const std::string& column) {
  INFO(column);
  REQUIRE(found.has_value() == !row.at(column).empty());
  if (found) {
    CHECK(*found == Approx(number(row, column)).epsilon(number(row, "tolerance")));
  }
}

}  // namespace

TEST_CASE("Kaplan-Meier steps and limits equal the reference values") {
  const auto sets = reference::life_sets();
  const auto rows = reference::read("stats/kaplan_meier.csv");
  REQUIRE(rows.size() == 25);
  for (const Row& row : rows) {
    INFO(row.at("id") << ": " << row.at("source"));
    const auto steps = kaplan_meier(sets.at(row.at("set")));
    const auto step = std::ranges::find(steps, number(row, "age"), &KaplanMeierStep::age);
    REQUIRE(step != steps.end());
    CHECK(step->at_risk == std::stol(row.at("at_risk")));
    check_absolute(step->survival, row, "survival");
    REQUIRE(step->standard_error.has_value() == !row.at("standard_error").empty());
    if (step->standard_error) {
      check_absolute(*step->standard_error, row, "standard_error");
    }
    check_limits(*step, row);
  }
}

TEST_CASE("Likelihood-ratio intervals equal the reference values") {
  const auto sets = reference::life_sets();
  const auto rows = reference::read("stats/weibull_interval.csv");
  REQUIRE(rows.size() == 26);
  for (const Row& row : rows) {
    INFO(row.at("id") << ": " << row.at("source"));
    const LifeInterval interval = interval_of(sets.at(row.at("set")), row);
    check_end(interval.lower, row, "lower");
    check_end(interval.upper, row, "upper");
  }
}
