#include <catch2/catch.hpp>
#include <cmath>

#include "event_sets.hpp"
#include "stats/mcf.hpp"
#include "stats/trend_tests.hpp"

using namespace shearpin::stats;
using reference::number;
using reference::Row;

namespace {

using Figures = std::map<std::string, double>;

Figures trend_figures(const std::vector<EventHistory>& systems) {
  const LaplaceTest laplace = laplace_test(systems);
  const MilitaryHandbookTest military = military_handbook_test(systems);
  return {
      {"laplace_u", laplace.u},
      {"laplace_two_sided", laplace.chances.two_sided},
      {"military_chi_square", military.chi_square},
      {"military_degrees", static_cast<double>(military.degrees_of_freedom)},
      {"military_chance_at_most", military.chances.worsening},
  };
}

template <class FiguresOf>
void check_sets(const std::string& path, std::size_t rows_there, FiguresOf figures_of) {
  const auto rows = reference::read(path);
  REQUIRE(rows.size() == rows_there);
  const auto sets = reference::event_sets();
  std::map<std::string, Figures> figures;
  for (const Row& row : rows) {
    const std::string& name = row.at("set");
    if (figures.count(name) == 0) {
      figures[name] = figures_of(sets.at(name));
    }
    INFO(row.at("id") << ": " << row.at("source"));
    CHECK(figures.at(name).at(row.at("quantity")) ==
          Approx(number(row, "expected")).epsilon(0).margin(number(row, "tolerance")));
  }
}

/// The root of a variance, or nothing where the table says that there is none.
void check_deviation(const std::optional<double>& variance, const Row& row,
                     const std::string& column) {
  REQUIRE(variance.has_value() == !row.at(column).empty());
  if (variance) {
    CHECK(std::sqrt(*variance) ==
          Approx(number(row, column)).epsilon(0).margin(number(row, "tolerance")));
  }
}

}  // namespace

TEST_CASE("Trend tests equal the reference values") {
  check_sets("stats/trend.csv", 45, trend_figures);
}

TEST_CASE("The pooled histories hold what their source counts") {
  // Proschan 1963 as kept with scipy's test data: 14 series, 205 intervals, 18 557 h.
  std::size_t intervals = 0;
  double hours = 0;
  const auto planes = reference::planes();
  for (const auto& plane : planes) {
    intervals += plane.second.ages.size();
    hours += plane.second.end;
  }
  CHECK(planes.size() == 14);
  CHECK(intervals == 205);
  CHECK(hours == 18557);
}

TEST_CASE("Mean cumulative functions equal the reference values") {
  const auto rows = reference::read("stats/mcf.csv");
  REQUIRE(rows.size() == 25);
  std::map<std::string, std::vector<McfStep>> functions;
  for (const char* file : {"valveseat.csv", "mcf-toy.csv"}) {
    functions[file] = mean_cumulative_function(reference::watches(file));
  }
  CHECK(reference::watches("valveseat.csv").size() == 41);
  for (const Row& row : rows) {
    INFO(row.at("id") << ": " << row.at("source"));
    const auto& steps = functions.at(row.at("file"));
    const auto step = std::ranges::find(steps, number(row, "age"), &McfStep::age);
    REQUIRE(step != steps.end());
    CHECK(step->at_risk == std::stol(row.at("at_risk")));
    CHECK(step->mean == Approx(number(row, "mean")).epsilon(0).margin(number(row, "tolerance")));
    check_deviation(step->nelson_variance, row, "se_nelson");
    check_deviation(step->robust_variance, row, "se_robust");
    check_deviation(step->poisson_variance, row, "se_poisson");
  }
}
