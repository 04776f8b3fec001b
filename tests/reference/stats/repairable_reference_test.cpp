#include <catch2/catch.hpp>
#include <cmath>

#include "event_sets.hpp"
#include "shearpin/stats/mcf.hpp"
#include "shearpin/stats/power_law_process.hpp"
#include "shearpin/stats/trend_tests.hpp"

using namespace shearpin::stats;
using reference::number;
using reference::Row;

namespace {

using Figures = std::map<std::string, double>;

Figures trend_figures(const std::vector<EventHistory>& systems) {
  const LaplaceTest laplace = laplace_test(systems);
  const MilitaryHandbookTest military = military_handbook_test(systems);
  const ReversalTest reversals = reversal_test(systems);
  CHECK(reversals.exact);
  return {
      {"laplace_u", laplace.u},
      {"laplace_two_sided", laplace.chances.two_sided},
      {"military_chi_square", military.chi_square},
      {"military_degrees", static_cast<double>(military.degrees_of_freedom)},
      {"military_chance_at_most", military.chances.worsening},
      {"reversals", static_cast<double>(reversals.reversals)},
      {"reversals_most", static_cast<double>(reversals.most)},
      {"reversals_chance_at_least", reversals.chances.improving},
      {"reversals_chance_at_most", reversals.chances.worsening},
      // The formula of the NIST software manual, whatever the side of the mean; the product's
      // own correction moves towards it.
      {"reversals_z_half_added",
       (static_cast<double>(reversals.reversals) - reversals.mean + 0.5) / reversals.deviation}};
}

Figures power_law_figures(const std::vector<EventHistory>& systems) {
  const PowerLawFit fit = power_law_fit(systems);
  const ShapeInterval shape = power_law_shape_interval(systems, 0.9);
  const double end = systems.front().end;
  Figures figures{{"shape", fit.law.shape},
                  {"rate", fit.law.rate},
                  {"unbiased_shape", fit.unbiased.value().shape},
                  {"unbiased_rate", fit.unbiased.value().rate},
                  {"growth_slope", 1 - fit.unbiased.value().shape},
                  {"intensity_end", event_intensity(fit.law, end)},
                  {"mtbf_end", 1 / event_intensity(fit.law, end)},
                  {"mtbf_end_unbiased", 1 / event_intensity(*fit.unbiased, end)},
                  {"cramer_von_mises", cramer_von_mises(systems).statistic},
                  {"shape_lower_90", shape.lower},
                  {"shape_upper_90", shape.upper}};
  if (systems.size() == 1 && systems.front().termination == Termination::time) {
    const MtbfInterval mtbf = ending_mtbf_interval(systems.front(), 0.8);
    figures["mtbf_lower_80"] = mtbf.lower;
    figures["mtbf_upper_80"] = mtbf.upper.value();
  }
  return figures;
}

Figures grouped_figures() {
  // MIL-HDBK-189 (1981) App. C, grouped example: five intervals of 20 h.
  const GroupedPowerLawFit fit =
      power_law_fit(GroupedEvents{{0, 20, 40, 60, 80, 100}, {13, 16, 5, 8, 7}});
  Figures figures{{"shape", fit.law.shape},
                  {"rate", fit.law.rate},
                  {"intensity_end", event_intensity(fit.law, 100)},
                  {"mtbf_end", 1 / event_intensity(fit.law, 100)},
                  {"chi_square", fit.chi_square},
                  {"degrees_of_freedom", static_cast<double>(fit.degrees_of_freedom)}};
  for (std::size_t i = 0; i < fit.expected.size(); ++i) {
    figures["expected_" + std::to_string(i + 1)] = fit.expected[i];
  }
  return figures;
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
      figures[name] = name == "grouped" ? grouped_figures() : figures_of(sets.at(name));
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
  check_sets("stats/trend.csv", 90, trend_figures);
}

TEST_CASE("Power-law fits equal the reference values") {
  check_sets("stats/power_law.csv", 96, power_law_figures);
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

TEST_CASE("Critical values stand as printed and agree with a simulation") {
  const auto rows = reference::read("stats/cramer_von_mises.csv");
  REQUIRE(rows.size() == 110);
  for (const Row& row : rows) {
    INFO(row.at("points") << " points at " << row.at("significance"));
    const double critical =
        cramer_von_mises_critical(std::stol(row.at("points")), number(row, "significance"));
    CHECK(critical == number(row, "printed"));
    CHECK(critical == Approx(number(row, "simulated")).epsilon(0).margin(number(row, "tolerance")));
  }
  // MIL-HDBK-189 (1981) App. C tests its 27 points against about 0.218 at 0.05 (from memory).
  CHECK(cramer_von_mises_critical(27, 0.05) == Approx(0.218).margin(5e-4));
}
