#include "advice/upkeep.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "stats/age_replacement.hpp"
#include "stats/condition_factor.hpp"
#include "stats/failure_finding.hpp"

namespace shearpin::advice {
namespace {

/// Wear-out must be this sure, and this many failures on record, before a replacement age is more
/// than a belief.
constexpr double kSureWearOut = 0.9;
constexpr int kEnoughFailures = 3;

std::optional<double> price_of_unit(const Analyst& analyst, PartId part_id, int pieces) {
  const auto price = analyst.catalogue().price_of(analyst.catalogue().at(part_id));
  return price ? std::optional(price->major() * pieces) : std::nullopt;
}

/// The class with the factor of one condition set, as a class of its own.
domain::ComponentClass with_factor(const domain::ComponentClass& its_class,
                                   const std::string& condition, double factor) {
  domain::ComponentClass changed = its_class;
  changed.id = ClassId{};
  changed.sensitivity[condition] = factor;
  return changed;
}

/// An effective age is plain + f x exposed, so two factors tell both parts. Where all factors
/// together meet their cap it is no longer so; the second factor is near the first for that reason.
constexpr double kOtherFactor = 1.0625;

stats::SplitAge split(double at_one, double at_other) {
  const double exposed = std::max(0.0, (at_other - at_one) / (kOtherFactor - 1));
  return {std::max(0.0, at_one - exposed), exposed};
}

stats::LifeKind kind_of(domain::AgeRecord::Kind kind) {
  switch (kind) {
    case domain::AgeRecord::Kind::failed:
      return stats::LifeKind::failed;
    case domain::AgeRecord::Kind::alive:
      return stats::LifeKind::alive;
    case domain::AgeRecord::Kind::interval:
      return stats::LifeKind::interval;
    case domain::AgeRecord::Kind::repaired:
      return stats::LifeKind::repaired;
  }
  throw std::logic_error("a life record of no kind");
}

std::vector<stats::SplitRecord> split_records(const Analyst& analyst, PartId part,
                                              const domain::ComponentClass& its_class,
                                              const std::string& condition) {
  const auto one = analyst.lives().of_part(part, with_factor(its_class, condition, 1));
  const auto other = analyst.lives().of_part(part, with_factor(its_class, condition, kOtherFactor));
  std::vector<stats::SplitRecord> records;
  for (std::size_t i = 0; i < one.size(); ++i) {
    if (one[i].kind != other[i].kind) {
      continue;  // an interval that the factor alone makes one
    }
    stats::SplitRecord record;
    record.kind = kind_of(one[i].kind);
    record.entry = split(one[i].entry, other[i].entry);
    record.lower = split(one[i].lower, other[i].lower);
    record.exit = split(one[i].exit, other[i].exit);
    record.exposed_at_exit = domain::condition_holds(
        analyst.snapshot(), analyst.catalogue().at(one[i].position).rig, condition, one[i].to);
    records.push_back(record);
  }
  return records;
}

/// Effective ages of the fitted units of a part, each once; 0 where none is fitted.
std::set<double> ages_fitted(const std::vector<Caller>& callers, PartId part) {
  std::set<double> ages;
  for (const auto& caller : callers) {
    for (const auto& unit : caller.units) {
      if (unit.state == domain::PlaceState::fitted && unit.part == part) {
        ages.insert(unit.age);
      }
    }
  }
  return ages.empty() ? std::set<double>{0} : ages;
}

double exposed_in(const std::vector<stats::SplitRecord>& records) {
  double sum = 0;
  for (const auto& record : records) {
    sum += record.exit.exposed - record.entry.exposed;
  }
  return sum;
}

}  // namespace

std::optional<ReplacementLine> replacement_line(const Analyst& analyst, PartId part,
                                                const LifeBelief& belief) {
  const auto callers = analyst.callers_of(part);
  const auto* its_class = analyst.catalogue().class_of(analyst.catalogue().at(part));
  if (callers.empty() || (its_class != nullptr && its_class->hidden)) {
    return std::nullopt;
  }
  const auto price = price_of_unit(analyst, part, callers.front().position->pieces);
  if (!price) {
    return std::nullopt;
  }
  const double day = callers.front().cost_of_day;
  ReplacementLine line;
  line.cost_planned = *price + day * analyst.policy().swap_days;
  line.cost_failure = *price + day * analyst.policy().breakdown_days;
  if (!(line.cost_planned > 0 && line.cost_failure > 0)) {
    return std::nullopt;
  }
  const auto best =
      stats::age_replacement(belief.posterior.nodes, {line.cost_planned, line.cost_failure});
  line.age = best.age;
  line.gain = best.gain;
  line.chance_wears_out = best.chance_wears_out;
  line.belief =
      belief.posterior.failures < kEnoughFailures || !(best.chance_wears_out > kSureWearOut);
  return line;
}

std::optional<TestIntervalLine> test_interval_line(const Analyst& analyst, PartId part,
                                                   const LifeBelief& belief) {
  const auto* its_class = analyst.catalogue().class_of(analyst.catalogue().at(part));
  if (its_class == nullptr || !its_class->hidden) {
    return std::nullopt;
  }
  TestIntervalLine line;
  line.availability = analyst.policy().test_availability;
  line.class_days = its_class->test_interval_days;
  const auto callers = analyst.callers_of(part);
  // A test renews nothing: what wears out is tested the oftener the older it is.
  line.interval = std::numeric_limits<double>::infinity();
  for (const double age : ages_fitted(callers, part)) {
    const double interval =
        stats::failure_finding_interval(belief.posterior.nodes, line.availability, age);
    if (interval < line.interval) {
      line.interval = interval;
      line.age = age;
    }
  }
  if (!callers.empty()) {
    domain::PlannedStretch year;
    year.start = analyst.snapshot().as_of;
    year.days = 365;
    const double per_day = analyst.exposure().stretch(*callers.front().position, year).per_day;
    if (per_day > 0) {
      line.days = line.interval / per_day;
    }
  }
  return line;
}

std::vector<FactorLine> factor_lines(const Analyst& analyst, PartId part,
                                     const LifeBelief& belief) {
  std::vector<FactorLine> lines;
  const auto* its_class = analyst.catalogue().class_of(analyst.catalogue().at(part));
  if (its_class == nullptr || analyst.snapshot().conditions.empty()) {
    return lines;
  }
  for (const auto& [condition, factor] : its_class->sensitivity) {
    const auto records = split_records(analyst, part, *its_class, condition);
    const double cap = analyst.policy().condition_cap;
    if (!(factor < cap) || !stats::factor_is_learnable(records)) {
      continue;
    }
    const auto learnt = stats::factor_posterior(
        belief.prior, {factor, analyst.policy().factor_log_sd, cap}, records);
    if (learnt) {
      lines.push_back({condition, factor, learnt->factor, learnt->chance_above_one,
                       learnt->chance_above_prior, learnt->share_learnt, exposed_in(records)});
    }
  }
  return lines;
}

}  // namespace shearpin::advice
