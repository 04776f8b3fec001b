#include "advice/part_extras.hpp"

#include <algorithm>

#include "base/quantity.hpp"

namespace shearpin::advice {
std::optional<Consumption> consumption_of(const Analyst& analyst, PartId part) {
  const auto* its_class = analyst.catalogue().class_of(analyst.catalogue().at(part));
  if (its_class == nullptr || !its_class->consumed) {
    return std::nullopt;
  }
  std::vector<std::int64_t> sizes;
  for (const auto& usage : analyst.snapshot().usages) {
    if (usage.part == part) {
      sizes.push_back(usage.quantity);
    }
  }
  const auto past = analyst.exposure().between(*its_class, analyst.first_record_of(part),
                                               analyst.snapshot().as_of);
  const auto& policy = analyst.policy();
  Consumption consumption;
  consumption.its_class = its_class;
  consumption.rate =
      stocking::consumption_rate({its_class->life_median, its_class->life_low, its_class->life_high,
                                  policy.event_size_mean, policy.event_size_weight},
                                 sizes, past.effective);
  consumption.cost_of_day = policy.cost_of_day(its_class->severity);
  consumption.assumed = past.class_rate;
  return consumption;
}

stocking::LossRecord losses_of(const Analyst& analyst, PartId part, std::int64_t units_in_place) {
  const auto& snapshot = analyst.snapshot();
  stocking::LossRecord record;
  for (const auto& loss : snapshot.losses) {
    if (loss.part == part) {
      record.losses += loss.quantity;
    }
  }
  std::int64_t items = units_in_place;
  for (const auto& line : snapshot.stock) {
    if (line.part == part && !analyst.catalogue().at(line.bin).ashore) {
      items += line.quantity;
    }
  }
  record.items = static_cast<double>(std::max<std::int64_t>(items, 1));
  record.item_years = record.items *
                      std::max(0, days_between(analyst.first_record_of(part), snapshot.as_of)) /
                      kDaysPerYear;
  return record;
}

stocking::LossBelief loss_belief_of(const domain::Policy& policy) {
  return {policy.loss_prior_shape, policy.loss_prior_years};
}

RepairShare repair_share_of(const Analyst& analyst, const LifeBelief& belief) {
  using Kind = domain::AgeRecord::Kind;
  RepairShare share;
  share.took = analyst.policy().repair_took_part;
  share.none = analyst.policy().repair_took_none;
  for (const auto& record : belief.records) {
    if (record.kind == Kind::repaired) {
      share.any = true;
      (record.took_part ? share.took : share.none) += 1;
    } else if (record.kind != Kind::alive) {
      share.took += 1;
    }
  }
  return share;
}

}  // namespace shearpin::advice
