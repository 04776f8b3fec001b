#include "stocking/trip_lives.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "stocking/life.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kMostRenewalBreaks = 200;

double survival_of(std::span<const stats::WeibullNode> nodes, double age, double exposure) {
  double sum = 0;
  for (const stats::WeibullNode& node : nodes) {
    sum += node.weight * Life(node.scale, node.shape).survival(age, exposure);
  }
  return sum;
}

// The point that stands on a day, but for rounding.
std::size_t point_of(const TripPoints& points, double day) {
  const std::vector<double>& days = points.days;
  const auto above = std::lower_bound(days.begin(), days.end(), day);
  const auto i = static_cast<std::size_t>(above - days.begin());
  if (i == 0) {
    return 0;
  }
  if (i == days.size()) {
    return i - 1;
  }
  return days[i] - day < day - days[i - 1] ? i : i - 1;
}

void spread_renewals(const std::vector<double>& days, std::size_t stride, double every,
                     NewUnitEnds& out) {
  out.spread.assign(out.cells, {});
  std::size_t first = 0;
  for (std::size_t i = 0; i < out.cells; ++i) {
    const double low = days[i * stride] + every;
    const double high = days[(i + 1) * stride] + every;
    while (first < out.cells && days[(first + 1) * stride] <= low) {
      ++first;
    }
    out.spread[i].first = first;
    for (std::size_t j = first; j < out.cells && days[j * stride] < high; ++j) {
      const double common =
          std::min(high, days[(j + 1) * stride]) - std::max(low, days[j * stride]);
      out.spread[i].shares.push_back(std::max(common, 0.0) / (high - low));
    }
  }
}

}  // namespace

TripPositions::TripPositions(std::span<const UnitState> units, double days) {
  std::vector<std::size_t> order(units.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return comes_first(units[a], units[b]); });
  for (const std::size_t i : order) {
    const UnitState& unit = units[i];
    const auto same = std::find_if(positions.begin(), positions.end(),
                                   [&](const TripPosition& p) { return alike(p.unit, unit); });
    if (same != positions.end()) {
      ++same->copies;
      continue;
    }
    TripPosition position;
    position.unit = unit;
    const TripClock clock = clock_of(unit, days);
    const auto known = std::find(clocks.begin(), clocks.end(), clock);
    position.clock = static_cast<std::size_t>(known - clocks.begin());
    if (known == clocks.end()) {
      clocks.push_back(clock);
    }
    position.start = start_of(unit, clock);
    position.renews = position.start.from_day + unit.renewed_every_days <= days;
    positions.push_back(std::move(position));
  }
}

std::vector<TripBreak> TripPositions::breaks(std::span<const TripInterval> intervals) const {
  const double days = intervals.back().to;
  std::vector<TripBreak> breaks;
  for (const TripPosition& position : positions) {
    const UnitState& state = position.unit;
    const TripStart& start = position.start;
    const TripClock& clock = clocks[position.clock];
    // A young unit's chance goes on like a power of the time; an old one may be gone soon.
    breaks.push_back({start.from_day, true});
    breaks.push_back({0, true});
    for (double at = start.down ? state.renewed_every_days : start.due_day; at <= days;
         at += state.renewed_every_days) {
      breaks.push_back({at, true});
      if (!position.renews) {
        break;
      }
    }
    if (!position.renews) {
      continue;
    }
    const double every = state.renewed_every_days;
    if (start.hidden) {
      for (double at = every; at <= days; at += every) {
        breaks.push_back({at, true});
      }
    }
    // Renewals of what is put in between two breaks fall between two later ones. Where that would
    // be very many, the sums are near enough without.
    if (2 * static_cast<double>(intervals.size()) * days > kMostRenewalBreaks * every) {
      continue;
    }
    std::vector<double> ends(clock.breaks().begin(), clock.breaks().end());
    for (const TripInterval& interval : intervals) {
      for (const double end : {interval.from, interval.to}) {
        for (double at = end - every; at > start.from_day; at -= every) {
          breaks.push_back({at});
        }
        ends.push_back(end);
      }
    }
    for (const double end : ends) {
      for (double at = end + every; at <= days; at += every) {
        breaks.push_back({at});
      }
    }
  }
  return breaks;
}

double TripPositions::least_renewal() const {
  double least = kNever;
  for (const TripPosition& position : positions) {
    if (position.renews) {
      least = std::min(least, position.unit.renewed_every_days);
    }
  }
  return least;
}

TripGridLevel::TripGridLevel(const TripLayout& layout, double exposure, const TripPositions& of)
    : points(layout.points(exposure)) {
  for (const TripClock& clock : of.clocks) {
    clocks.emplace_back(clock, points);
  }
  for (const TripPosition& position : of.positions) {
    const UnitState& state = position.unit;
    std::vector<double> survival;
    if (!state.first_life.empty()) {
      const std::vector<double>& x = clocks[position.clock].exposure;
      const std::size_t from = point_of(points, position.start.from_day);
      for (std::size_t j = from; j < x.size(); ++j) {
        survival.push_back(
            survival_of(state.first_life, state.age, position.start.passed + x[j] - x[from]));
      }
    }
    first_survival.push_back(std::move(survival));
  }
}

TripRowLevel::TripRowLevel(const TripGridLevel& level, const TripPositions& positions, double shape)
    : level_(level), positions_(positions), shape_(shape) {
  for (const ClockTable& clock : level.clocks) {
    unit_ = std::max(unit_, clock.exposure.back() - clock.exposure.front());
  }
  for (const TripPosition& position : positions.positions) {
    unit_ = std::max(unit_, position.unit.age + position.start.passed);
  }
  if (!(unit_ > 0)) {
    unit_ = 1;
  }
  for (const ClockTable& clock : level.clocks) {
    std::vector<double> powers;
    powers.reserve(clock.differences.size());
    for (const double d : clock.differences) {
      powers.push_back(d > 0 ? std::pow(d / unit_, shape) : 0);
    }
    powers_.push_back(std::move(powers));
  }
  const Life unit(unit_, shape);
  for (std::size_t p = 0; p < positions.positions.size(); ++p) {
    const TripPosition& position = positions.positions[p];
    const double age = position.unit.age;
    const double passed = position.start.passed;
    passed_hazards_.push_back(unit.hazard(age, passed));
    std::vector<double> hazards;
    if (level.first_survival[p].empty() && !position.start.down) {
      const std::vector<double>& x = level.clocks[position.clock].exposure;
      const std::size_t from = point_of(level.points, position.start.from_day);
      for (std::size_t j = from; j < x.size(); ++j) {
        hazards.push_back(unit.hazard(age, passed + x[j] - x[from]));
      }
    }
    hazards_.push_back(std::move(hazards));
  }
}

double TripRowLevel::rate_of(const RowNode& node) const {
  return std::min(std::pow(unit_ / node.scale, shape_), 1e300);
}

double TripRowLevel::found_dead(const RowNode& node, std::size_t p) const {
  if (!positions_.positions[p].start.hidden) {
    return 0;
  }
  const std::vector<double>& own = level_.first_survival[p];
  return own.empty() ? -std::expm1(-rate_of(node) * passed_hazards_[p]) : 1 - own.front();
}

void TripRowLevel::survivals_of(const RowNode& node, std::size_t clock) {
  const std::vector<double>& powers = powers_[clock];
  const double rate = rate_of(node);
  survivals_.resize(powers.size());
  for (std::size_t i = 0; i < powers.size(); ++i) {
    const double hazard = rate * powers[i];
    survivals_[i] = hazard > kSpentHazard + 10 ? 0 : std::exp(-hazard);
  }
}

void TripRowLevel::new_ends(const RowNode& node, std::size_t p, std::size_t stride,
                            NewUnitEnds& out) {
  const TripPosition& position = positions_.positions[p];
  out.cells = level_.points.cells() / stride;
  out.chance.resize(out.cells * out.cells);
  out.renewed.clear();
  out.spread.clear();
  if (position.renews) {
    renewing_ends(node, p, stride, out);
    return;
  }
  survivals_of(node, position.clock);
  const ClockTable& clock = level_.clocks[position.clock];
  for (std::size_t i = 0; i < out.cells; ++i) {
    const std::uint32_t* index = clock.row(i * stride);
    double* chance = out.chance.data() + i * out.cells;
    double survives = 1;
    for (std::size_t j = i; j < out.cells; ++j) {
      const double next = survivals_[index[(j + 1) * stride]];
      chance[j] = survives - next;
      survives = next;
    }
  }
}

// Units are renewed after so many days, which is an age of its own for each day they start.
void TripRowLevel::renewing_ends(const RowNode& node, std::size_t p, std::size_t stride,
                                 NewUnitEnds& out) const {
  const TripPosition& position = positions_.positions[p];
  const std::vector<double>& days = level_.points.days;
  const std::vector<double>& x = level_.clocks[position.clock].exposure;
  const TripClock& clock = positions_.clocks[position.clock];
  const double close = 1e-11 * (days.back() - days.front());
  const double rate = rate_of(node);
  const auto survival = [&](double exposure) {
    return std::exp(-rate * (exposure > 0 ? std::pow(exposure / unit_, shape_) : 0));
  };
  const double every = position.unit.renewed_every_days;
  out.renewed.assign(out.cells + 1, {});
  for (std::size_t i = 0; i <= out.cells; ++i) {
    const double due = days[i * stride] + every;
    double* chance = out.chance.data() + i * out.cells;
    out.renewed[i].chance = survival(clock.at(due) - x[i * stride]);
    double survives = 1;
    for (std::size_t j = i; j < out.cells; ++j) {
      const std::size_t high = (j + 1) * stride;
      if (due > days[high] + close) {
        const double next = survival(x[high] - x[i * stride]);
        chance[j] = survives - next;
        survives = next;
        continue;
      }
      chance[j] = survives - out.renewed[i].chance;
      const double low = days[j * stride];
      out.renewed[i].cell = j;
      out.renewed[i].right = due > days[high] - close ? 1 : (due - low) / (days[high] - low);
      std::fill(chance + j + 1, chance + out.cells, 0.0);
      break;
    }
  }
  spread_renewals(days, stride, every, out);
}

void TripRowLevel::first_ends(const RowNode& node, std::size_t p, std::size_t stride,
                              FirstUnitEnds& out) {
  const TripPosition& position = positions_.positions[p];
  const TripPoints& points = level_.points;
  const std::size_t cells = points.cells() / stride;
  out.chance.assign(cells, 0.0);
  out.due = {};
  out.at_start = 0;
  out.replaced_at_first = 0;
  if (position.start.down) {
    out.at_start = 1;
    return;
  }
  out.at_start = found_dead(node, p);
  const std::size_t from = point_of(points, position.start.from_day);
  const std::vector<double>& own = level_.first_survival[p];
  const double rate = rate_of(node);
  const auto survival = [&](std::size_t point) {
    return own.empty() ? std::exp(-rate * hazards_[p][point - from]) : own[point - from];
  };
  const bool falls_due = position.start.due_day <= points.days.back();
  const std::size_t due =
      falls_due ? point_of(points, position.start.due_day) : points.cells() + stride;
  double survives = 1 - out.at_start;
  for (std::size_t high = from + stride; high <= std::min(due, points.cells()); high += stride) {
    const double next = survival(high);
    out.chance[high / stride - 1] = survives - next;
    survives = next;
  }
  if (!falls_due) {
    return;
  }
  if (due == points.start) {
    out.at_start += survives;
  } else if (due == from) {
    out.replaced_at_first = survives;
  } else {
    out.due = {due / stride - 1, 1, survives};
  }
}

}  // namespace shearpin::stocking
