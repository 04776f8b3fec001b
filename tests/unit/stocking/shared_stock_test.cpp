#include "oracles/shared_stock.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "shearpin/base/error.hpp"

using namespace shearpin::stocking;

namespace {

/// Hands pieces out one position after another, for every combination of demands.
struct HandedOut {
  double none = 0;
  std::vector<double> mean_short;  // own positions, then parts
  std::vector<double> chance_short;
  std::vector<double> dead_of_one_unit;  // E min(short, 1)
};

void hand_out(const SharedStock& shared, const std::vector<long>& demand, double chance,
              HandedOut& out) {
  long left = shared.stock;
  bool none = true;
  for (std::size_t i = 0; i < demand.size(); ++i) {
    const long own = i == 0 ? 0 : std::min(demand[i], shared.parts[i - 1].stock);
    const long from_shared = std::min(left, demand[i] - own);
    left -= from_shared;
    const long still_short = demand[i] - own - from_shared;
    out.mean_short[i] += chance * static_cast<double>(still_short);
    if (still_short > 0) {
      none = false;
      out.chance_short[i] += chance;
      out.dead_of_one_unit[i] += chance;
    }
  }
  if (none) out.none += chance;
}

HandedOut by_hand(const SharedStock& shared) {
  const std::size_t count = shared.parts.size() + 1;
  HandedOut out;
  out.mean_short.assign(count, 0);
  out.chance_short.assign(count, 0);
  out.dead_of_one_unit.assign(count, 0);
  std::vector<long> demand(count, 0);
  const auto pmf = [&](std::size_t i) -> const Pmf& {
    return i == 0 ? shared.own_demand : shared.parts[i - 1].demand;
  };
  for (;;) {
    double chance = 1;
    for (std::size_t i = 0; i < count; ++i) chance *= pmf(i)[static_cast<std::size_t>(demand[i])];
    hand_out(shared, demand, chance, out);
    std::size_t i = 0;
    while (i < count && demand[i] + 1 == static_cast<long>(pmf(i).size())) demand[i++] = 0;
    if (i == count) return out;
    ++demand[i];
  }
}

void check_against_hand(const SharedStock& shared) {
  const HandedOut expected = by_hand(shared);
  const SharedShortage found = shared_shortage(shared);
  CHECK(found.chance_of_none == Approx(expected.none).margin(1e-8));
  REQUIRE(found.pieces_short.size() == expected.mean_short.size());
  for (std::size_t i = 0; i < expected.mean_short.size(); ++i) {
    INFO("position " << i);
    const Pmf& pieces = found.pieces_short[i];
    CHECK(mean(pieces) == Approx(expected.mean_short[i]).margin(1e-7));
    CHECK(chance_above(pieces, 0) == Approx(expected.chance_short[i]).margin(1e-8));
    CHECK(expected_dead(pieces, 1) == Approx(expected.dead_of_one_unit[i]).margin(1e-8));
  }
}

const Pmf kRare{0.8, 0.15, 0.05};
const Pmf kOften{0.3, 0.3, 0.2, 0.1, 0.1};

}  // namespace

TEST_CASE("Shared stock equals handing pieces out for every combination of demands") {
  for (const long shared : {0L, 1L, 2L, 5L}) {
    for (const long own : {0L, 1L, 3L}) {
      INFO("shared " << shared << " own " << own);
      check_against_hand({.own_demand = kRare, .stock = shared, .parts = {{kOften, own}}});
      check_against_hand(
          {.own_demand = {1}, .stock = shared, .parts = {{kOften, own}, {kRare, 1}}});
      check_against_hand({.own_demand = kOften,
                          .stock = shared,
                          .parts = {{kRare, own}, {kOften, 2}, {kRare, 0}}});
    }
  }
}

TEST_CASE("A pair is short of nothing when the dearer part covers itself and the rest") {
  // P(D_B <= 1, (D_A - 1)^+ <= 1 - D_B), written out for the pair of distributions.
  const double expected =
      kRare[0] * (kOften[0] + kOften[1] + kOften[2]) + kRare[1] * (kOften[0] + kOften[1]);
  const SharedStock pair{.own_demand = kRare, .stock = 1, .parts = {{kOften, 1}}};
  CHECK(shared_shortage(pair).chance_of_none == Approx(expected).epsilon(1e-12));
}

TEST_CASE(
    "With nothing shared each part stands alone, with Poisson parts one pool is one Poisson") {
  const Pmf a = poisson_pmf(0.7);
  const Pmf b = poisson_pmf(1.1);
  const SharedShortage alone =
      shared_shortage({.own_demand = {1}, .stock = 0, .parts = {{a, 2}, {b, 1}}});
  CHECK(mean(alone.pieces_short[1]) == Approx(expected_shortage(a, 2)).margin(1e-8));
  CHECK(mean(alone.pieces_short[2]) == Approx(expected_shortage(b, 1)).margin(1e-8));
  CHECK(alone.chance_of_none == Approx(chance_at_most(a, 2) * chance_at_most(b, 1)).margin(1e-8));
  const SharedShortage pooled =
      shared_shortage({.own_demand = {1}, .stock = 4, .parts = {{a, 0}, {b, 0}}});
  CHECK(pooled.chance_of_none == Approx(chance_at_most(poisson_pmf(1.8), 4)).margin(1e-8));
}

TEST_CASE("Order of preference moves the shortage, not its sum nor the chance of none") {
  const SharedShortage one =
      shared_shortage({.own_demand = {1}, .stock = 2, .parts = {{kOften, 0}, {kRare, 0}}});
  const SharedShortage other =
      shared_shortage({.own_demand = {1}, .stock = 2, .parts = {{kRare, 0}, {kOften, 0}}});
  CHECK(one.chance_of_none == Approx(other.chance_of_none));
  CHECK(mean(one.pieces_short[1]) < mean(other.pieces_short[2]));
  CHECK(mean(one.pieces_short[1]) + mean(one.pieces_short[2]) ==
        Approx(mean(other.pieces_short[1]) + mean(other.pieces_short[2])));
}

TEST_CASE("Nodes are mixed after they are solved, not before") {
  const SharedStock calm{.own_demand = {1}, .stock = 1, .parts = {{{1}, 0}, {{1}, 0}}};
  const SharedStock rough{.own_demand = {1}, .stock = 1, .parts = {{{0, 1}, 0}, {{0, 1}, 0}}};
  const std::vector<double> weights{0.5, 0.5};
  const std::vector<SharedStock> nodes{calm, rough};
  const SharedShortage mixed = shared_shortage(weights, nodes);
  CHECK(mixed.chance_of_none == Approx(0.5));  // as if independent: 0.75
  CHECK(mean(mixed.pieces_short[2]) == Approx(0.5));
}

TEST_CASE("Shared stock refuses what is no stock and no distribution") {
  using shearpin::InputError;
  CHECK_THROWS_AS(shared_shortage({.own_demand = {1}, .stock = -1, .parts = {}}), InputError);
  CHECK_THROWS_AS(shared_shortage({.own_demand = {}, .stock = 1, .parts = {}}), InputError);
  CHECK_THROWS_AS(shared_shortage({.own_demand = {1}, .stock = 1, .parts = {{{1}, -1}}}),
                  InputError);
  CHECK_THROWS_AS(shared_shortage({.own_demand = {1}, .stock = 1, .parts = {{{-0.1, 1.1}, 0}}}),
                  InputError);
  const std::vector<SharedStock> nodes{{.own_demand = {1}, .stock = 1, .parts = {}}};
  CHECK_THROWS_AS(shared_shortage(std::vector<double>{0.5}, nodes), InputError);
  CHECK_THROWS_AS(shared_shortage(std::vector<double>{}, {}), InputError);
  CHECK_THROWS_AS(expected_dead(kRare, -1), InputError);
}
