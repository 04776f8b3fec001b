#include "domain/use_curve.hpp"

#include <algorithm>

namespace shearpin::domain {

DayNumber day_number(Date date) { return static_cast<DayNumber>(date.time_since_epoch().count()); }

bool beyond_days(double rise, int days, std::optional<double> most_a_day) {
  return most_a_day && rise > *most_a_day * (days + 1);
}

UseCurve UseCurve::constant(double rate) {
  UseCurve curve;
  curve.rate_before_ = curve.rate_after_ = rate;
  return curve;
}

std::optional<UseCurve> UseCurve::from_readings(const std::vector<const MeterReading*>& readings,
                                                std::optional<double> usual, double mean_days,
                                                std::optional<double> most,
                                                std::vector<const MeterReading*>& impossible) {
  UseCurve curve;
  auto& knots = curve.knots_;
  double shown = 0;  // by the meter at the last knot
  for (const MeterReading* reading : readings) {
    const DayNumber day = day_number(reading->date);
    const bool beyond = !knots.empty() && !reading->replaced &&
                        beyond_days(reading->value - shown, day - knots.back().day, most);
    if (beyond) {
      impossible.push_back(reading);
    }
    const bool fresh_meter =
        !knots.empty() && (reading->replaced || beyond || reading->value < shown);
    const double run = knots.empty() || fresh_meter ? 0 : reading->value - shown;
    shown = reading->value;
    if (!knots.empty() && knots.back().day == day) {
      knots.back().sum += run;
      continue;
    }
    if (!knots.empty()) {
      knots.back().known = !fresh_meter;
      curve.has_gaps_ = curve.has_gaps_ || fresh_meter;
    }
    knots.push_back({day, knots.empty() ? 0 : knots.back().sum + run, true});
  }
  const bool any_span =
      knots.size() > 1 &&
      std::any_of(knots.begin(), knots.end() - 1, [](const Knot& knot) { return knot.known; });
  if (!any_span) {
    return usual ? std::optional(constant(*usual)) : std::nullopt;
  }
  const DayNumber first = knots.front().day;
  const DayNumber last = knots.back().day;
  const int span = static_cast<int>(mean_days);
  const double overall = curve.mean_rate(first, last, usual.value_or(0));
  curve.rate_before_ = curve.mean_rate(first, first + span, usual.value_or(overall));
  curve.rate_after_ = curve.mean_rate(last - span, last, usual.value_or(overall));
  curve.fill_gaps(usual.value_or(overall), mean_days);
  return curve;
}

/// Mean over the known stretches of [from, to], or `otherwise` where it holds none.
double UseCurve::mean_rate(DayNumber from, DayNumber to, double otherwise) const {
  double run = 0;
  double days = 0;
  for (std::size_t i = 0; i + 1 < knots_.size(); ++i) {
    const Knot& a = knots_[i];
    const Knot& b = knots_[i + 1];
    const DayNumber begin = std::max(from, a.day);
    const DayNumber end = std::min(to, b.day);
    if (a.known && begin < end) {
      run += (b.sum - a.sum) * (end - begin) / (b.day - a.day);
      days += end - begin;
    }
  }
  return days > 0 ? run / days : otherwise;
}

/// What was run while one meter was out and the next not yet read.
void UseCurve::fill_gaps(double otherwise, double mean_days) {
  if (!has_gaps_) {
    return;
  }
  const int span = static_cast<int>(mean_days);
  std::vector<double> extra(knots_.size(), 0);
  for (std::size_t i = 0; i + 1 < knots_.size(); ++i) {
    if (!knots_[i].known) {
      const DayNumber from = knots_[i].day;
      const DayNumber to = knots_[i + 1].day;
      const double after = mean_rate(to, to + span, otherwise);
      extra[i + 1] = mean_rate(from - span, from, after) * (to - from);
    }
  }
  double shift = 0;
  for (std::size_t i = 0; i < knots_.size(); ++i) {
    shift += extra[i];
    knots_[i].sum += shift;
  }
}

double UseCurve::at(DayNumber day) const {
  if (knots_.empty()) {
    return rate_after_ * day;
  }
  const auto next = std::upper_bound(knots_.begin(), knots_.end(), day,
                                     [](DayNumber d, const Knot& knot) { return d < knot.day; });
  if (next == knots_.begin()) {
    return next->sum - rate_before_ * (next->day - day);
  }
  const Knot& a = *(next - 1);
  if (next == knots_.end()) {
    return a.sum + rate_after_ * (day - a.day);
  }
  return a.sum + (next->sum - a.sum) * (day - a.day) / (next->day - a.day);
}

bool UseCurve::leaves_readings(DayNumber from, DayNumber to) const {
  if (knots_.empty() || from == to) {
    return false;
  }
  if (from < knots_.front().day || to > knots_.back().day) {
    return true;
  }
  if (!has_gaps_) {
    return false;
  }
  for (std::size_t i = 0; i + 1 < knots_.size(); ++i) {
    if (!knots_[i].known && knots_[i].day < to && from < knots_[i + 1].day) {
      return true;
    }
  }
  return false;
}

std::vector<FactorStep> factor_steps(const std::vector<ConditionPeriod>& periods,
                                     std::optional<RigId> rig, const ComponentClass& kind,
                                     double cap) {
  // What begins (+1) and what ends (-1) on a day, by the place of the condition in the class's
  // list.
  struct Change {
    DayNumber day;
    std::size_t condition;
    int by;
  };
  std::vector<Change> changes;
  std::vector<double> factors;
  for (const auto& [name, factor] : kind.sensitivity) {
    for (const ConditionPeriod& period : periods) {
      if (period.condition != name || (period.rig && rig && *period.rig != *rig)) {
        continue;
      }
      changes.push_back({day_number(period.from), factors.size(), 1});
      if (period.to) {
        // The last day counts in full.
        changes.push_back({day_number(*period.to) + 1, factors.size(), -1});
      }
    }
    factors.push_back(factor);
  }
  std::sort(changes.begin(), changes.end(),
            [](const Change& one, const Change& other) { return one.day < other.day; });
  std::vector<int> holding(factors.size(), 0);
  std::vector<FactorStep> steps;
  for (std::size_t i = 0; i < changes.size(); ++i) {
    holding[changes[i].condition] += changes[i].by;
    if (i + 1 < changes.size() && changes[i + 1].day == changes[i].day) {
      continue;
    }
    double product = 1;
    for (std::size_t k = 0; k < factors.size(); ++k) {
      product *= holding[k] > 0 ? factors[k] : 1;
    }
    steps.push_back({changes[i].day, std::min(product, cap)});
  }
  return steps;
}

EffectiveCurve::EffectiveCurve(const UseCurve& plain, const std::vector<FactorStep>& steps) {
  knots_.reserve(steps.size());
  for (const FactorStep& step : steps) {
    const double here = plain.at(step.day);
    const double sum = knots_.empty() ? 0
                                      : knots_.back().effective +
                                            knots_.back().factor * (here - knots_.back().plain);
    knots_.push_back({step.day, step.factor, here, sum});
  }
}

double EffectiveCurve::at(DayNumber day, const UseCurve& plain) const {
  const double here = plain.at(day);
  const auto next = std::upper_bound(knots_.begin(), knots_.end(), day,
                                     [](DayNumber d, const Knot& knot) { return d < knot.day; });
  if (next == knots_.begin()) {
    return knots_.empty() ? here : here - knots_.front().plain;
  }
  const Knot& a = *(next - 1);
  return a.effective + a.factor * (here - a.plain);
}

}  // namespace shearpin::domain
