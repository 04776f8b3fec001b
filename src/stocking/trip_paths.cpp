#include "stocking/trip_paths.hpp"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <limits>

#include "shearpin/base/error.hpp"
#include "stocking/life.hpp"

namespace shearpin::stocking {
namespace {

// Numbers beyond this many are not worth a coordinate.
constexpr std::size_t kMostCoordinates = 48;
constexpr long kMostDemand = 1'000'000;

double uniform(std::uint64_t bits) {
  return (static_cast<double>(bits >> 11U) + 0.5) / 9007199254740992.0;
}

std::size_t chosen(std::span<const double> reach, double number) {
  const auto at = std::upper_bound(reach.begin(), reach.end(), number * reach.back());
  return std::min(static_cast<std::size_t>(at - reach.begin()), reach.size() - 1);
}

}  // namespace

std::uint64_t next_number(std::uint64_t& state) {
  state += 0x9e3779b97f4a7c15ULL;
  std::uint64_t z = state;
  z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9ULL;
  z = (z ^ (z >> 27U)) * 0x94d049bb133111ebULL;
  return z ^ (z >> 31U);
}

double PathNumbers::at(std::size_t place) {
  if (place >= points_.size()) {
    return generated();
  }
  return uniform(points_[place] ^ shifts_[place]);
}

double PathNumbers::generated() { return uniform(next_number(state_)); }

TripPaths::TripPaths(const TripDemandInput& input, const TripPlan& plan)
    : input_(input), intervals_(intervals_of(plan)), days_(plan.days) {
  for (const UnitState& unit : input.units) {
    clocks_.push_back(clock_of(unit, days_));
    starts_.push_back(start_of(unit, clocks_.back()));
  }
  for (const ExtraDemand& extra : input.extras) {
    extra_clocks_.push_back(clock_of(extra, days_));
  }
  double total = 0;
  for (const stats::WeibullNode& node : input.nodes) {
    if (input.units.empty()) {
      break;
    }
    reach_.push_back(total += node.weight);
    for (std::size_t i = 0; i < input.units.size(); ++i) {
      const double exposure = clocks_[i].at(days_) - clocks_[i].at(starts_[i].from_day);
      hazards_.push_back(node.weight > 0
                             ? Life(node.scale, node.shape)
                                   .hazard(input.units[i].age, starts_[i].passed + exposure)
                             : 0);
    }
  }
  bounds_.push_back(0);
  for (const TripInterval& interval : intervals_) {
    bounds_.push_back(interval.from);
    bounds_.push_back(interval.to);
  }
  std::sort(bounds_.begin(), bounds_.end());
  bounds_.erase(std::unique(bounds_.begin(), bounds_.end()), bounds_.end());
  const auto place = [this](double day) {
    return static_cast<std::size_t>(std::lower_bound(bounds_.begin(), bounds_.end(), day) -
                                    bounds_.begin());
  };
  for (const TripInterval& interval : intervals_) {
    bins_.push_back({place(interval.from), place(interval.to)});
  }
}

std::size_t TripPaths::useful_coordinates() const {
  // The node, the share taken, rates and first events of the extra demand, three lives a unit.
  return std::min(kMostCoordinates, 2 + 2 * input_.extras.size() + 3 * input_.units.size());
}

void TripPaths::add_demand(double day, long pieces) {
  if (input_.taken) {
    long taken = 0;
    for (long i = 0; i < pieces; ++i) {
      taken += numbers_->generated() < taken_ ? 1 : 0;
    }
    pieces = taken;
  }
  const auto at = std::lower_bound(bounds_.begin(), bounds_.end(), day);
  long& demand = demand_[static_cast<std::size_t>(at - bounds_.begin())];
  demand += pieces;
  if (demand > kMostDemand) {
    throw NumericError("a simulated trip takes more than a million pieces; ask for a shorter one");
  }
}

double TripPaths::first_life(std::size_t i, std::size_t node, PathNumbers& numbers) const {
  const UnitState& state = input_.units[i];
  const std::size_t place = 2 + 2 * input_.extras.size() + i;
  if (state.first_life.empty()) {
    const double number = numbers.at(place);
    if (-std::log(number) > hazards_[node * input_.units.size() + i]) {
      return kNever;
    }
    return life_left(input_.nodes[node], state.age, number);
  }
  double choice = numbers.generated();
  const stats::WeibullNode* own = nullptr;
  for (const stats::WeibullNode& each : state.first_life) {
    if (!(each.weight > 0)) {
      continue;
    }
    own = &each;
    if (choice < each.weight) {
      break;
    }
    choice -= each.weight;
  }
  // The weights are those of the unit as known at its age.
  return own == nullptr ? kNever : life_left(*own, state.age, numbers.at(place));
}

void TripPaths::run_unit(std::size_t i, std::size_t node, PathNumbers& numbers) {
  const UnitState& state = input_.units[i];
  const TripStart& start = starts_[i];
  const TripClock& clock = clocks_[i];
  std::size_t lives = 0;
  const auto new_life = [&] {
    ++lives;
    const std::size_t place = lives > 2
                                  ? kMostCoordinates
                                  : 2 + 2 * input_.extras.size() + lives * input_.units.size() + i;
    return life_left(input_.nodes[node], 0, numbers.at(place));
  };
  double day = start.from_day;
  double fails = 0;  // exposure at which it does
  double due = start.due_day;
  const auto replace = [&](double at_day, double at_exposure) {
    if (at_day >= 0) {
      add_demand(at_day, state.pieces);
    }
    day = at_day;
    fails = at_exposure + new_life();
    due = at_day + state.renewed_every_days;
  };
  if (start.down) {
    replace(0, clock.at(0));
  } else {
    const double left = first_life(i, node, numbers);
    fails = clock.at(day) + left - start.passed;
    if (start.hidden && left <= start.passed) {
      replace(0, clock.at(0));
    }
  }
  for (;;) {
    const double fails_day = fails < kNever ? clock.day_of(fails) : kNever;
    if (std::min(fails_day, due) > days_) {
      return;
    }
    if (fails_day <= due) {
      replace(fails_day, fails);
    } else {
      replace(due, clock.at(due));
    }
  }
}

void TripPaths::run_extra(std::size_t e, PathNumbers& numbers) {
  const ExtraDemand& extra = input_.extras[e];
  const TripClock& clock = extra_clocks_[e];
  if (!(clock.at(days_) > 0)) {
    return;
  }
  const double rate =
      boost::math::gamma_p_inv(extra.rate.shape, numbers.at(2 + 2 * e)) / extra.rate.rate;
  if (!(rate > 0)) {
    return;
  }
  const double more = 1 - 1 / extra.rate.mean_size;
  double exposure = -std::log(numbers.at(3 + 2 * e)) / rate;
  while (exposure <= clock.at(days_)) {
    long pieces = 1;
    if (more > 0) {
      pieces += static_cast<long>(std::log(numbers.generated()) / std::log(more));
    }
    add_demand(clock.day_of(exposure), pieces);
    exposure += -std::log(numbers.generated()) / rate;
  }
}

long TripPaths::largest_demand(PathNumbers& numbers) {
  numbers_ = &numbers;
  demand_.assign(bounds_.size(), 0);
  if (input_.taken) {
    taken_ = boost::math::ibeta_inv(input_.taken->took, input_.taken->none, numbers.at(1));
  }
  if (!input_.units.empty()) {
    const std::size_t node = chosen(reach_, numbers.at(0));
    for (std::size_t i = 0; i < input_.units.size(); ++i) {
      run_unit(i, node, numbers);
    }
  }
  // Thinning is for the units' demand alone.
  const double taken = taken_;
  taken_ = 1;
  for (std::size_t e = 0; e < input_.extras.size(); ++e) {
    run_extra(e, numbers);
  }
  taken_ = taken;
  long largest = 0;
  for (std::size_t k = 0; k < bins_.size(); ++k) {
    long demand = intervals_[k].takes_in_start ? demand_[0] : 0;
    for (std::size_t bin = bins_[k].from + 1; bin <= bins_[k].to; ++bin) {
      demand += demand_[bin];
    }
    largest = std::max(largest, demand - intervals_[k].brought);
  }
  return largest;
}

}  // namespace shearpin::stocking
