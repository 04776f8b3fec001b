#include "shearpin/domain/exposure.hpp"

#include <algorithm>
#include <stdexcept>
#include <tuple>

#include "domain/fields.hpp"
#include "domain/use_curve.hpp"

namespace shearpin::domain {
namespace {

/// Where a position's exposure comes from: so many times a curve.
struct Source {
  const UseCurve* curve = nullptr;
  std::optional<MeterId> meter;  ///< the meter the curve is of; none: calendar or constant
  double times = 1;
  bool class_rate = false;
};

/// The factor of the conditions named that hold `days` after the start, capped.
double planned_factor(const PlannedStretch& ahead, const ComponentClass& kind, double days,
                      double cap) {
  // Each condition once, for as long as it is named.
  std::map<std::string_view, double> holds;
  for (const auto& [condition, length] : ahead.conditions) {
    double& longest = holds[condition];
    longest = std::max(longest, length);
  }
  double product = 1;
  for (const auto& [condition, length] : holds) {
    const auto factor = kind.sensitivity.find(std::string(condition));
    if (factor != kind.sensitivity.end() && (length > days || length >= ahead.days)) {
      product *= factor->second;
    }
  }
  return std::min(product, cap);
}

/// Mean factor over the stretch: conditions begin on the first day, so the factor only changes
/// where one of them ends.
double mean_factor(const PlannedStretch& ahead, const ComponentClass* kind, double cap) {
  if (kind == nullptr) {
    return 1;
  }
  if (!(ahead.days > 0)) {
    return planned_factor(ahead, *kind, 0, cap);
  }
  std::vector<double> ends{0, ahead.days};
  for (const auto& [condition, length] : ahead.conditions) {
    if (length > 0 && length < ahead.days) {
      ends.push_back(length);
    }
  }
  std::sort(ends.begin(), ends.end());
  double sum = 0;
  for (std::size_t i = 0; i + 1 < ends.size(); ++i) {
    sum += (ends[i + 1] - ends[i]) * planned_factor(ahead, *kind, ends[i], cap);
  }
  return sum / ahead.days;
}

}  // namespace

struct ExposureReader::Impl {
  using Key = std::tuple<MeterId, RigId, ClassId>;  ///< meter 0: the calendar

  const Snapshot& snapshot;
  UseCurve calendar = UseCurve::constant(1);
  std::map<MeterId, UseCurve> meters;
  std::vector<const MeterReading*> impossible;
  std::map<Key, EffectiveCurve> bent;  ///< only where conditions hold to which the class is open
  std::map<std::pair<RigId, ClassId>, std::vector<FactorStep>> steps;
  double cap;

  explicit Impl(const Snapshot& from) : snapshot(from), cap(from.policy.condition_cap) {
    read_meters();
    const UnitLife* before = nullptr;
    for (const UnitLife& life : snapshot.lives) {
      // Lives of one place stand together, mostly of one part.
      if (before == nullptr || before->position != life.position || before->part != life.part) {
        const Position& position = snapshot.catalogue->at(life.position);
        prepare(position, life.part
                              ? snapshot.catalogue->class_of(snapshot.catalogue->at(*life.part))
                              : snapshot.catalogue->class_of(position));
      }
      before = &life;
    }
  }

  void read_meters() {
    std::map<MeterId, std::vector<const MeterReading*>> readings;
    for (const MeterReading& reading : snapshot.readings) {
      readings[reading.meter].push_back(&reading);
    }
    const double mean_days = snapshot.policy.mean_rate_days;
    for (const Meter& meter : snapshot.catalogue->meters) {
      auto& own = readings[meter.id];
      std::stable_sort(own.begin(), own.end(), [](const MeterReading* a, const MeterReading* b) {
        return a->date < b->date;
      });
      if (auto curve = UseCurve::from_readings(own, meter.usual_per_day, mean_days,
                                               most_a_day(meter.unit), impossible)) {
        meters.emplace(meter.id, std::move(*curve));
      }
    }
  }

  /// Bends the curve of a position that has lives to age, once, before anybody asks.
  void prepare(const Position& position, const ComponentClass* kind) {
    if (kind == nullptr || kind->sensitivity.empty() || snapshot.conditions.empty()) {
      return;
    }
    auto [found, is_new] = steps.try_emplace({position.rig, kind->id});
    if (is_new) {
      found->second = factor_steps(snapshot.conditions, position.rig, *kind, cap);
    }
    const Source source = source_of(position, kind);
    if (!found->second.empty()) {
      const Key key{source.meter.value_or(MeterId{}), position.rig, kind->id};
      if (bent.find(key) == bent.end()) {
        bent.emplace(key, EffectiveCurve(*source.curve, found->second));
      }
    }
  }

  const UseCurve* curve_of(MeterId meter) const {
    const auto found = meters.find(meter);
    return found != meters.end() ? &found->second : nullptr;
  }

  Source by_class_rate(const ComponentClass& kind) const {
    return {&calendar, std::nullopt, kind.usual_per_day, true};
  }

  Source source_of(const Position& position, const ComponentClass* kind) const {
    if (kind == nullptr || kind->basis == Basis::days) {
      return {&calendar, std::nullopt, 1, false};
    }
    if (position.meter && counts(snapshot.catalogue->at(*position.meter), kind->basis)) {
      if (const UseCurve* curve = curve_of(*position.meter)) {
        return {curve, position.meter, 1, false};
      }
    }
    const ComponentClass* own = snapshot.catalogue->class_of(position);
    if (position.usual_per_day && own != nullptr && own->basis == kind->basis) {
      if (!position.usual_meter) {
        return {&calendar, std::nullopt, *position.usual_per_day, false};
      }
      const UseCurve* curve = curve_of(*position.usual_meter);
      // Of a meter never read, a unit a day is taken: as for a class's rate, every day counts.
      return curve != nullptr ? Source{curve, position.usual_meter, *position.usual_per_day, false}
                              : Source{&calendar, std::nullopt, *position.usual_per_day, true};
    }
    return by_class_rate(*kind);
  }

  /// Meters that count the basis of a class, retired ones left out.
  std::vector<MeterId> meters_of(const ComponentClass& kind) const {
    std::vector<MeterId> found;
    for (const Meter& meter : snapshot.catalogue->meters) {
      if (!meter.retired && counts(meter, kind.basis)) {
        found.push_back(meter.id);
      }
    }
    // Of several engines none is the one meant; of several distances the longest is.
    const bool largest_counts = kind.basis == Basis::distance_km || kind.basis == Basis::nights;
    if (!largest_counts && found.size() > 1) {
      found.clear();
    }
    return found;
  }

  /// What is used up and belongs to no position; `weight` says how busy a meter was.
  template <class Weight>
  Source source_of(const ComponentClass& kind, Weight weight) const {
    if (kind.basis == Basis::days) {
      return {&calendar, std::nullopt, 1, false};
    }
    Source best = by_class_rate(kind);
    double most = -1;
    for (const MeterId meter : meters_of(kind)) {
      const UseCurve* curve = curve_of(meter);
      if (curve != nullptr && weight(*curve) > most) {
        most = weight(*curve);
        best = {curve, meter, 1, false};
      }
    }
    return best;
  }

  Exposure difference(const Source& source, const EffectiveCurve* curve, Date from, Date to) const {
    if (to < from) {
      throw std::logic_error("an exposure cannot end before it begins");
    }
    const DayNumber a = day_number(from);
    const DayNumber b = day_number(to);
    Exposure result;
    result.plain = source.times * (source.curve->at(b) - source.curve->at(a));
    result.effective =
        curve == nullptr
            ? result.plain
            : source.times * (curve->at(b, *source.curve) - curve->at(a, *source.curve));
    result.class_rate = source.class_rate && from != to;
    result.outside_readings = source.curve->leaves_readings(a, b);
    return result;
  }

  StretchExposure stretch(const Source& source, const ComponentClass* kind,
                          std::optional<double> amount, const PlannedStretch& ahead) const {
    StretchExposure result;
    result.amount_given = amount.has_value();
    result.plain = amount ? *amount : source.times * source.curve->rate_after() * ahead.days;
    result.effective = result.plain * mean_factor(ahead, kind, cap);
    result.per_day = ahead.days > 0 ? result.effective / ahead.days : 0;
    result.assumed = source.class_rate && !amount;
    return result;
  }
};

ExposureReader::ExposureReader(const Snapshot& snapshot)
    : impl_(std::make_unique<const Impl>(snapshot)) {}
ExposureReader::ExposureReader(ExposureReader&&) noexcept = default;
ExposureReader::~ExposureReader() = default;

Exposure ExposureReader::between(const Position& position, Date from, Date to) const {
  return between(position, impl_->snapshot.catalogue->class_of(position), from, to);
}

Exposure ExposureReader::between(const Position& position, const ComponentClass* kind, Date from,
                                 Date to) const {
  const Source source = impl_->source_of(position, kind);
  if (kind == nullptr || kind->sensitivity.empty() || impl_->snapshot.conditions.empty()) {
    return impl_->difference(source, nullptr, from, to);
  }
  const auto found = impl_->bent.find({source.meter.value_or(MeterId{}), position.rig, kind->id});
  if (found != impl_->bent.end()) {
    return impl_->difference(source, &found->second, from, to);
  }
  // No condition touches it, or no unit of that class was ever fitted there.
  const auto known = impl_->steps.find({position.rig, kind->id});
  if (known != impl_->steps.end() && known->second.empty()) {
    return impl_->difference(source, nullptr, from, to);
  }
  const EffectiveCurve curve(
      *source.curve, factor_steps(impl_->snapshot.conditions, position.rig, *kind, impl_->cap));
  return impl_->difference(source, &curve, from, to);
}

Exposure ExposureReader::between(const ComponentClass& kind, Date from, Date to) const {
  const Source source = impl_->source_of(kind, [from, to](const UseCurve& curve) {
    return curve.at(day_number(to)) - curve.at(day_number(from));
  });
  const EffectiveCurve curve(
      *source.curve, factor_steps(impl_->snapshot.conditions, std::nullopt, kind, impl_->cap));
  return impl_->difference(source, &curve, from, to);
}

StretchExposure ExposureReader::stretch(const Position& position,
                                        const PlannedStretch& ahead) const {
  return stretch(position, impl_->snapshot.catalogue->class_of(position), ahead);
}

StretchExposure ExposureReader::stretch(const Position& position, const ComponentClass* kind,
                                        const PlannedStretch& ahead) const {
  const Source source = impl_->source_of(position, kind);
  std::optional<double> amount;
  if (kind != nullptr && kind->basis != Basis::days) {
    // An amount counts for the meter even where it was never read.
    const bool own = position.meter &&
                     counts(impl_->snapshot.catalogue->at(*position.meter), kind->basis) &&
                     ahead.use.contains(*position.meter);
    const bool own_basis = impl_->snapshot.catalogue->class_of(position) != nullptr &&
                           impl_->snapshot.catalogue->class_of(position)->basis == kind->basis;
    const bool metered = source.meter && source.meter == position.meter;
    if (own) {
      amount = ahead.use.at(*position.meter);
    } else if (!metered && own_basis && position.usual_per_day && position.usual_meter &&
               ahead.use.contains(*position.usual_meter)) {
      amount = *position.usual_per_day * ahead.use.at(*position.usual_meter);
    }
  }
  return impl_->stretch(source, kind, amount, ahead);
}

StretchExposure ExposureReader::stretch(const ComponentClass& kind,
                                        const PlannedStretch& ahead) const {
  std::optional<double> amount;
  if (kind.basis != Basis::days) {
    for (const MeterId meter : impl_->meters_of(kind)) {
      const auto given = ahead.use.find(meter);
      if (given != ahead.use.end()) {
        amount = std::max(amount.value_or(0), given->second);
      }
    }
  }
  const Source source =
      impl_->source_of(kind, [](const UseCurve& curve) { return curve.rate_after(); });
  return impl_->stretch(source, &kind, amount, ahead);
}

std::optional<double> ExposureReader::rate_of(MeterId meter) const {
  const UseCurve* curve = impl_->curve_of(meter);
  return curve != nullptr ? std::optional(curve->rate_after()) : std::nullopt;
}

const std::vector<const MeterReading*>& ExposureReader::impossible() const {
  return impl_->impossible;
}

std::optional<double> most_a_day(std::string_view unit) {
  if (unit == "h") {
    return 24;
  }
  if (unit == "cycles") {
    return 24 * 3600;
  }
  if (unit == "nights") {
    return 1;
  }
  return unit == "km" || unit == "mi" ? std::optional<double>(2000) : std::nullopt;
}

bool condition_holds(const Snapshot& snapshot, RigId rig, std::string_view condition, Date day) {
  return std::any_of(
      snapshot.conditions.begin(), snapshot.conditions.end(), [&](const ConditionPeriod& period) {
        return period.condition == condition && (!period.rig || *period.rig == rig) &&
               period.from <= day && (!period.to || day <= *period.to);
      });
}

}  // namespace shearpin::domain
