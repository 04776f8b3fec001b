#include "stocking/trip_simulation.hpp"

#include <fmt/format.h>
#include <algorithm>

#include "shearpin/base/error.hpp"
#include "stocking/tally.hpp"
#include "stocking/trip_histories.hpp"

namespace shearpin::stocking {
namespace {

SimulatedMean mean_of(const Tally& tally, long runs) {
  const auto n = static_cast<double>(runs);
  return {tally.mean(n), tally.error(n)};
}

void check_parts(std::span<const SimulatedPart> parts, const SimulationOptions& options) {
  if (options.runs < 1) {
    throw InputError(fmt::format("{} runs is not 1 or more, such as 10000", options.runs));
  }
  for (std::size_t m = 0; m < parts.size(); ++m) {
    check_trip(parts[m].demand, parts[m].plan);
    if (parts[m].stock < 0) {
      throw InputError(fmt::format("a stock of {} pieces is not 0 or more", parts[m].stock));
    }
    if (parts[m].plan.days != parts.front().plan.days) {
      throw InputError(fmt::format("plans of {} and {} days are not of one trip",
                                   parts.front().plan.days, parts[m].plan.days));
    }
    for (const std::size_t other : parts[m].substitutes) {
      const bool known = other < parts.size() && other != m &&
                         (parts[m].demand.units.empty() || !parts[other].demand.nodes.empty());
      if (known) {
        continue;
      }
      throw InputError(fmt::format(
          "substitute {} of part {} is not another part of the {} simulated whose life is known",
          other, m, parts.size()));
    }
  }
}

}  // namespace

LeadSampler lead_sampler(const stats::LeadTimePosterior& lead) {
  return [lead](double number) { return stats::lead_time_quantile(lead, number); };
}

TripSimulation simulate_trip(std::span<const SimulatedPart> parts,
                             const SimulationOptions& options) {
  check_parts(parts, options);
  std::vector<StandInPart> played;
  std::vector<LeadSampler> leads;
  std::vector<long> stock;
  for (const SimulatedPart& part : parts) {
    played.push_back({part.demand, part.plan, std::vector<DayCost>(part.demand.units.size()),
                      DayCost{}, part.substitutes});
    leads.push_back(part.lead);
    stock.push_back(part.stock);
  }
  TripHistories histories(played, leads);
  struct PartTally {
    Tally no_shortage, days_without, demand;
  };
  std::vector<PartTally> tallies(parts.size());
  Tally all;
  std::uint64_t keys = options.seed;
  const long step = std::max(1L, options.runs / 100);
  for (long done = 0; done < options.runs; ++done) {
    if (options.progress && done % step == 0) options.progress(done, options.runs);
    histories.start(next_number(keys));
    const Played run = histories.play(stock, true);
    bool none_short = true;
    for (std::size_t m = 0; m < parts.size(); ++m) {
      const Played::Part& part = run.parts[m];
      tallies[m].no_shortage.add(part.was_short ? 0 : 1);
      tallies[m].days_without.add(part.days);
      tallies[m].demand.add(part.asked);
      none_short = none_short && !part.was_short;
    }
    all.add(none_short ? 1 : 0);
  }
  if (options.progress) options.progress(options.runs, options.runs);
  TripSimulation result;
  for (const PartTally& tally : tallies) {
    result.parts.push_back({mean_of(tally.no_shortage, options.runs),
                            mean_of(tally.days_without, options.runs),
                            mean_of(tally.demand, options.runs)});
  }
  result.no_shortage = mean_of(all, options.runs);
  result.runs = options.runs;
  result.seed = options.seed;
  return result;
}

}  // namespace shearpin::stocking
