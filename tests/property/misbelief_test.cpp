// How wrong may a belief be before the target is missed, and how fast does the record repair it?
// The truth is one fixed life, the belief another; owners are sorted by the failures on record. The
// tables of docs/validation.md are the output of SHEARPIN_LONG=1.

#include <array>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <iostream>

#include <fmt/format.h>

#include "simulated_owner.hpp"

using namespace shearpin::stats;
using namespace shearpin::stocking;
using namespace simulated;

namespace {

constexpr int kOnRecord[] = {0, 1, 3, 10};
constexpr int kPlaces = 4;
constexpr double kBelieved = 1000;  // median life; 80 % range 400 to 2500
constexpr double kDays = 500;       // four positions: two failures or so at the belief

struct Misbelief {
  double believed_shape;
  double life_factor;  ///< true life over the believed one
  double true_shape;
};

constexpr Misbelief kCases[] = {{1, 1, 1}, {1, 0.5, 1}, {1, 0.2, 1}, {1, 2, 1},
                                {1, 5, 1}, {3, 1, 3},   {3, 0.5, 3}, {3, 0.2, 3},
                                {3, 2, 3}, {3, 5, 3},   {1, 1, 3},   {3, 1, 1}};

/// What comes of owners with so many failures on record.
struct Share {
  double at_90 = 0;   ///< realised chance of no shortage at the level for 0.90
  double at_97 = 0;   ///< at the level for 0.97
  double error = 0;   ///< standard error of at_90
  double pieces = 0;  ///< mean level for 0.90
  double needed = 0;  ///< mean level that the true life asks for
};

Share share_of(const Misbelief& c, int failures, int owners) {
  const Weibull truth{kBelieved * c.life_factor, c.true_shape};
  const WeibullPrior prior{kBelieved, 400, 2500, c.believed_shape, 0.35};
  std::mt19937_64 random(19600101);
  Share share;
  double squares = 0;
  for (int i = 0; i < owners; ++i) {
    Weibull drawn{};
    const Owner who = owner_with(
        random, [&] { return truth; }, kPlaces, failures, truth.scale, drawn);
    const auto units = units_of(who);
    const auto ahead = ahead_of(who, kDays);
    const auto posterior = weibull_posterior(prior, who.records, {.ahead = ahead});
    const Pmf demand = FittedDemand(posterior.nodes, units, kDays).distribution(kDays);
    const Pmf truly = true_demand(truth, units, kDays);
    const long level = smallest_covering(demand, 0.9);
    const double realised = chance_at_most(truly, level);
    share.at_90 += realised / owners;
    squares += realised * realised / owners;
    share.at_97 += chance_at_most(truly, smallest_covering(demand, 0.97)) / owners;
    share.pieces += static_cast<double>(level) / owners;
    share.needed += static_cast<double>(smallest_covering(truly, 0.9)) / owners;
  }
  share.error = std::sqrt(std::max(0.0, squares - share.at_90 * share.at_90) / owners);
  return share;
}

using Line = std::array<Share, std::size(kOnRecord)>;

Line line_of(const Misbelief& c, int owners) {
  Line line;
  for (std::size_t f = 0; f < line.size(); ++f) line[f] = share_of(c, kOnRecord[f], owners);
  std::cout << fmt::format("| {} | {} | {} ", c.believed_shape, c.true_shape, c.life_factor);
  for (const Share& s : line) {
    std::cout << fmt::format("| {:.3f}, {:.3f}; {:.1f} ({:.1f}) ", s.at_90, s.at_97, s.pieces,
                             s.needed);
  }
  std::cout << "|\n";
  return line;
}

}  // namespace

TEST_CASE("A belief that is wrong misses the target at first and is repaired by the record") {
  const int owners = std::getenv("SHEARPIN_LONG") != nullptr ? 2000 : 200;
  for (const Misbelief& c : kCases) {
    CAPTURE(c.believed_shape, c.life_factor, c.true_shape);
    const Line line = line_of(c, owners);
    const auto at_least = [&](std::size_t f, double chance) {
      return line[f].at_90 + 3 * line[f].error >= chance;
    };
    const auto below = [&](std::size_t f, double chance) {
      return line[f].at_90 - 3 * line[f].error < chance;
    };
    if (c.life_factor >= 1) {
      // Lives as long as believed or longer: always enough, and too much at first.
      for (std::size_t f = 0; f < line.size(); ++f) CHECK(at_least(f, 0.9));
    } else {
      // Shorter: too little until the record speaks.
      CHECK(below(0, 0.9));
      for (std::size_t f = 1; f < line.size(); ++f) {
        CHECK(line[f].at_90 + 3 * line[f].error > line[f - 1].at_90 - 3 * line[f - 1].error);
      }
      // Ten failures repair a factor of 2; a factor of 5 only where the life is regular.
      if (c.life_factor == 0.5 || c.true_shape == 3) CHECK(at_least(3, 0.9));
    }
    if (c.life_factor == 0.2) {
      CHECK(line[0].at_90 < 0.2);
      CHECK(line[3].at_90 > 0.75);
    }
    // What is carried nears what is needed.
    const auto off = [](const Share& s) { return std::abs(s.pieces - s.needed); };
    if (c.life_factor != 1) CHECK(off(line[3]) <= off(line[0]) + 0.2);
  }
}
