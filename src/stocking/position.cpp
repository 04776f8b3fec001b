#include "stocking/position.hpp"

#include <algorithm>
#include <cmath>

#include "stocking/quadrature.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
// Powers below 1 need more points.
std::size_t carried_points(double shape) { return shape < 1 ? 20 : 12; }

// Length of a piece of an integral: the density and the counts change on the scale 1/shape.
double piece_length(const Life& life) { return life.scale() / std::max(1.0, life.shape() / 1.5); }

// Residual life of the first unit: its own part's life or this one's.
class FirstLife {
 public:
  FirstLife(const Position& position, const Life& life)
      : other_(position.other.get()), life_(life), age_(position.state.age) {}

  double density(double u) const { return other_ ? other_->density(u) : life_.density(age_, u); }
  double survival(double u) const { return other_ ? other_->survival(u) : life_.survival(age_, u); }
  double spent() const { return other_ ? kInfinity : life_.spent(age_); }
  // Where the density changes faster than its distance from 0 tells.
  double first_spent() const { return other_ ? other_->first_spent() : spent(); }
  bool is_mixture() const { return other_ != nullptr; }
  double age() const { return age_; }
  double piece() const {
    return other_ ? std::min(other_->scale(), piece_length(life_)) : piece_length(life_);
  }

 private:
  const TabulatedLife* other_;
  const Life& life_;
  double age_;
};

// An integral of density(u) x count(z - u) over u in [0, high].
struct FirstIntegral {
  double high;
  double z;
  double cut;    // the count jumps wherever z - u is a multiple of it
  double age;    // the density is singular this far before u = 0
  double spent;  // and falls off within this length, slower further out
  double piece;
};

std::vector<SplitPoint> points_of(const FirstIntegral& in, const Grading& grading, std::size_t n) {
  std::vector<double> breaks{0.0};
  for (double at = in.spent; at < in.high; at *= 4) breaks.push_back(at);
  if (in.cut < in.z) {
    for (double rest = in.cut; rest < in.z; rest += in.cut) {
      if (in.z - rest < in.high) breaks.push_back(in.z - rest);
    }
    std::sort(breaks.begin(), breaks.end());
  }
  breaks.push_back(in.high);
  std::vector<SplitPoint> points;
  for (std::size_t i = 1; i < breaks.size(); ++i) {
    const double low = breaks[i - 1];
    const double high = breaks[i];
    if (!(high - low > 1e-14 * in.high)) continue;
    // The start of the segment that the rest lies in: the count is singular there.
    double origin = 0;
    if (in.cut < in.z) {
      origin = std::floor((in.z - (low + high) / 2) / in.cut) * in.cut;
      origin = std::min(origin, in.z - high);
    }
    append_split_points(points, {low, high, in.z, origin, in.age}, grading, in.piece, n);
  }
  return points;
}

// What the first end in the stretch looks like for one unit.
struct UnitEnds {
  double age;    // for the grading: the density is singular this far before u = 0
  double alive;  // chance of being there at the start
  double left;   // chance of being there and not ended by the end of the stretch or the due day
  double high;   // u is no larger
  double due;    // exposure at which it is renewed
  double spent;  // see FirstIntegral
  double piece;
};

template <class Density>
void add_unit(FirstDemand& out, const UnitEnds& unit, double exposure, double cut,
              const Grading& grading, std::size_t n, Density density) {
  const bool falls_due = unit.due <= exposure * (1 + 1e-12);
  for (const SplitPoint& p :
       points_of({unit.high, exposure, cut, unit.age, unit.spent, unit.piece}, grading, n)) {
    out.add(std::max(p.rest, 0.0), p.weight * density(p.u));
  }
  if (falls_due) {
    out.add(std::max(0.0, exposure - unit.due), unit.left);
    out.chance += unit.alive;
  } else {
    out.chance += unit.alive - unit.left;
  }
}

// From the first four moments about 0.
Cumulants cumulants_of(const double* moments) {
  const double m = moments[0];
  const double v = moments[1] - m * m;
  const double central4 =
      moments[3] - 4 * m * moments[2] + 6 * m * m * moments[1] - 3 * m * m * m * m;
  return {m, v, moments[2] - 3 * m * moments[1] + 2 * m * m * m, central4 - 3 * v * v};
}

}  // namespace

void FirstDemand::clear() {
  chance = 0;
  rest.clear();
  weight.clear();
}

void FirstDemand::add(double rest_exposure, double chance_there) {
  rest.push_back(rest_exposure);
  weight.push_back(chance_there);
}

void first_demand(FirstDemand& out, const Position& position, const Life& life, double days,
                  const std::vector<CarriedUnit>& carried, std::size_t points) {
  out.clear();
  const UnitState& state = position.state;
  const double exposure = position.exposure_by(days);
  if (position.starts_with_demand()) {
    out.chance = 1;
    out.add(exposure, 1);
    return;
  }
  const double cut = position.due_exposure(state.renewed_every_days, days);
  const Grading grading(life.shape());
  const FirstLife first(position, life);
  const bool renewed_before = state.before_days > 0 && state.due_days < 0;
  // The unit fitted now, if nothing ends it before the start. What of `passed` is untested is found
  // out at the start.
  const bool hidden = state.untested > 0;
  const double passed = hidden ? state.untested + state.before : state.before;
  if (hidden) {
    const double found_dead = 1 - first.survival(passed);
    out.add(exposure, found_dead);
    out.chance += found_dead;
  }
  if (!renewed_before || hidden) {
    const double due = position.due_exposure(state.due_days, days);
    const double end = std::min(exposure, due);
    const UnitEnds unit{first.age() + passed,
                        first.survival(passed),
                        first.survival(passed + end),
                        std::min(end, std::max(0.0, first.spent() - passed)),
                        due,
                        std::max(first.first_spent() - passed, 1e-9 * first.piece()),
                        first.piece()};
    add_unit(out, unit, exposure, cut, grading, points,
             [&](double u) { return first.density(passed + u); });
  }
  for (const CarriedUnit& other : carried) {
    const double due = position.due_exposure(other.due_days, days);
    const double end = std::min(exposure, due);
    const UnitEnds unit{other.age,
                        other.weight * life.survival(0, other.age),
                        other.weight * life.survival(0, other.age + end),
                        std::min(end, std::max(0.0, life.spent(0) - other.age)),
                        due,
                        std::max(life.spent(0) - other.age, 1e-9 * life.scale()),
                        piece_length(life)};
    add_unit(out, unit, exposure, cut, grading, points,
             [&](double u) { return other.weight * life.density(0, other.age + u); });
  }
}

// Before the start a unit may end and be replaced, that one too, and so on. The density of
// replacements at v is that of a delayed renewal process, r(v) + integral r(y) m(v - y) dy, with r
// the residual density of the unit fitted today and m the renewal density of new units; planned
// renewals add chains of units that live exactly from one renewal to the next.
std::vector<CarriedUnit> carried_units(const Position& position, const Life& life, double days) {
  const UnitState& state = position.state;
  std::vector<CarriedUnit> units;
  if (position.starts_with_demand() || state.untested > 0) return units;
  const double before = state.before;
  const double a_day = state.before_days > 0 ? before / state.before_days : 0;
  if (!(before > 0)) {
    // Nothing was used, yet days passed: a unit renewed before the start is new.
    if (state.before_days > 0 && state.due_days < 0) {
      const double since = std::fmod(-state.due_days, state.renewed_every_days);
      units.push_back({0, 1, state.renewed_every_days - since});
    }
    return units;
  }
  const double cut = a_day > 0 ? state.renewed_every_days * a_day : kInfinity;
  const double due = a_day > 0 && state.due_days < 0 ? before + state.due_days * a_day : kInfinity;
  const double first_due = std::max(0.0, due);
  const FirstLife first(position, life);
  const Grading grading(life.shape());
  const double reach = std::min(before / life.scale(), kLongestTable);
  const CountTable table({.shape = life.shape(), .z_max = reach, .cut = cut / life.scale()});
  const auto renewal_density = [&](double v) {
    return table.expected_density(std::min(v / life.scale(), reach)) / life.scale();
  };
  const double chain = cut < before ? life.survival(0, cut) : 0;
  const double reaches_due = first_due < before ? first.survival(first_due) : 0;
  const auto put_in = [&](double age, double weight) {
    const double since = a_day > 0 ? age / a_day : 0;
    units.push_back({age, weight, state.renewed_every_days - since});
  };

  // Units put in long before the start have ended by then.
  std::vector<double> breaks{std::max(0.0, before - std::min(cut, life.spent(0))), before};
  const double from = breaks.front();
  for (double at = 0; at < before; at += cut) {
    if (at > from) breaks.push_back(at);
    if (first_due + at > from && first_due + at < before) breaks.push_back(first_due + at);
    if (!(cut < before)) break;
  }
  // Old units run out soon, so replacements crowd together early.
  const double spent = first.first_spent();
  for (double at = spent; at < before; at *= 4) {
    if (at > from) breaks.push_back(at);
    if (!first.is_mixture()) break;
  }
  // A unit renewed just on the last day of the stretch counts, one put in later does not.
  if (cut < kInfinity) {
    const double age =
        (state.renewed_every_days - std::fmod(days, state.renewed_every_days)) * a_day;
    if (before - age > from) breaks.push_back(before - age);
  }
  std::sort(breaks.begin(), breaks.end());
  std::vector<SplitPoint> points;
  for (std::size_t i = 1; i < breaks.size(); ++i) {
    if (!(breaks[i] - breaks[i - 1] > 1e-12 * before)) continue;
    const double low = breaks[i - 1];
    const double length = breaks[i] - low;
    points.clear();
    // Past a break that is there for the old unit's sake alone nothing is singular, and grading by
    // a broken power would make it so.
    Grading from_low = grading;
    if (low > 0 && !(cut < before) && !(first_due < before)) from_low.density = 1;
    append_split_points(points, {0, length, length, 0, low > 0 ? 0 : first.age()}, from_low,
                        first.piece(), carried_points(life.shape()));
    for (const SplitPoint& p : points) {
      const double v = low + p.u;
      double density = v < first_due ? first.density(v) : 0;
      double survives = chain;
      for (double y = v - cut; y > 0 && survives > 0; y -= cut, survives *= chain) {
        if (y < first_due) density += survives * first.density(y);
      }
      const double high = std::min({v, first_due, first.spent()});
      for (const SplitPoint& q : points_of({high, v, cut, first.age(), spent, first.piece()},
                                           grading, carried_points(life.shape()))) {
        density += q.weight * first.density(q.u) * renewal_density(std::max(q.rest, 0.0));
      }
      if (v > first_due) density += reaches_due * renewal_density(v - first_due);
      put_in(before - v, density * p.weight);
    }
  }
  if (reaches_due > 0) {
    const double links = cut < before ? std::floor((before - first_due) / cut) : 0;
    put_in(before - first_due - links * (links > 0 ? cut : 0),
           reaches_due * std::pow(chain, links));
  }
  return units;
}

PmfBand standing_still(const Position& position, const Life& life, double days,
                       const std::vector<CarriedUnit>& carried) {
  const UnitState& state = position.state;
  const auto renewals = [&](double since) {
    return since < 0 ? 0.0 : 1 + std::floor(since / state.renewed_every_days * (1 + 1e-12));
  };
  PmfBand band;
  const auto add = [&band](double count, double chance) {
    const auto k = static_cast<std::size_t>(count);
    if (band.values.size() <= k) band.values.resize(k + 1, 0.0);
    band.values[k] += chance;
  };
  if (position.starts_with_demand()) {
    add(renewals(days), 1);
    return band;
  }
  const FirstLife first(position, life);
  const bool hidden = state.untested > 0;
  const double alive = first.survival(hidden ? state.untested + state.before : state.before);
  if (hidden) add(renewals(days), 1 - alive);
  double rest = hidden ? alive : 1;
  for (const CarriedUnit& unit : carried) {
    const double chance = unit.weight * life.survival(0, unit.age);
    add(renewals(days - std::max(0.0, unit.due_days)), chance);
    rest -= chance;
  }
  if (rest > 0) add(renewals(days - std::max(0.0, state.due_days)), rest);
  return band;
}

PmfBand over_many_lives(const Position& position, const Life& life, double days, double tail_cutoff,
                        const std::vector<CarriedUnit>& carried) {
  const UnitState& state = position.state;
  const double exposure = position.exposure_by(days);
  const double cut = position.due_exposure(state.renewed_every_days, days);
  const FirstLife first(position, life);
  const bool starts = position.starts_with_demand();
  const double passed = state.untested + state.before;
  const double alive = state.untested > 0 ? first.survival(passed) : 1;
  const double conditional = state.untested > 0 ? 1 : std::max(first.survival(passed), 1e-300);
  const auto cumulants = [&](double high, double piece, double scale, auto survival) {
    std::vector<SplitPoint> points;
    append_split_points(points, {0, high, high}, Grading(life.shape()), piece,
                        carried_points(life.shape()));
    double moments[4] = {};
    for (const SplitPoint& p : points) {
      const double u = p.u / scale;
      double term = p.weight / scale * survival(p.u);
      for (int i = 0; i < 4; ++i, term *= u) moments[i] += (i + 1) * term;
    }
    return cumulants_of(moments);
  };
  const double scale = life.scale();
  const double piece = piece_length(life);
  Cumulants later = weibull_cumulants(life.shape());
  if (cut < life.spent(0)) {
    later = cumulants(cut, piece, scale, [&](double u) { return life.survival(0, u); });
  }
  if (starts) {
    PmfBand band = many_lives(later, later, exposure / scale, tail_cutoff);
    ++band.first;
    return band;
  }
  if (!carried.empty()) {
    // Which unit is there at the start is open: the moments of the first demand over all of them.
    FirstDemand ends;
    first_demand(ends, position, life, days, carried, carried_points(life.shape()));
    double moments[5] = {};
    for (std::size_t q = 0; q < ends.rest.size(); ++q) {
      double term = ends.weight[q];
      for (double& moment : moments) {
        moment += term;
        term *= (exposure - ends.rest[q]) / scale;
      }
    }
    for (int i = 4; i >= 0; --i) moments[i] /= moments[0];
    return many_lives(cumulants_of(moments + 1), later, exposure / scale, tail_cutoff);
  }
  const double due = position.due_exposure(state.due_days, days);
  const double high = std::min({exposure, due, std::max(first.spent() - passed, 1e-12 * scale)});
  const Cumulants residual = cumulants(high, first.piece(), scale, [&](double u) {
    return std::min(alive, first.survival(passed + u) / conditional);
  });
  return many_lives(residual, later, exposure / scale, tail_cutoff);
}

PmfBand over_many_lives(const Position& position, double scale, double days, double tail_cutoff,
                        InvertedCount& counts) {
  const UnitState& state = position.state;
  const FirstUnit first{position.starts_with_demand(), state.age / scale, state.untested / scale};
  return counts.count(first, position.exposure_by(days) / scale, tail_cutoff);
}

}  // namespace shearpin::stocking
