#include "stocking/fitted_demand.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <optional>

#include "shearpin/base/error.hpp"
#include "stocking/band.hpp"
#include "stocking/life.hpp"
#include "stocking/node_rows.hpp"
#include "stocking/position.hpp"
#include "stocking/row_plan.hpp"

namespace shearpin::stocking {
namespace {

// Weight of nodes that may be counted with a neighbour: no probability moves by more. More where
// each node wants a table of its own, and more again where many marked ends lie ahead.
constexpr double kMergedWeight = 5e-8;
constexpr double kMergedByNode = 5e-7;
constexpr double kMergedManyEnds = 5e-5;
constexpr double kManyEnds = 8;
// Unlike positions times their marked ends ahead: more would take longer than anybody waits.
constexpr double kMostEnds = 2000;
// Error of a probability that one row may make, shared by its positions: so much for up to
// kFewRows, less where more rows add up.
constexpr double kRowError = 4e-8;
constexpr double kFewRows = 15;
// Tails that are left out of the count of one position under one node, over the node's weight; less
// where there are so many that kTailsLeftOut would be left out in all.
constexpr double kFittedCutoff = 1e-13;
constexpr double kTailsLeftOut = 1e-8;
constexpr double kMostFittedLives = 1e5;
// Where nodes under which more than kFar pieces are expected, or more than kMostFittedLives in a
// position, weigh no more than kLittle together, they count as a demand of kVeryMany: their own
// would be past any stock too, and working it out would take most of the time.
constexpr double kFar = 2e5;
constexpr std::size_t kVeryMany = 100000;
constexpr double kLittle = 1e-3;
constexpr std::size_t kMostTails = 1200;
// The longest table that is worked out where the series for very many lives is not good enough.
constexpr double kLongestRow = 512;

// Error of that series over z > kLongestTable scales (measured against tables,
// docs/validation.md).
double series_error(double shape, double z) {
  if (shape < 0.5) return 1;
  const double at_first = shape < 0.7 ? 3e-2 : shape < 1 ? 2e-3 : shape < 1.5 ? 2e-4 : 2e-5;
  return at_first * std::pow(z / kLongestTable, -1.5);
}

// Legs of one rate are none.
void run_evenly(UnitState& unit) {
  const auto other = [&](const ExposureSegment& leg) {
    return leg.per_day != unit.legs.front().per_day;
  };
  if (unit.legs.empty() || std::any_of(unit.legs.begin(), unit.legs.end(), other)) return;
  unit.exposure_per_day = unit.legs.front().per_day;
  unit.legs.clear();
}

struct Row : NodeRow {
  std::optional<CountTable> table;  // absent when no position needs it
  double reach = kLongestTable;     // of the table at most; the series serves past it,
  bool inverts = false;             // or, for positions that are plain, an inverted transform
  double mean_life = 1;             // over the scale
};

}  // namespace

struct FittedDemand::Impl {
  std::vector<Row> rows;
  std::vector<Position> positions;
  double longest_days = 0;
  bool lumps_tail_nodes = false;
  double tail_cutoff = kFittedCutoff;
  double row_error = kRowError;

  void make_positions(std::span<const UnitState> units);
  double ends_ahead() const;  // marked ends within the longest stretch, of unlike positions
  double merged() const;      // weight of nodes that may be counted with a neighbour
  void check_ends() const;
  double most_exposure(double days) const;       // of a position that is counted by a table
  double exposure_of_pieces(double days) const;  // pieces x exposure, over all positions
  void find_tail_nodes();
  void share_errors();
  // Scales below which the nodes of a row are tail nodes.
  double tail_scale(const Row& row, double days) const {
    return std::max(exposure_of_pieces(days) / (kFar * row.mean_life),
                    most_exposure(days) / kMostFittedLives);
  }
  void make_table(Row& row) const;
  void add_row(const Row& row, std::span<const double> days, std::vector<Pmf>& mixtures) const;
};

void FittedDemand::Impl::make_positions(std::span<const UnitState> units) {
  for (UnitState unit : units) {
    run_evenly(unit);
    const auto same = std::find_if(positions.begin(), positions.end(),
                                   [&](const Position& p) { return alike(p.state, unit); });
    if (same != positions.end()) {
      ++same->copies;
      continue;
    }
    Position position;
    position.state = unit;
    if (!unit.legs.empty()) {
      if (unit.renewed_every_days <= longest_days) {
        throw InputError("a unit that is renewed within a stretch of uneven use is not counted");
      }
      position.clock.emplace(unit.legs, 0, longest_days);
    }
    if (!unit.first_life.empty()) {
      check_nodes(unit.first_life);
      const double reach = unit.untested + unit.before + position.exposure_by(longest_days);
      for (const Position& p : positions) {
        const bool shared =
            p.state.first_life.data() == unit.first_life.data() &&
            p.state.first_life.size() == unit.first_life.size() && p.state.age == unit.age &&
            p.state.untested + p.state.before + p.exposure_by(longest_days) == reach;
        if (shared) position.other = p.other;
      }
      if (!position.other) {
        position.other =
            std::make_shared<const TabulatedLife>(unit.first_life, unit.age, std::max(reach, 1e-9));
      }
    }
    positions.push_back(std::move(position));
  }
  // A fixed order of multiplication, so that the order of the units does not matter.
  std::sort(positions.begin(), positions.end(),
            [](const Position& a, const Position& b) { return comes_first(a.state, b.state); });
  for (Position& position : positions) position.state.first_life = {};
}

double FittedDemand::Impl::ends_ahead() const {
  double ends = 0;
  for (const Position& position : positions) {
    ends += std::floor(longest_days / position.state.renewed_every_days);
  }
  return ends;
}

double FittedDemand::Impl::merged() const {
  const double ends = ends_ahead();
  return ends < 1 ? kMergedWeight : ends < kManyEnds ? kMergedByNode : kMergedManyEnds;
}

void FittedDemand::Impl::check_ends() const {
  const double ends = ends_ahead();
  const double work = ends * static_cast<double>(positions.size());
  if (work > kMostEnds) {
    throw NumericError(fmt::format(
        "{} units of different age, with {:.0f} marked ends in {:.0f} days, are too many to work "
        "out; ask for at most {:.0f} days",
        positions.size(), ends, longest_days, std::floor(longest_days * kMostEnds / work)));
  }
}

double FittedDemand::Impl::most_exposure(double days) const {
  double most = 0;
  for (const Position& position : positions) {
    const bool needs = !(position.state.renewed_every_days <= longest_days);
    if (needs) most = std::max(most, position.exposure_by(days));
  }
  return most;
}

double FittedDemand::Impl::exposure_of_pieces(double days) const {
  double pieces = 0;
  for (const Position& position : positions) {
    pieces +=
        static_cast<double>(position.copies) * position.state.pieces * position.exposure_by(days);
  }
  return pieces;
}

void FittedDemand::Impl::find_tail_nodes() {
  const double longest = most_exposure(longest_days);
  double far = 0;
  double lives = 0;
  for (const Row& row : rows) {
    const double tail = tail_scale(row, longest_days);
    for (const RowNode& node : row.nodes) {
      lives = std::max(lives, longest / node.scale);
      if (node.scale < tail) far += node.weight;
    }
  }
  lumps_tail_nodes = far <= kLittle;
  if (!lumps_tail_nodes && lives > kMostFittedLives) {
    throw NumericError(fmt::format(
        "a stretch of {:.3g} times the life, where the belief gives {:.2g} % to demands past "
        "{:.0f} pieces, is past the limit of {:.0f} lives; check the belief and the rates: "
        "narrow the life's range, e.g. from 3-90000 to 300-9000, or ask for less time",
        lives, 100 * far, kFar, kMostFittedLives));
  }
}

void FittedDemand::Impl::share_errors() {
  double counts = 0;
  for (const Row& row : rows) counts += static_cast<double>(row.nodes.size());
  double copies = 0;
  for (const Position& position : positions) copies += static_cast<double>(position.copies);
  tail_cutoff = std::min(kFittedCutoff, kTailsLeftOut / (counts * copies));
  row_error = kRowError * std::min(1.0, kFewRows / static_cast<double>(rows.size()));
}

void FittedDemand::Impl::make_table(Row& row) const {
  const double longest = most_exposure(longest_days);
  if (!(longest > 0)) return;
  // Whether the series is not good enough for what weighs past that.
  const auto is_wanting = [&](double reach) {
    double error = 0;
    for (const RowNode& node : row.nodes) {
      const double z = longest / node.scale;
      if (z > reach) error += node.weight * series_error(row.shape, z);
    }
    return error > row_error;
  };
  row.inverts = row.shape <= kMostInverted && is_wanting(kLongestTable);
  const bool all_inverted =
      row.inverts && std::all_of(positions.begin(), positions.end(),
                                 [&](const Position& p) { return p.is_invertible(longest_days); });
  if (!all_inverted) {
    while (row.reach < kLongestRow && is_wanting(row.reach)) row.reach *= 2;
  }
  CountTableSpec spec{.shape = row.shape, .z_max = 0, .most = kMostTails - 1};
  for (const RowNode& node : row.nodes) {
    const double z = longest / node.scale;
    if (z <= row.reach) spec.limits.push_back({z, tail_cutoff / node.weight});
    spec.z_max = std::max(spec.z_max, std::min(z, row.reach));
  }
  if (spec.limits.empty()) spec.limits.push_back({spec.z_max, tail_cutoff / row.weight});
  const double first_z = CountTable::widest_first(row.shape);
  double second = 0;  // bound of the chance of a second demand, nodes of the first panel
  double beyond = 0;  // weight past it
  for (const RowNode& node : row.nodes) {
    const double z = longest / node.scale;
    const double w = std::min(1.0, std::pow(z, row.shape));
    (z <= first_z ? second : beyond) += node.weight * (z <= first_z ? w * w : 1);
  }
  const double error = row_error / static_cast<double>(positions.size());
  if (second * 1e-6 < error) spec.first = TableQuality::medium;
  spec.later = beyond * 1e-4 < error ? TableQuality::rough : TableQuality::medium;
  row.table.emplace(spec);
}

namespace {

bool is_carried(const UnitState& unit) { return unit.before > 0 || unit.due_days < 0; }

// The weight below which the nodes of a row weigh no more than `most` together.
double lightest_together(const Row& row, double most) {
  std::vector<double> weights;
  for (const RowNode& node : row.nodes) weights.push_back(node.weight);
  std::sort(weights.begin(), weights.end());
  double sum = 0;
  for (const double weight : weights) {
    sum += weight;
    if (sum > most) return weight;
  }
  return kNever;
}

// Works out the nodes of one row; keeps its buffers.
class RowCounter {
 public:
  RowCounter(const Row& row, std::span<const Position> positions, double longest_days,
             double tail_cutoff, double row_error)
      : row_(row),
        positions_(positions),
        longest_days_(longest_days),
        tail_cutoff_(tail_cutoff),
        error_(row_error / static_cast<double>(positions.size())),
        maker_(row.shape, row.unit) {
    for (const Position& position : positions) plain_.push_back(position.is_plain(longest_days));
    if (row.inverts) inverted_.emplace(row.shape);
    rough_below_ = lightest_together(row, error_ / 1e-4);
    medium_below_ = lightest_together(row, error_ / 1e-7);
    make_room(row.table ? row.table->order() : 0);
  }

  /// Whether something must be worked out for each node before it is counted.
  bool by_node() const { return std::find(plain_.begin(), plain_.end(), false) != plain_.end(); }

  void start_stretch(double days) {
    days_ = days;
    plans_.clear();
    plans_.resize(positions_.size() * kLevels);
  }

  void start_node(const RowNode& node) {
    carried_.assign(positions_.size(), {});
    cut_tables_.clear();
    cut_tables_.resize(positions_.size());
    const Life life(node.scale, row_.shape);
    for (std::size_t i = 0; i < positions_.size(); ++i) {
      const UnitState& state = positions_[i].state;
      if (is_carried(state) && !(state.renewed_every_days < kNever)) {
        carried_[i] = carried_units(positions_[i], life, longest_days_);
      }
      if (state.renewed_every_days <= longest_days_) cut_tables_[i] = cut_table(node, i);
    }
  }

  const Band& count(const RowNode& node) {
    const double tail_cutoff = tail_cutoff_ / node.weight;
    band_.reset();
    for (std::size_t i = 0; i < positions_.size(); ++i) count_one(node, i, tail_cutoff);
    return band_;
  }

 private:
  // Whether the series for very many lives is good enough for so light a node: inverting is dear.
  bool does_by_series(const RowNode& node, double z) const {
    return node.weight * series_error(row_.shape, z) * static_cast<double>(row_.nodes.size()) <
           error_;
  }

  // Counts lives that are cut, under this node alone: null for a position that stands still.
  std::shared_ptr<const CountTable> cut_table(const RowNode& node, std::size_t i) {
    const UnitState& state = positions_[i].state;
    for (std::size_t j = 0; j < i; ++j) {
      const UnitState& other = positions_[j].state;
      if (other.exposure_per_day == state.exposure_per_day &&
          other.renewed_every_days == state.renewed_every_days) {
        return cut_tables_[j];
      }
    }
    const double reach =
        std::min(state.exposure_per_day * longest_days_ / node.scale, kLongestTable);
    if (!(reach > 0)) return nullptr;
    auto table = std::make_shared<const CountTable>(
        CountTableSpec{.shape = row_.shape,
                       .z_max = reach,
                       .cut = state.exposure_per_day * state.renewed_every_days / node.scale,
                       .limits = {{reach, tail_cutoff_ / node.weight}},
                       .first = std::min(quality_for(node), TableQuality::medium),
                       .later = quality_for(node)});
    make_room(table->order());
    return table;
  }

  // For a table that serves this node alone.
  TableQuality quality_for(const RowNode& node) const {
    return node.weight < rough_below_    ? TableQuality::rough
           : node.weight < medium_below_ ? TableQuality::medium
                                         : TableQuality::fine;
  }

  // Plans by how finely the first life is cut: two halves, then 2^2 to 2^5 pieces.
  static constexpr std::size_t kLevels = 5;

  // For the tails of a position: one more than its table gives of later lives.
  void make_room(std::size_t order) {
    tails_.resize(std::max(tails_.size(), std::min(order + 1, kMostTails)), 0.0);
  }

  int level_of(const RowNode& node, double exposure, double full_hazard) const {
    const double z = exposure / node.scale;
    const double hazard = node.v * full_hazard;
    if (z <= row_.table->first_z() * (1 + 1e-12) && hazard < 9) return 0;
    const double pieces = std::max(z / row_.table->piece(), hazard / 8);
    if (pieces > 32) return -1;
    return pieces <= 4 ? 1 : static_cast<int>(std::ceil(std::log2(pieces))) - 1;
  }

  // Bound of what the nodes of a level weigh times their chance of a second demand.
  double at_stake(int level, double exposure, double full_hazard) const {
    double sum = 0;
    const double power = std::pow(exposure / row_.unit, row_.shape);
    for (const RowNode& node : row_.nodes) {
      if (level_of(node, exposure, full_hazard) != level) continue;
      sum += node.weight *
             (level > 0 ? 1 : std::min(1.0, node.v * power) * std::min(1.0, node.v * full_hazard));
    }
    return sum;
  }

  const RowPlan* plan_for(const RowNode& node, std::size_t i) {
    const Position& position = positions_[i];
    if (!plain_[i]) return nullptr;
    std::optional<RowPlan>* plans = plans_.data() + i * kLevels;
    const double exposure = position.exposure_by(days_);
    if (!plans[0]) {
      const Life unit(row_.unit, row_.shape);
      const double end = position.exposure_by(std::min(days_, position.state.due_days));
      const double hazard = position.starts_with_demand()
                                ? 0
                                : unit.hazard(position.state.age + position.state.untested, end);
      const std::size_t n = plan_points_for(error_ / (at_stake(0, exposure, hazard) + 1e-300));
      plans[0].emplace(position, maker_, days_, n, 0);
    }
    const double hazard = plans[0]->full_hazard();
    const int level = level_of(node, exposure, hazard);
    if (level < 0) return nullptr;
    if (!plans[level]) {
      const std::size_t n = plan_points_for(error_ / at_stake(level, exposure, hazard));
      plans[level].emplace(position, maker_, days_, n, level + 1);
    }
    return &*plans[level];
  }

  void count_one(const RowNode& node, std::size_t i, double tail_cutoff) {
    const Position& position = positions_[i];
    const Life life(node.scale, row_.shape);
    const double exposure = position.exposure_by(days_);
    if (is_carried(position.state) && position.state.renewed_every_days < kNever) {
      carried_[i] = carried_units(position, life, days_);
    }
    if (!(exposure > 0)) {
      const PmfBand still = standing_still(position, life, days_, carried_[i]);
      multiply_units(position, still.first, still.values, tail_cutoff);
      return;
    }
    if (inverted_ && exposure / node.scale > kLongestTable &&
        position.is_invertible(longest_days_) && !does_by_series(node, exposure / node.scale)) {
      const PmfBand many = over_many_lives(position, node.scale, days_, tail_cutoff, *inverted_);
      multiply_units(position, many.first, many.values, tail_cutoff);
      return;
    }
    if (exposure / node.scale > (cut_tables_[i] ? kLongestTable : row_.reach)) {
      const PmfBand many = over_many_lives(position, life, days_, tail_cutoff, carried_[i]);
      multiply_units(position, many.first, many.values, tail_cutoff);
      return;
    }
    const RowPlan* plan = plan_for(node, i);
    std::size_t count = 0;
    if (plan == nullptr) {
      count = single_tails(node, i, tail_cutoff);
    } else if (plan == &*plans_[i * kLevels]) {
      count = plan->tails(node.v, *row_.table, tail_cutoff, tails_);
    } else {
      count = plan->long_tails(node.v, node.scale, *row_.table, tail_cutoff, tails_);
    }
    if (count == 0) return;
    pmf_.resize(count + 1);
    double above = 1;
    for (std::size_t k = 0; k < count; ++k) {
      pmf_[k] = above - tails_[k];
      above = tails_[k];
    }
    pmf_[count] = above;
    multiply_units(position, 0, pmf_, tail_cutoff);
  }

  // A unit of several pieces takes them all at once: its count of lives, that many times over.
  void multiply_units(const Position& position, std::size_t first, std::span<const double> lives,
                      double tail_cutoff) {
    const auto pieces = static_cast<std::size_t>(position.state.pieces);
    if (pieces == 1) {
      band_.multiply_copies(first, lives, position.copies, tail_cutoff);
      return;
    }
    spread_.assign((lives.size() - 1) * pieces + 1, 0.0);
    for (std::size_t k = 0; k < lives.size(); ++k) spread_[k * pieces] = lives[k];
    band_.multiply_copies(first * pieces, spread_, position.copies, tail_cutoff);
  }

  // Without a plan, for this node alone.
  std::size_t single_tails(const RowNode& node, std::size_t i, double tail_cutoff) {
    const std::size_t n = std::max<std::size_t>(5, plan_points_for(error_ / node.weight));
    first_demand(first_, positions_[i], Life(node.scale, row_.shape), days_, carried_[i], n);
    tails_[0] = std::clamp(first_.chance, 0.0, 1.0);
    const CountTable& table = cut_tables_[i] ? *cut_tables_[i] : *row_.table;
    const std::size_t most = std::min(table.order() + 1, tails_.size());
    std::fill(tails_.begin() + 1, tails_.begin() + static_cast<std::ptrdiff_t>(most), 0.0);
    const std::span<double> later = std::span<double>(tails_).subspan(1, most - 1);
    const double little = tail_cutoff * 1e-2;
    for (std::size_t q = 0; q < first_.rest.size(); ++q) {
      if (first_.weight[q] < little) continue;
      table.add_tails(first_.rest[q] / node.scale, first_.weight[q], little, later);
    }
    std::size_t count = 0;
    while (count < most && tails_[count] >= tail_cutoff) {
      if (count > 0) tails_[count] = std::min(tails_[count], tails_[count - 1]);
      ++count;
    }
    return count;
  }

  const Row& row_;
  std::span<const Position> positions_;
  double longest_days_;
  double tail_cutoff_;
  double error_;
  double rough_below_ = 0;  // weights of nodes whose own tables may be rough, or medium
  double medium_below_ = 0;
  PlanMaker maker_;
  double days_ = 0;
  std::vector<bool> plain_;
  std::vector<std::optional<RowPlan>> plans_;  // positions x kLevels
  std::vector<std::vector<CarriedUnit>> carried_;
  std::vector<std::shared_ptr<const CountTable>> cut_tables_;
  std::optional<InvertedCount> inverted_;  // where the row wants it
  FirstDemand first_;
  Band band_;
  std::vector<double> tails_;
  std::vector<double> pmf_;
  std::vector<double> spread_;
};

void add_very_many(Pmf& mixture, double weight) {
  if (mixture.size() <= kVeryMany) mixture.resize(kVeryMany + 1, 0.0);
  mixture[kVeryMany] += weight;
}

}  // namespace

void FittedDemand::Impl::add_row(const Row& row, std::span<const double> days,
                                 std::vector<Pmf>& mixtures) const {
  RowCounter counter(row, positions, longest_days, tail_cutoff, row_error);
  std::vector<double> tail_scales;
  for (const double d : days) tail_scales.push_back(lumps_tail_nodes ? tail_scale(row, d) : 0);
  if (counter.by_node()) {
    // What depends on the node (carried units, tables with renewals) is dearer than the plans.
    for (const RowNode& node : row.nodes) {
      counter.start_node(node);
      for (std::size_t h = 0; h < days.size(); ++h) {
        if (node.scale < tail_scales[h]) {
          add_very_many(mixtures[h], node.weight);
          continue;
        }
        counter.start_stretch(days[h]);
        counter.count(node).add_to(mixtures[h], node.weight);
      }
    }
    return;
  }
  counter.start_node(row.nodes.front());
  for (std::size_t h = 0; h < days.size(); ++h) {
    counter.start_stretch(days[h]);
    for (const RowNode& node : row.nodes) {
      if (node.scale < tail_scales[h]) {
        add_very_many(mixtures[h], node.weight);
      } else {
        counter.count(node).add_to(mixtures[h], node.weight);
      }
    }
  }
}

FittedDemand::FittedDemand(std::span<const stats::WeibullNode> nodes,
                           std::span<const UnitState> units, double longest_days)
    : impl_(std::make_unique<Impl>()) {
  check_not_negative(longest_days, "a longest stretch in days");
  impl_->longest_days = longest_days;
  for (const UnitState& unit : units) check_unit(unit, longest_days);
  if (units.empty()) return;
  check_nodes(nodes);
  impl_->make_positions(units);
  impl_->check_ends();
  for (NodeRow& row : make_rows(nodes, impl_->merged())) {
    const double mean_life = std::tgamma(1 + 1 / row.shape);
    impl_->rows.push_back({std::move(row), std::nullopt, kLongestTable, false, mean_life});
  }
  impl_->find_tail_nodes();
  impl_->share_errors();
  for (Row& row : impl_->rows) impl_->make_table(row);
}

FittedDemand::~FittedDemand() = default;
FittedDemand::FittedDemand(FittedDemand&&) noexcept = default;
FittedDemand& FittedDemand::operator=(FittedDemand&&) noexcept = default;

Pmf FittedDemand::distribution(double days) const {
  return std::move(distributions({&days, 1}).front());
}

std::vector<Pmf> FittedDemand::distributions(std::span<const double> days) const {
  for (const double d : days) {
    if (!(d >= 0) || d > impl_->longest_days * (1 + 1e-12)) {
      throw InputError(
          fmt::format("a stretch of {} days is not within 0 to {}", d, impl_->longest_days));
    }
  }
  std::vector<Pmf> mixtures(days.size());
  if (impl_->positions.empty()) {
    std::fill(mixtures.begin(), mixtures.end(), no_demand());
    return mixtures;
  }
  for (const Row& row : impl_->rows) impl_->add_row(row, days, mixtures);
  for (Pmf& mixture : mixtures) trim(mixture);
  return mixtures;
}

}  // namespace shearpin::stocking
