#include <catch2/catch.hpp>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stocking/fitted_demand.hpp"
#include "stocking/levels.hpp"
#include "stocking/trip_demand.hpp"

using namespace shearpin::stocking;
using shearpin::stats::WeibullNode;

namespace {

DemandByDays by_days(const FittedDemand& demand) {
  return [&demand](std::span<const double> days) { return demand.distributions(days); };
}

/// sum_{j=1..standing} P(D(t) >= n + j) for n = 0, 1, ... by the midpoint rule, 600 steps on each
/// side of `jump`.
DaysWithout brute(const FittedDemand& demand, double days, std::size_t standing, double jump) {
  constexpr int kSteps = 600;
  DaysWithout total(40, 0.0);
  for (const double from : {0.0, jump}) {
    const double to = from == 0 ? jump : days;
    std::vector<double> at;
    for (int i = 0; i < kSteps; ++i) at.push_back(from + (i + 0.5) * (to - from) / kSteps);
    for (const Pmf& pmf : demand.distributions(at)) {
      for (std::size_t n = 0; n < total.size(); ++n) {
        for (std::size_t j = 1; j <= standing && n + j <= pmf.size(); ++j) {
          total[n] += chance_above(pmf, static_cast<long>(n + j) - 1) * (to - from) / kSteps;
        }
      }
    }
  }
  return total;
}

}  // namespace

TEST_CASE("One unit without a spare is down from its failure to the end") {
  // Integral of 1 - exp(-t/s) over [0, T] is T - s (1 - exp(-T/s)).
  UnitState unit;
  unit.exposure_per_day = 1;
  const FittedDemand demand(std::vector<WeibullNode>{{50, 1, 1}}, {&unit, 1}, 60);
  const DaysWithout days = days_without_stretch(by_days(demand), 60, {1});
  CHECK(std::fabs(days[0] - (60 - 50 * (1 - std::exp(-1.2)))) < 6e-5);
  // With one spare: the second failure, Erlang of order 2.
  const double second = 60 - 50 * (2 - std::exp(-1.2) * (2 + 1.2));
  CHECK(std::fabs(days[1] - second) < 6e-5);
}

TEST_CASE("Days without agree with a fine midpoint rule, with jumps declared or not") {
  for (const double shape : {0.5, 0.7, 1.3, 4.0, 8.0}) {
    for (const double days : {20.0, 90.0, 600.0}) {
      std::vector<UnitState> units(3);
      for (UnitState& unit : units) unit.exposure_per_day = 1;
      units[1].age = 40;
      units[2].due_days = 13;
      units[0].down = true;
      const FittedDemand demand(std::vector<WeibullNode>{{100, shape, 0.6}, {60, 2 * shape, 0.4}},
                                units, days);
      const std::vector<double> breaks{13};
      const DaysWithout declared = days_without_stretch(by_days(demand), days, {3}, breaks);
      const DaysWithout found = days_without_stretch(by_days(demand), days, {3});
      const DaysWithout exact = brute(demand, days, 3, 13);
      for (std::size_t n = 0; n < exact.size(); ++n) {
        CAPTURE(shape, days, n);
        CHECK(std::fabs((n < declared.size() ? declared[n] : 0) - exact[n]) < 1e-5 * days);
        CHECK(std::fabs((n < found.size() ? found[n] : 0) - exact[n]) < 3e-5 * days);
      }
    }
  }
}

TEST_CASE("Days without never rise with stock and are unlimited for consumables") {
  const DemandByDays poisson = [](std::span<const double> days) {
    std::vector<Pmf> pmfs;
    for (const double d : days) pmfs.push_back(poisson_pmf(0.1 * d));
    return pmfs;
  };
  // Unlimited: integral of E (D(t) - n)+; with n = 0 it is rate T^2 / 2.
  const DaysWithout all = days_without_stretch(poisson, 40, {kUnlimited});
  CHECK(std::fabs(all[0] - 0.1 * 1600 / 2) < 1e-3);
  for (std::size_t n = 1; n < all.size(); ++n) CHECK(all[n] <= all[n - 1]);
  const DaysWithout two = days_without_stretch(poisson, 40, {2});
  CHECK(two[0] < all[0]);
  CHECK(days_without_stretch(poisson, 0, {2}) == DaysWithout{0.0});
  CHECK(days_without_stretch(poisson, 40, {0}) == DaysWithout{0.0});
  CHECK_THROWS_AS(days_without_stretch(poisson, -1, {2}), shearpin::InputError);
  CHECK_THROWS_AS(days_without_stretch(poisson, 1, {-2}), shearpin::InputError);
}

TEST_CASE("A set is one need: part of it helps nobody, and its days count once") {
  // Two devices of four cells; each is dead by chance 0.3 from the first moment on.
  const Pmf pieces{0.49, 0, 0, 0, 0.42, 0, 0, 0, 0.09};
  const auto still = [&](std::span<const double> days) {
    return std::vector<Pmf>(days.size(), pieces);
  };
  const double expected[] = {0.6, 0.6, 0.6, 0.6, 0.09, 0.09, 0.09, 0.09, 0};
  const DaysWithout days = days_without_stretch(still, 30, {2, 4});
  const DaysWithout base = days_without_base(pieces, 24, 6, 4);
  TripDemand trip;
  trip.days = 30;
  double above = 1;
  for (const double p : pieces) trip.days_short.push_back(30 * (above -= p));
  const DaysWithout on_trip = trip.days_without({2, 4});
  for (std::size_t n = 0; n < std::size(expected); ++n) {
    CAPTURE(n);
    const auto at = [n](const DaysWithout& all) { return n < all.size() ? all[n] : 0; };
    CHECK(at(days) == Approx(30 * expected[n]).margin(1e-9));
    CHECK(at(base) == Approx(30 * expected[n]).margin(1e-9));
    CHECK(at(on_trip) == Approx(30 * expected[n]).margin(1e-9));
  }
  CHECK_THROWS_AS(days_without_stretch(still, 30, {2, 0}), shearpin::InputError);
}
