#include "stocking/trip_demand.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <numeric>
#include <optional>

#include "shearpin/base/error.hpp"
#include "stocking/band.hpp"
#include "stocking/stationary_counts.hpp"
#include "stocking/stretch_demand.hpp"
#include "stocking/trip_lives.hpp"

namespace shearpin::stocking {
namespace {

// Weight of nodes that may be counted with a neighbour.
constexpr double kTripMergedWeight = 2e-7;
constexpr double kTripCutoff = 1e-11;
// Coarse cells a life under a node of this weight; an old unit at most doubles them.
constexpr double kCellsALife = 4;
constexpr double kFullWeight = 0.01;
constexpr double kOldest = 2;
// Coarse cells between planned renewals; fewer where there are many renewals, but one at least.
constexpr double kCellsARenewal = 4;
constexpr double kCellsOfRenewals = 100;
constexpr double kMostTripRenewals = 60;
constexpr std::array<std::size_t, 3> kStrides{1, 2, 4};
// Under nodes with lives this many times the trip, the two coarser sets of points do.
constexpr double kLongLife = 6;
// The finest points have 2^kFinest coarse cells on top of the least.
constexpr int kFinest = 7;
// Nodes that are counted as settled processes: those under which a trip is too many lives for sums
// (kLongestTable), and light ones under which it is more lives than kManyLives; the parts of a trip
// at which they are read; and how many lives are too many at all.
constexpr double kManyLives = 12;
constexpr double kLight = 1e-5;
constexpr double kStationaryCells = 32;
constexpr double kMostTripLives = 1e5;

// The length of use on which the demand of a node changes: a share of a life, less for an old unit
// that fails at a high rate (kOldest: no less than this share, since it is gone soon).
double length_of(const RowNode& node, double shape, const TripPositions& positions) {
  const double life = node.scale / std::max({1.0, shape / 3, shape < 0.9 ? 2.0 : 1.0});
  double length = life;
  for (const TripPosition& position : positions.positions) {
    if (position.start.down) {
      continue;
    }
    const double age = (position.unit.age + position.start.passed) / node.scale;
    if (!(age > 0)) {
      continue;
    }
    length = std::min(length, 2 * node.scale / (shape * std::pow(age, shape - 1)));
  }
  return std::max(length, life / kOldest);
}

// Adds to[m] += weight x P(N > m + brought) for a band.
void add_exceedance(std::vector<double>& to, const Band& band, double weight, long brought) {
  const std::span<const double> values = band.values();
  const auto less = static_cast<std::size_t>(brought);
  const std::size_t whole = band.first() + values.size() - 1;
  const std::size_t length = whole > less ? whole - less : 0;
  if (to.size() < length) {
    to.resize(length, 0.0);
  }
  double above = 0;
  for (std::size_t i = values.size(); i-- > 1;) {
    above += values[i];
    if (const std::size_t m = band.first() + i - 1; m >= less) {
      to[m - less] += weight * above;
    }
  }
  above += values[0];
  for (std::size_t m = less; m < band.first(); ++m) {
    to[m - less] += weight * above;
  }
}

double longest_cell(double renewal, double days) {
  if (days > kMostTripRenewals * renewal) {
    throw NumericError(
        fmt::format("a trip of {} days holds more than {:.0f} renewals every {} days; ask for a "
                    "shorter one",
                    days, kMostTripRenewals, renewal));
  }
  return renewal /
         std::clamp(kCellsOfRenewals * renewal / std::max(days, renewal), 1.0, kCellsARenewal);
}

// Works through the posterior and adds up the answer.
class TripCounter {
 public:
  TripCounter(const TripDemandInput& input, const TripPlan& plan)
      : input_(input),
        intervals_(intervals_of(plan)),
        positions_(input.units, plan.days),
        layout_(intervals_, positions_.clocks, all_breaks(plan.days),
                longest_cell(positions_.least_renewal(), plan.days)) {
    answer_.days = plan.days;
    answer_.intervals.resize(intervals_.size());
    tails_.resize(positions_.positions.size());
  }

  TripDemand answer() {
    if (positions_.positions.empty()) {
      count_nothing_fitted();
    } else {
      for (const NodeRow& row : make_rows(input_.nodes, kTripMergedWeight)) {
        add_row(row);
      }
    }
    finish();
    return std::move(answer_);
  }

 private:
  std::vector<TripBreak> all_breaks(double days) {
    std::vector<TripBreak> breaks = positions_.breaks(intervals_);
    for (const ExtraDemand& extra : input_.extras) {
      extra_clocks_.push_back(clock_of(extra, days));
      for (const double day : extra_clocks_.back().breaks()) {
        breaks.push_back({day});
      }
    }
    return breaks;
  }

  TripGridLevel& level(std::size_t number) {
    std::unique_ptr<TripGridLevel>& made = levels_[number];
    if (!made) {
      const double cell = layout_.reach() * std::ldexp(1.0, -static_cast<int>(number));
      made = std::make_unique<TripGridLevel>(layout_, std::max(cell, 1e-300), positions_);
      fill_extras(extras_[number], made->points);
    }
    return *made;
  }

  using Extras = std::vector<std::vector<Pmf>>;  // by interval and reading

  void fill_extras(Extras& extras, const TripPoints& points) {
    extras.resize(intervals_.size());
    if (input_.extras.empty()) {
      return;
    }
    for (std::size_t k = 0; k < intervals_.size(); ++k) {
      for (const TripReading& reading : points.windows[k].readings) {
        extras[k].push_back(extra_demand(input_.extras, extra_clocks_, intervals_[k].from,
                                         points.days[reading.point]));
      }
    }
  }

  // The trip in lives, for the purpose of points: their error falls with the fourth power of the
  // cells a life, and it may be the larger the less a node weighs.
  double lives_to_resolve(const RowNode& node, double shape) const {
    const double light = std::clamp(std::pow(node.weight / kFullWeight, 0.25), 0.15, 2.0);
    return light * layout_.reach() / length_of(node, shape, positions_);
  }

  std::size_t level_for(const RowNode& node, double shape) const {
    const double cells = kCellsALife * lives_to_resolve(node, shape);
    if (!(cells > 1)) {
      return 0;
    }
    return static_cast<std::size_t>(std::min<double>(kFinest, std::ceil(std::log2(cells) - 1e-9)));
  }

  void add_row(const NodeRow& row) {
    std::array<std::optional<TripRowLevel>, kFinest + 1> prepared;
    StationaryCounts counts(row.shape);
    for (const RowNode& node : row.nodes) {
      stationary_ = is_stationary(node);
      if (stationary_) {
        count_stationary(counts, node);
        continue;
      }
      const std::size_t number = level_for(node, row.shape);
      std::optional<TripRowLevel>& lives = prepared[number];
      if (!lives) {
        lives.emplace(level(number), positions_, row.shape);
      }
      solve_node(*lives, node, row.shape);
      add_node(lives->level().points, extras_[number], node.weight);
    }
  }

  // Renewals within a trip of very many lives are left to the sums.
  bool is_stationary(const RowNode& node) const {
    const double lives = layout_.reach() / node.scale;
    if (lives > kMostTripLives) {
      throw NumericError(fmt::format(
          "a trip of {:.3g} times the believed life is past the limit of {:.0f}; check the belief "
          "and the rates",
          lives, kMostTripLives));
    }
    const double most = node.weight < kLight ? kManyLives : kLongestTable;
    return lives > most && !(positions_.least_renewal() < answer_.days);
  }

  void count_stationary(StationaryCounts& counts, const RowNode& node) {
    if (!stationary_points_) {
      stationary_points_ = layout_.points(layout_.reach() / kStationaryCells);
      fill_extras(stationary_extras_, *stationary_points_);
    }
    const TripPoints& points = *stationary_points_;
    bands_.resize(positions_.positions.size());
    for (std::size_t p = 0; p < positions_.positions.size(); ++p) {
      const TripPosition& position = positions_.positions[p];
      const TripClock& clock = positions_.clocks[position.clock];
      bands_[p] =
          counts.counts(position, clock, node, intervals_, points, kTripCutoff / node.weight);
    }
    add_node(points, stationary_extras_, node.weight);
  }

  // Tails of every position under one node, extrapolated from two or three sets of points.
  void solve_node(TripRowLevel& lives, const RowNode& node, double shape) {
    const TripPoints& points = lives.level().points;
    const double tail_cutoff = kTripCutoff / node.weight;
    finest_ = kLongLife * lives_to_resolve(node, shape) < 1 ? 1 : 0;
    std::size_t clock_known = kNoCell;
    for (std::size_t p = 0; p < positions_.positions.size(); ++p) {
      const TripPosition& position = positions_.positions[p];
      const bool known = !position.renews && clock_known == position.clock;
      for (std::size_t s = kStrides.size(); s-- > finest_;) {
        if (!known) {
          lives.new_ends(node, p, kStrides[s], new_ends_[s]);
        }
        lives.first_ends(node, p, kStrides[s], first_);
        TripSolver(points, kStrides[s])
            .solve(first_, new_ends_[s], tail_cutoff, s == finest_ ? tails_[p] : coarser_[s]);
      }
      clock_known = position.renews ? kNoCell : position.clock;
      extrapolate(tails_[p], points, shape);
    }
  }

  // Removes the two leading errors of the sums, powers of the length of a cell: 2 from the
  // trapezoid rule, and 1 + shape from new units, whose chance of failing starts like a power of
  // their age.
  void extrapolate(TripTails& fine, const TripPoints& points, double shape) const {
    const double low = std::exp2(std::min(2.0, 1 + shape)) - 1;
    const double high = std::exp2(shape < 1 ? 2.0 : std::min(4.0, 1 + std::max(shape, 1.2))) - 1;
    const bool three = finest_ == 0;
    const TripTails& second = coarser_[three ? 1 : 2];
    const TripTails& third = coarser_[2];
    const auto limit = [&](double value, double coarse, double coarsest) {
      const double better = value + (value - coarse) / low;
      if (!three) {
        return better;
      }
      const double worse = coarse + (coarse - coarsest) / low;
      return better + (better - worse) / high;
    };
    for (std::size_t k = 0; k < fine.size(); ++k) {
      IntervalTails& tails = fine[k];
      const std::size_t readings = points.windows[k].readings.size();
      for (std::size_t m = 1; m <= tails.orders; ++m) {
        for (std::size_t t = 0; t < readings; ++t) {
          double& tail = tails.tails[(m - 1) * readings + t];
          const double above = m > 1 ? tails.tails[(m - 2) * readings + t] : 1;
          tail = limit(tail, second[k].at(m, t, readings), third[k].at(m, t, readings));
          tail = std::clamp(tail, 0.0, above);
        }
      }
    }
  }

  void add_node(const TripPoints& points, const Extras& extras, double weight) {
    const double tail_cutoff = kTripCutoff / weight;
    above_all_.assign(1, 0.0);
    above_most_.assign(1, 0.0);
    for (std::size_t k = 0; k < intervals_.size(); ++k) {
      const std::vector<TripReading>& readings = points.windows[k].readings;
      for (std::size_t t = 0; t < readings.size(); ++t) {
        const bool last = t + 1 == readings.size();
        if (readings[t].weight == 0 && !last) {
          continue;
        }
        band_.reset();
        for (std::size_t p = 0; p < positions_.positions.size(); ++p) {
          multiply_position(p, k, t, readings.size(), tail_cutoff);
        }
        if (input_.taken) {
          thin_band();
        }
        if (!input_.extras.empty()) {
          band_.multiply(0, extras[k][t], tail_cutoff);
        }
        if (readings[t].weight > 0) {
          add_exceedance(answer_.days_short, band_, weight * readings[t].weight,
                         intervals_[k].brought);
        }
        if (last) {
          end_interval(k, weight);
        }
      }
    }
    add_shortage(weight);
  }

  void multiply_position(std::size_t p, std::size_t k, std::size_t t, std::size_t readings,
                         double tail_cutoff) {
    const TripPosition& position = positions_.positions[p];
    if (stationary_) {
      const PmfBand& band = bands_[p][k][t];
      multiply_lives(position, band.first, band.values, tail_cutoff);
      return;
    }
    const IntervalTails& tails = tails_[p][k];
    std::size_t orders = 0;
    while (orders < tails.orders && tails.at(orders + 1, t, readings) >= tail_cutoff) {
      ++orders;
    }
    if (orders == 0) {
      return;
    }
    pmf_.clear();
    double above = 1;
    for (std::size_t m = 1; m <= orders; ++m) {
      const double next = tails.at(m, t, readings);
      pmf_.push_back(above - next);
      above = next;
    }
    pmf_.push_back(above);
    multiply_lives(position, 0, pmf_, tail_cutoff);
  }

  // A unit of several pieces takes them all at once.
  void multiply_lives(const TripPosition& position, std::size_t first,
                      std::span<const double> lives, double tail_cutoff) {
    const auto pieces = static_cast<std::size_t>(position.unit.pieces);
    if (pieces == 1) {
      band_.multiply_copies(first, lives, position.copies, tail_cutoff);
      return;
    }
    spread_.assign((lives.size() - 1) * pieces + 1, 0.0);
    for (std::size_t m = 0; m < lives.size(); ++m) {
      spread_[m * pieces] = lives[m];
    }
    band_.multiply_copies(first * pieces, spread_, position.copies, tail_cutoff);
  }

  void thin_band() {
    Pmf count;
    band_.add_to(count, 1);
    band_.reset();
    band_.multiply(0, thinned(count, *input_.taken), 0);
  }

  void end_interval(std::size_t k, double weight) {
    band_.add_to(answer_.intervals[k], weight);
    exceeds_.clear();
    add_exceedance(exceeds_, band_, 1, intervals_[k].brought);
    if (above_all_.size() < exceeds_.size()) {
      above_all_.resize(exceeds_.size(), 0.0);
      above_most_.resize(exceeds_.size(), 0.0);
    }
    for (std::size_t n = 0; n < exceeds_.size(); ++n) {
      above_all_[n] += exceeds_[n];
      above_most_[n] = std::max(above_most_[n], exceeds_[n]);
    }
  }

  void add_shortage(double weight) {
    if (answer_.shortage_low.size() < above_all_.size()) {
      answer_.shortage_low.resize(above_all_.size(), 0.0);
      answer_.shortage_high.resize(above_all_.size(), 0.0);
    }
    for (std::size_t n = 0; n < above_all_.size(); ++n) {
      answer_.shortage_low[n] += weight * std::min(1.0, above_most_[n]);
      answer_.shortage_high[n] += weight * std::min(1.0, above_all_[n]);
    }
  }

  void count_nothing_fitted() { add_node(level(0).points, extras_[0], 1); }

  void finish() {
    for (Pmf& pmf : answer_.intervals) {
      trim(pmf);
    }
    answer_.note_cut_off();
  }

  const TripDemandInput& input_;
  std::vector<TripInterval> intervals_;
  TripPositions positions_;
  std::vector<TripClock> extra_clocks_;
  TripLayout layout_;
  std::array<std::unique_ptr<TripGridLevel>, kFinest + 1> levels_;
  std::array<Extras, kFinest + 1> extras_;
  std::optional<TripPoints> stationary_points_;
  Extras stationary_extras_;
  std::vector<TripTails> tails_;  // by position, of the node at hand
  std::size_t finest_ = 0;        // of the strides, for the node at hand
  std::array<TripTails, kStrides.size()> coarser_;
  std::array<NewUnitEnds, kStrides.size()> new_ends_;
  FirstUnitEnds first_;
  Band band_;
  bool stationary_ = false;  // the node at hand is counted by bands_, not tails_
  std::vector<StationaryCounts::Bands> bands_;
  Pmf pmf_;
  Pmf spread_;
  std::vector<double> exceeds_;
  std::vector<double> above_all_;
  std::vector<double> above_most_;
  TripDemand answer_;
};

}  // namespace

TripDemand trip_demand_by_sums(const TripDemandInput& input, const TripPlan& plan) {
  check_trip(input, plan);
  return TripCounter(input, plan).answer();
}

TripDemand trip_demand(const TripDemandInput& input, const TripPlan& plan) {
  if (!plan.stops.empty() || !StretchDemand::serves(input.units, plan.days)) {
    return trip_demand_by_sums(input, plan);
  }
  check_trip(input, plan);
  const StretchDemand demand(input, plan.days);
  TripDemand answer;
  answer.days = plan.days;
  answer.intervals = demand.distributions({&plan.days, 1});
  answer.days_short = demand.days_short(plan.days);
  const Pmf& whole = answer.intervals.front();
  for (long n = 0; n < static_cast<long>(whole.size()); ++n) {
    answer.shortage_low.push_back(1 - chance_at_most(whole, n));
  }
  answer.shortage_high = answer.shortage_low;
  answer.note_cut_off();
  return answer;
}

void TripDemand::note_cut_off() {
  for (const Pmf& pmf : intervals) {
    cut_off = std::max(cut_off, 1 - chance_at_most(pmf, static_cast<long>(pmf.size())));
  }
}

ChanceRange TripDemand::chance(long n) const {
  if (n < 0) {
    return {0, 0};
  }
  const auto i = static_cast<std::size_t>(n);
  const auto of = [&](const std::vector<double>& shortage) {
    return 1 - (i < shortage.size() ? shortage[i] : cut_off);
  };
  return {of(shortage_high), of(shortage_low)};
}

namespace {

long first_enough(const std::vector<double>& shortage, double target) {
  if (!(target >= 0) || !(target <= kLargestChance)) {
    throw InputError(fmt::format("a target chance of {} is not between 0 and {}, such as 0.97",
                                 target, kLargestChance));
  }
  for (std::size_t n = 0; n < shortage.size(); ++n) {
    if (1 - shortage[n] >= target - 1e-12) {
      return static_cast<long>(n);
    }
  }
  return static_cast<long>(shortage.size());
}

}  // namespace

long TripDemand::surely_enough(double target) const { return first_enough(shortage_high, target); }

long TripDemand::possibly_enough(double target) const { return first_enough(shortage_low, target); }

DaysWithout TripDemand::days_without(Standing standing) const {
  check_standing(standing);
  DaysWithout total = days_short;
  total.push_back(0.0);
  add_up_dead(total, standing);
  for (double& value : total) {
    value = std::max(value, 0.0);
  }
  while (total.size() > 1 && total.back() <= 1e-9 * days) {
    total.pop_back();
  }
  return total;
}

}  // namespace shearpin::stocking
