#include "oracles/renewal.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stocking/count_table.hpp"
#include "stocking/position.hpp"

namespace shearpin::stocking {
namespace {

constexpr std::size_t kPoints = 14;
constexpr double kMostLives = 1e5;

void check(const stats::Weibull& life, double age, double exposure) {
  if (!(life.scale > 0) || !std::isfinite(life.scale) || !(life.shape >= 0.05) ||
      !(life.shape <= 200)) {
    throw InputError(
        fmt::format("a life of scale {} and shape {} needs scale > 0, shape 0.05 to 200",
                    life.scale, life.shape));
  }
  if (!(age >= 0) || !(exposure >= 0) || !std::isfinite(age + exposure)) {
    throw InputError(fmt::format("age {} and exposure {} must be numbers >= 0", age, exposure));
  }
  if (exposure / life.scale > kMostLives) {
    throw NumericError(fmt::format("an exposure of {} lives is past the limit of {:.0f}",
                                   exposure / life.scale, kMostLives));
  }
}

}  // namespace

Pmf renewal_count(const stats::Weibull& life, double age, double exposure) {
  check(life, age, exposure);
  if (exposure == 0) return no_demand();
  Position position;
  position.state.age = age;
  position.state.exposure_per_day = exposure;
  const Life first(life.scale, life.shape);
  const double z = exposure / life.scale;
  Pmf pmf;
  if (z > kLongestTable) {
    PmfBand band;
    if (life.shape <= kMostInverted) {
      InvertedCount counts(life.shape);
      band = over_many_lives(position, life.scale, 1, 1e-14, counts);
    } else {
      band = over_many_lives(position, first, 1, 1e-14);
    }
    pmf.assign(band.first, 0.0);
    pmf.insert(pmf.end(), band.values.begin(), band.values.end());
  } else {
    const CountTable table({.shape = life.shape, .z_max = z});
    FirstDemand demand;
    first_demand(demand, position, first, 1, {}, kPoints);
    std::vector<double> tails(table.order(), 0.0);
    for (std::size_t q = 0; q < demand.rest.size(); ++q) {
      table.add_tails(demand.rest[q] / life.scale, demand.weight[q], 1e-16, tails);
    }
    pmf.push_back(1 - demand.chance);
    double above = demand.chance;
    for (const double tail : tails) {
      const double next = std::min(tail, above);
      pmf.push_back(above - next);
      above = next;
    }
    pmf.push_back(above);
  }
  trim(pmf);
  return pmf;
}

double renewal_function(const stats::Weibull& life, double exposure) {
  check(life, 0, exposure);
  if (exposure == 0) return 0;
  const double z = exposure / life.scale;
  const double reach = std::min(z, kLongestTable);
  const CountTable table({.shape = life.shape, .z_max = reach});
  // Past the table the renewal function is a straight line, very nearly.
  return table.expected(reach) + (z - reach) / std::tgamma(1 + 1 / life.shape);
}

}  // namespace shearpin::stocking
