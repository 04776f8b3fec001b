#include "stocking/levels.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "shearpin/base/error.hpp"

using namespace shearpin::stocking;

TEST_CASE("The larger level is advised") {
  CHECK(larger_of(2, 1).advised == 2);
  CHECK(larger_of(0, 3).advised == 3);
  CHECK(larger_of(0, 0).advised == 0);
}

TEST_CASE("A penny fuse is worth carrying, an equally rare dear and heavy part is not") {
  // Demand 0.02 in 60 days: about 0.6 days without and one in 50 chances of any.
  const DaysWithout days{0.6, 0.004, 0.00002};
  const HoldingCost fuse{.price = 0.05, .mass_kg = 0.002};
  const HoldingCost awning{.price = 480, .mass_kg = 14};
  CHECK(worth_level(days, 10, fuse.of_one_piece(60)) >= 1);
  CHECK(worth_level(days, 10, awning.of_one_piece(60)) == 0);
}

TEST_CASE("Holding cost is price by year and mass by month") {
  const HoldingCost cost{.price = 100, .mass_kg = 2, .yearly_share = 0.6, .kg_month = 3};
  CHECK(cost.of_one_piece(365.25) == Approx(60 + 2 * 3 * 12));
  CHECK(cost.of_one_piece(0) == 0);
  CHECK_THROWS_AS((HoldingCost{.price = -1}.of_one_piece(30)), shearpin::InputError);
  CHECK_THROWS_AS(cost.of_one_piece(-1), shearpin::InputError);
}

TEST_CASE("The worth level looks past a spare that gains nothing by itself") {
  // Two units fall due together: the first spare saves little, the second much.
  const DaysWithout days{20, 19, 1, 0.9};
  CHECK(worth_level(days, 1, 5) == 2);
  CHECK(worth_level(days, 1, 30) == 0);
  CHECK(worth_level(days, 0, 1) == 0);
  CHECK(worth_level(days, 0, 0) == 0);
  CHECK(worth_level(days, 1, 0) == 4);
  CHECK(worth_level(DaysWithout{0.0}, 100, 0) == 0);
}

TEST_CASE("At base days without are time exposed times expected shortage") {
  const Pmf demand = poisson_pmf(1);
  const DaysWithout days = days_without_base(demand, 30, 6);
  // E(D - n)+ of Poisson 1: 1, e^-1, ... (Palm 1938).
  CHECK(days[0] == Approx(36).epsilon(1e-9));
  CHECK(days[1] == Approx(36 * std::exp(-1.0)).epsilon(1e-9));
  CHECK_THROWS_AS(days_without_base(demand, -1, 6), shearpin::InputError);
}

TEST_CASE("With reviews the level covers review and lead time, the reorder point is one below") {
  const Pmf protection = poisson_pmf(3);
  const BasePolicy policy = base_policy(protection, 0.9, DaysWithout{0.0}, 10, 1, 30);
  CHECK(policy.order_up_to == 5);  // smallest n with P(Poisson 3 <= n) >= 0.9
  CHECK(policy.reorder_point == 4);
  CHECK(policy.level.target > policy.level.worth);
  const BasePolicy at_once = base_policy(protection, 0.9, DaysWithout{0.0}, 10, 1, 0);
  CHECK(at_once.reorder_point == 5);
  CHECK(at_once.order_up_to == 6);
  const BasePolicy none = base_policy(poisson_pmf(0.01), 0.9, DaysWithout{0.0}, 10, 1, 30);
  CHECK(none.order_up_to == 0);
  CHECK(none.reorder_point == -1);
  const BasePolicy worth = base_policy(poisson_pmf(0.01), 0.9, DaysWithout{5, 0.1, 0}, 10, 1, 30);
  CHECK(worth.order_up_to == 1);
  CHECK(worth.level.worth > worth.level.target);
}

TEST_CASE("Orders are rounded up to whole packs") {
  CHECK(round_up_to_packs(0, 5) == 0);
  CHECK(round_up_to_packs(-3, 5) == 0);
  CHECK(round_up_to_packs(5, 5) == 5);
  CHECK(round_up_to_packs(6, 5) == 10);
  CHECK(round_up_to_packs(1000000, 1) == 1000000);
  CHECK_THROWS_AS(round_up_to_packs(5, 0), shearpin::InputError);
  CHECK_THROWS_AS(round_up_to_packs(kUnlimited - 1, 1000), shearpin::InputError);
}
