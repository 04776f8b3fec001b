#include <catch2/catch.hpp>
#include <cmath>

#include "oracles/chance_far_down.hpp"
#include "oracles/renewal.hpp"
#include "reference_csv.hpp"
#include "stocking/lead_demand.hpp"
#include "stocking/levels.hpp"

using namespace shearpin::stocking;
using reference::number;
using reference::Row;

namespace {

/// Poisson demand of a constant rate over a lead time that is gamma distributed, by the integrator.
Pmf over_gamma_lead(double shape, double mean_lead, double rate) {
  const double scale = mean_lead / shape;
  const auto density = [&](double log_days) {
    const double days = std::exp(log_days);
    return std::exp(shape * log_days - days / scale);  // of ln L, up to a constant
  };
  const auto demand = [&](std::span<const double> days) {
    std::vector<Pmf> pmfs;
    for (const double d : days) pmfs.push_back(poisson_pmf(rate * d));
    return pmfs;
  };
  return demand_over_log_time(demand, density, std::log(mean_lead) - 12, std::log(mean_lead) + 3, 0)
      .demand;
}

double variance(const Pmf& pmf) {
  double square = 0;
  for (std::size_t k = pmf.size(); k-- > 0;) square += static_cast<double>(k * k) * pmf[k];
  return square - mean(pmf) * mean(pmf);
}

Pmf demand_of(const Row& row) {
  if (row.at("demand") == "poisson") return poisson_pmf(number(row, "first"));
  if (row.at("demand") == "gamma_poisson") {
    return gamma_poisson_pmf(number(row, "first"), number(row, "second"), 1);
  }
  return over_gamma_lead(number(row, "first"), number(row, "second"), number(row, "argument2"));
}

double stock_quantity(const Row& row) {
  const Pmf demand = demand_of(row);
  const std::string& quantity = row.at("quantity");
  const auto whole = [&row] { return std::stol(row.at("argument")); };
  if (quantity == "chance") return chance_at_most(demand, whole());
  if (quantity == "above") return chance_above(demand, whole());
  if (quantity == "mass" || quantity == "lead_mass") {
    return demand.at(static_cast<std::size_t>(whole()));
  }
  if (quantity == "covering") {
    return static_cast<double>(smallest_covering(demand, number(row, "argument")));
  }
  if (quantity == "reorder_point" || quantity == "lead_reorder_point") {
    const BasePolicy policy = base_policy(demand, number(row, "argument"), DaysWithout{0}, 1, 1, 0);
    return static_cast<double>(policy.reorder_point);
  }
  if (quantity == "shortage") return expected_shortage(demand, whole());
  if (quantity == "lead_mean") return mean(demand);
  if (quantity == "lead_variance") return variance(demand);
  throw std::runtime_error("unknown quantity " + quantity);
}

double renewal_quantity(const Row& row) {
  const shearpin::stats::Weibull life{1, number(row, "shape")};
  const std::string& quantity = row.at("quantity");
  if (quantity == "renewal_function") return renewal_function(life, number(row, "exposure"));
  if (quantity == "at_least") {
    const shearpin::stats::WeibullNode node{1, life.shape, 1};
    const WatchedPlace place{number(row, "age"), number(row, "exposure")};
    const double found = chance_far_down({&node, 1}, {&place, 1}, std::stol(row.at("k")));
    const auto here = chance_of_as_many({&node, 1}, {&place, 1}, std::stol(row.at("k")), 1).here;
    CHECK(std::fabs(here - found) < 1e-6);
    return found;
  }
  const Pmf count = renewal_count(life, number(row, "age"), number(row, "exposure"));
  if (quantity == "mean_count") return mean(count);
  const std::size_t k = std::stoul(row.at("k"));
  return k < count.size() ? count[k] : 0;
}

}  // namespace

TEST_CASE("Counts and stock levels agree with tables and R") {
  const std::vector<Row> rows = reference::read("stocking/stock.csv");
  REQUIRE(rows.size() == 198);
  for (const Row& row : rows) {
    INFO(row.at("id") << " (" << row.at("source") << ")");
    CHECK(std::fabs(stock_quantity(row) - number(row, "expected")) <= number(row, "tolerance"));
  }
}

TEST_CASE("The renewal function and count distributions agree with the power series") {
  const std::vector<Row> rows = reference::read("stocking/renewal.csv");
  REQUIRE(rows.size() > 110);
  for (const Row& row : rows) {
    INFO(row.at("id") << " (" << row.at("source") << ")");
    CHECK(std::fabs(renewal_quantity(row) - number(row, "expected")) <= number(row, "tolerance"));
  }
}
