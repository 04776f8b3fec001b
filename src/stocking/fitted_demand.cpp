#include "shearpin/stocking/fitted_demand.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <optional>

#include "shearpin/base/error.hpp"
#include "stocking/position.hpp"
#include "stocking/row_plan.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kLeastWeight = 1e-10;
constexpr double kNothing = 1e-13;
constexpr double kMostLives = 1e5;
constexpr double kMostRenewals = 400;
constexpr std::size_t kSlowPoints = 12;
constexpr std::size_t kMostTails = 1200;

void check_not_negative(double value, const char* what) {
  if (!(value >= 0) || !std::isfinite(value)) {
    throw InputError(fmt::format("{} of {} is not a number >= 0", what, value));
  }
}

void check_unit(const UnitState& unit, double longest_days) {
  check_not_negative(unit.age, "an age");
  check_not_negative(unit.untested, "an untested exposure");
  check_not_negative(unit.exposure_per_day, "an exposure a day");
  check_not_negative(unit.before, "an exposure before the start");
  check_not_negative(unit.before_days, "a number of days before the start");
  if (std::isnan(unit.due_days)) throw InputError("a due day is not a number");
  if (!(unit.renewed_every_days > 0)) {
    throw InputError(fmt::format("a renewal every {} days is not above 0, such as 365",
                                 unit.renewed_every_days));
  }
  if (longest_days + unit.before_days > kMostRenewals * unit.renewed_every_days) {
    throw NumericError(fmt::format(
        "a stretch of {} days holds more than {} renewals every {} days; ask for a shorter one",
        longest_days, kMostRenewals, unit.renewed_every_days));
  }
}

void check_nodes(std::span<const stats::WeibullNode> nodes) {
  double total = 0;
  for (const stats::WeibullNode& node : nodes) {
    const bool usable = node.scale > 0 && std::isfinite(node.scale) && node.shape >= 0.05 &&
                        node.shape <= 200 && node.weight >= 0;
    if (!usable && node.weight >= kLeastWeight) {
      throw InputError(fmt::format(
          "a life of scale {}, shape {} and weight {} needs scale > 0, shape 0.05 to 200",
          node.scale, node.shape, node.weight));
    }
    total += node.weight;
  }
  if (!(std::fabs(total - 1) < 1e-6)) {
    throw InputError(fmt::format("the weights of the lives add up to {}, not 1", total));
  }
}

bool alike(const UnitState& a, const UnitState& b) {
  return a.age == b.age && a.untested == b.untested && a.exposure_per_day == b.exposure_per_day &&
         a.before == b.before && a.before_days == b.before_days && a.down == b.down &&
         a.due_days == b.due_days && a.renewed_every_days == b.renewed_every_days &&
         a.first_life.data() == b.first_life.data() && a.first_life.size() == b.first_life.size();
}

bool comes_first(const UnitState& a, const UnitState& b) {
  const auto key = [](const UnitState& u) {
    return std::tuple(u.age, u.exposure_per_day, u.untested, u.before, u.due_days,
                      u.renewed_every_days, u.before_days, u.down);
  };
  return key(a) < key(b);
}

// A distribution under construction: values from `first` on.
class Band {
 public:
  Band() : first_(0), values_{1.0} {}

  void reset() {
    first_ = 0;
    values_.assign(1, 1.0);
  }

  void multiply(std::size_t first, std::span<const double> with, double nothing) {
    scratch_.assign(values_.size() + with.size() - 1, 0.0);
    for (std::size_t i = 0; i < values_.size(); ++i) {
      const double value = values_[i];
      double* to = scratch_.data() + i;
      for (std::size_t j = 0; j < with.size(); ++j) to[j] += value * with[j];
    }
    values_.swap(scratch_);
    first_ += first;
    // Cut both ends: what is dropped is far below the stated tail.
    double cut = 0;
    while (values_.size() > 1 && cut + values_.back() < nothing) {
      cut += values_.back();
      values_.pop_back();
    }
    std::size_t low = 0;
    cut = 0;
    while (low + 1 < values_.size() && cut + values_[low] < nothing) cut += values_[low++];
    if (low > 16) {
      values_.erase(values_.begin(), values_.begin() + static_cast<std::ptrdiff_t>(low));
      first_ += low;
    }
  }

  void add_to(Pmf& mixture, double weight) const {
    if (mixture.size() < first_ + values_.size()) mixture.resize(first_ + values_.size(), 0.0);
    for (std::size_t k = 0; k < values_.size(); ++k) mixture[first_ + k] += weight * values_[k];
  }

  std::size_t first() const { return first_; }
  std::span<const double> values() const { return values_; }

 private:
  std::size_t first_;
  std::vector<double> values_;
  std::vector<double> scratch_;
};

void multiply_copies(Band& band, std::size_t first, std::span<const double> one, std::size_t copies,
                     double nothing) {
  if (copies == 1) {
    band.multiply(first, one, nothing);
    return;
  }
  Band power;
  power.multiply(first, one, nothing);
  for (;;) {
    if (copies & 1U) band.multiply(power.first(), power.values(), nothing);
    copies >>= 1U;
    if (copies == 0) return;
    const std::vector<double> same(power.values().begin(), power.values().end());
    power.multiply(power.first(), same, nothing);
  }
}

struct Node {
  double scale;
  double weight;
  double v;  // scale^-shape
};

struct Row {
  double shape = 0;
  double weight = 0;
  std::vector<Node> nodes;
  std::optional<CountTable> table;  // absent when no position needs it
};

std::vector<Row> make_rows(std::span<const stats::WeibullNode> nodes) {
  std::vector<Row> rows;
  for (const stats::WeibullNode& node : nodes) {
    if (node.weight < kLeastWeight) continue;
    if (rows.empty() || rows.back().shape != node.shape) {
      rows.emplace_back();
      rows.back().shape = node.shape;
    }
    rows.back().nodes.push_back({node.scale, node.weight, std::pow(node.scale, -node.shape)});
    rows.back().weight += node.weight;
  }
  return rows;
}

}  // namespace

struct FittedDemand::Impl {
  std::vector<Row> rows;
  std::vector<Position> positions;
  double longest_days = 0;

  void make_positions(std::span<const UnitState> units);
  void make_table(Row& row) const;
  void add_row(const Row& row, std::span<const double> days, std::vector<Pmf>& mixtures) const;
};

void FittedDemand::Impl::make_positions(std::span<const UnitState> units) {
  for (const UnitState& unit : units) {
    const auto same = std::find_if(positions.begin(), positions.end(),
                                   [&](const Position& p) { return alike(p.state, unit); });
    if (same != positions.end()) {
      ++same->copies;
      continue;
    }
    Position position;
    position.state = unit;
    if (!unit.first_life.empty()) {
      check_nodes(unit.first_life);
      const double reach = unit.untested + unit.before + unit.exposure_per_day * longest_days;
      for (const Position& p : positions) {
        const bool shared =
            p.state.first_life.data() == unit.first_life.data() &&
            p.state.first_life.size() == unit.first_life.size() && p.state.age == unit.age &&
            p.state.untested + p.state.before + p.state.exposure_per_day * longest_days == reach;
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

void FittedDemand::Impl::make_table(Row& row) const {
  double longest = 0;
  for (const Position& position : positions) {
    const bool needs = !(position.state.renewed_every_days <= longest_days);
    if (needs) longest = std::max(longest, position.state.exposure_per_day * longest_days);
  }
  if (!(longest > 0)) return;
  double reach = 0;
  for (const Node& node : row.nodes) {
    const double z = longest / node.scale;
    if (z > kMostLives) {
      throw NumericError(fmt::format(
          "a stretch of {:.3g} times the believed life is past the limit of {:.0f}; check the "
          "belief and the rates",
          z, kMostLives));
    }
    reach = std::max(reach, std::min(z, kLongestTable));
  }
  row.table.emplace(CountTableSpec{.shape = row.shape,
                                   .z_max = reach,
                                   .nothing = std::min(1e-6, kNothing / row.weight),
                                   .coarse = true});
}

namespace {

// Works out one node at a time; keeps its buffers.
class NodeCounter {
 public:
  NodeCounter(const Row& row, std::span<const Position> positions, double longest_days)
      : row_(row), positions_(positions), longest_days_(longest_days) {}

  void plan(double days) {
    days_ = days;
    plans_.clear();
    for (const Position& position : positions_) {
      if (position.is_plain(longest_days_)) {
        plans_.emplace_back(std::in_place, position, row_.shape, days, plan_points(position));
      } else {
        plans_.emplace_back();
      }
    }
  }

  const Band& count(const Node& node, std::size_t node_index) {
    const double nothing = kNothing / node.weight;
    band_.reset();
    for (std::size_t i = 0; i < positions_.size(); ++i) {
      count_one(node, node_index, i, nothing);
    }
    return band_;
  }

  void start_node(const Node& node) {
    carried_.assign(positions_.size(), {});
    cut_tables_.clear();
    cut_tables_.resize(positions_.size());
    const Life life(node.scale, row_.shape);
    for (std::size_t i = 0; i < positions_.size(); ++i) {
      const Position& position = positions_[i];
      if (position.state.before > 0 || position.state.due_days < 0) {
        carried_[i] = carried_units(position, life);
      }
      const double per_day = position.state.exposure_per_day;
      if (position.state.renewed_every_days <= longest_days_ && per_day > 0) {
        const double reach = per_day * longest_days_ / node.scale;
        if (reach <= kLongestTable) {
          cut_tables_[i].emplace(
              CountTableSpec{.shape = row_.shape,
                             .z_max = reach,
                             .cut = per_day * position.state.renewed_every_days / node.scale,
                             .nothing = std::min(1e-6, kNothing / node.weight)});
        }
      }
    }
  }

 private:
  std::size_t plan_points(const Position&) const { return 10; }

  void count_one(const Node& node, std::size_t, std::size_t i, double nothing) {
    const Position& position = positions_[i];
    const double exposure = position.state.exposure_per_day * days_;
    const double z = exposure / node.scale;
    const Life life(node.scale, row_.shape);
    if (!(position.state.exposure_per_day > 0)) {
      const PmfBand still = standing_still(position, life, days_, carried_[i]);
      multiply_copies(band_, still.first, still.values, position.copies, nothing);
      return;
    }
    std::size_t count = 0;
    const bool fast =
        plans_[i] && z <= row_.table->first_z() * (1 + 1e-12) && plans_[i]->holds(node.v);
    if (fast) {
      count = plans_[i]->tails(node.v, *row_.table, nothing, tails_);
    } else if (z > kLongestTable) {
      const PmfBand many = over_many_lives(position, life, days_, nothing);
      multiply_copies(band_, many.first, many.values, position.copies, nothing);
      return;
    } else {
      count = slow_tails(position, life, i, nothing);
    }
    pmf_.assign(count + 1, 0.0);
    double above = 1;
    for (std::size_t k = 0; k < count; ++k) {
      pmf_[k] = above - tails_[k];
      above = tails_[k];
    }
    pmf_[count] = above;
    multiply_copies(band_, 0, pmf_, position.copies, nothing);
  }

  std::size_t slow_tails(const Position& position, const Life& life, std::size_t i,
                         double nothing) {
    first_demand(first_, position, life, days_, carried_[i], kSlowPoints);
    tails_[0] = std::clamp(first_.chance, 0.0, 1.0);
    const CountTable& table = cut_tables_[i] ? *cut_tables_[i] : *row_.table;
    const std::size_t most = std::min(table.order() + 1, tails_.size());
    std::fill(tails_.begin() + 1, tails_.begin() + static_cast<std::ptrdiff_t>(most), 0.0);
    for (std::size_t q = 0; q < first_.rest.size(); ++q) {
      if (first_.weight[q] < 1e-18) continue;
      table.add_tails(first_.rest[q] / life.scale(), first_.weight[q],
                      std::span<double>(tails_).subspan(1, most - 1));
    }
    std::size_t count = 0;
    while (count < most && tails_[count] >= nothing) {
      if (count > 0) tails_[count] = std::min(tails_[count], tails_[count - 1]);
      ++count;
    }
    return count;
  }

  const Row& row_;
  std::span<const Position> positions_;
  double longest_days_;
  double days_ = 0;
  std::vector<std::optional<RowPlan>> plans_;
  std::vector<std::vector<CarriedUnit>> carried_;
  std::vector<std::optional<CountTable>> cut_tables_;
  FirstDemand first_;
  Band band_;
  std::vector<double> tails_ = std::vector<double>(kMostTails, 0.0);
  std::vector<double> pmf_;
};

}  // namespace

void FittedDemand::Impl::add_row(const Row& row, std::span<const double> days,
                                 std::vector<Pmf>& mixtures) const {
  NodeCounter counter(row, positions, longest_days);
  const bool by_node = std::any_of(positions.begin(), positions.end(),
                                   [&](const Position& p) { return !p.is_plain(longest_days); });
  if (by_node) {
    // What depends on the node (carried units, tables with renewals) is dearer than the plans.
    for (std::size_t n = 0; n < row.nodes.size(); ++n) {
      counter.start_node(row.nodes[n]);
      for (std::size_t h = 0; h < days.size(); ++h) {
        counter.plan(days[h]);
        counter.count(row.nodes[n], n).add_to(mixtures[h], row.nodes[n].weight);
      }
    }
    return;
  }
  if (!row.nodes.empty()) counter.start_node(row.nodes.front());
  for (std::size_t h = 0; h < days.size(); ++h) {
    counter.plan(days[h]);
    for (std::size_t n = 0; n < row.nodes.size(); ++n) {
      counter.count(row.nodes[n], n).add_to(mixtures[h], row.nodes[n].weight);
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
  impl_->rows = make_rows(nodes);
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
