#pragma once
/// A small truck for tests of advice: a rare class that lives long and does not age, and parts of
/// it that differ in price and mass alone.

#include "domain/snapshot_builder.hpp"
#include "shearpin/advice/advise.hpp"

namespace shearpin::advice::testing {

using domain::testing::day;

/// Class `rare`: characteristic life 2,800 days (1,000 to 8,000), shape 1, degraded.
class AdviceWorld : public domain::testing::SnapshotBuilder {
 public:
  AdviceWorld() {
    auto& rare = add_class("rare");
    rare.life_median = 2800;
    rare.life_low = 1000;
    rare.life_high = 8000;
    rare.shape = 1;
    rare.severity = domain::Severity::degraded;
    rare.resupply = domain::Resupply::order_online;
    add_bin("box");
    add_bin("shed", true);
  }

  /// A part with one position of the same name and one unit fitted on 2024-01-01.
  void add_fitted(const std::string& key, Money price, double mass_g) {
    auto& part = add_part(key, "rare");
    part.price = price;
    part.mass_g = mass_g;
    add_position(key, key);
    add_life(key, 1, day(2024, 1, 1));
  }

  CarryLine carry(const std::string& key, int days) const {
    const PartId only = part(key);
    return advise_carry(build(), window(days), {&only, 1}).lines.front();
  }
  ReorderLine reorder(const std::string& key) const {
    const PartId only = part(key);
    return advise_reorder(build(), std::nullopt, {&only, 1}).lines.front();
  }
  Window window(int days) const {
    Window ahead;
    ahead.start = build().as_of;
    ahead.days = days;
    return ahead;
  }
};

inline RateAnswer rate(const AdviceWorld& world, const std::string& part) {
  return advise_rate(world.build(), world.part(part));
}

}  // namespace shearpin::advice::testing
