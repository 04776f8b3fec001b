#include "advice/base_case.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "advice/shared.hpp"
#include "base/quantity.hpp"
#include "base/text.hpp"

namespace shearpin::advice {
namespace {

/// Usable pieces everywhere: at base the shed is at hand too.
std::int64_t on_hand(const StockView& stock) { return stock.aboard + stock.ashore; }

void fill_stock(const Analyst& analyst, PartId part, const BaseCase& found, ReorderLine& line) {
  const auto today = analyst.snapshot().as_of;
  const auto until = today + std::chrono::days(static_cast<int>(
                                 std::ceil(line.review_and_lead(found.lead.planning_days))));
  const auto now = analyst.stock_of(part, today);
  const auto then = analyst.stock_of(part, until);
  line.on_hand = on_hand(now);
  line.expiring = on_hand(now) - on_hand(then);
  line.on_order = now.on_order;
  line.given_up = now.given_up;
  for (const auto& caller : analyst.callers_of(part)) {
    for (const auto& unit : caller.units) {
      if (unit.state != domain::PlaceState::fitted) {
        line.owed += caller.position->pieces;
      }
    }
  }
  line.position = line.on_hand + line.on_order - line.expiring - line.owed;
}

std::string reason_for(const ReorderLine& line) {
  if (line.given_up > 0 && line.order_pieces > 0) {
    return fmt::format("{} ordered long ago: not coming any more", line.given_up);
  }
  if (line.owed > 0 && line.on_hand < line.owed) {
    return fmt::format("{} needed now", counted(line.owed, "piece"));
  }
  if (line.level == 0 && line.stretch_level == 0) {
    return "seldom needed, quickly had or dear";
  }
  if (line.stretch_level > line.level) {
    return fmt::format("the stretch wants {}", line.stretch_level);
  }
  return line.decided_by == DecidedBy::worth
             ? "cheap beside a day without"
             : fmt::format("{:g} % sure, {}", line.target * 100, domain::to_text(line.severity));
}

}  // namespace

double ReorderLine::review_and_lead(double lead_days) const { return review_days + lead_days; }

Window base_window(Date as_of) {
  Window window;
  window.start = as_of;
  window.days = 365;
  return window;
}

void set_order(const Analyst& analyst, const CarryLine* stretch, ReorderLine& line) {
  const auto& part = analyst.catalogue().at(line.id);
  line.stretch_level = stretch == nullptr ? 0 : stretch->carry;
  const std::int64_t for_base =
      line.position <= line.reorder_point ? line.level - line.position : 0;
  const std::int64_t for_stretch = stretch == nullptr ? 0 : stretch->to_buy();
  const std::int64_t lacking = std::max(for_base, for_stretch);
  line.pack = std::max(1, part.pack);
  line.order_pieces = line.order_packs = 0;
  line.cost.reset();
  line.arrives_by.reset();
  if (lacking > 0) {
    line.order_pieces = stocking::round_up_to_packs(static_cast<long>(lacking), line.pack);
    line.order_packs = line.order_pieces / line.pack;
    if (const auto price = analyst.catalogue().price_of(part)) {
      line.cost = *price * line.order_pieces;
    }
    line.arrives_by = analyst.snapshot().as_of +
                      std::chrono::days(static_cast<int>(std::ceil(line.lead_planning)));
  }
  line.reason = reason_for(line);
}

BaseCase base_case(const Analyst& analyst, PartId part_id, const CarryLine* stretch,
                   const std::vector<domain::AgeRecord>* records) {
  const auto& part = analyst.catalogue().at(part_id);
  const auto callers = analyst.callers_of(part_id);
  const Window window = base_window(analyst.snapshot().as_of);
  const double review = analyst.policy().review_days;
  BaseCase found;
  ReorderLine& line = found.line;
  line.id = part_id;
  line.part = part.key;
  line.name = part.name;
  line.review_days = review;
  line.severity = part_severity(analyst, part_id, callers);
  line.target = analyst.policy().target(line.severity);
  found.lead = analyst.lead_belief(part_id, line.severity);
  line.supplier = found.lead.supplier_key;
  if (part.supplier) {
    line.supplier_name = analyst.catalogue().at(*part.supplier).name;
  }
  line.lead_median = stats::lead_time_quantile(found.lead.posterior, 0.5);
  line.lead_planning = found.lead.planning_days;

  const double longest = stocking::longest_days(found.lead.posterior, review);
  const double usual = review + found.lead.mean_days;
  const auto ahead = exposure_ahead(analyst, part_id, window, usual);
  const auto belief = records == nullptr
                          ? analyst.life_belief(part_id, {.ahead = ahead})
                          : analyst.life_belief_from(part_id, *records, {.ahead = ahead});
  const PartDemand demand(analyst, part_id, belief, window, Setting::base, longest);
  found.exposure = demand.exposure_per_day() * usual;
  const auto by_days = [&demand](std::span<const double> at) { return demand.totals(at); };
  auto in_lead = stocking::demand_over_lead(by_days, found.lead.posterior, 0.0, demand.breaks());
  auto protection =
      stocking::demand_over_lead(by_days, found.lead.posterior, review, demand.breaks());
  found.lead_demand = std::move(in_lead.demand);
  found.protection_demand = std::move(protection.demand);
  found.bounded = in_lead.bounded || protection.bounded;
  found.days_without =
      stocking::days_without_base(found.lead_demand, review, found.lead.mean_days, demand.set());
  found.cost =
      demand.base_cost(found.lead.posterior, review, found.lead.mean_days, found.days_without);
  const auto piece_cost = holding_cost(analyst, part, usual);
  found.piece_cost = piece_cost.value_or(0);
  // Where the price is unknown no piece can be shown to be worth its keep: the target decides.
  const stocking::DaysWithout nothing{0};
  const bool weigh = piece_cost.has_value() && demand.any();
  const auto policy =
      stocking::base_policy(found.protection_demand, line.target, weigh ? found.cost : nothing, 1.0,
                            std::max(found.piece_cost, 1e-9), review);
  line.level = static_cast<int>(policy.order_up_to);
  line.reorder_point = static_cast<int>(policy.reorder_point);
  line.decided_by = decided_by(policy.level.target, policy.level.worth);
  fill_stock(analyst, part_id, found, line);
  line.chance_now =
      stocking::chance_at_most(found.protection_demand, static_cast<long>(line.position));
  set_order(analyst, stretch, line);
  if (const auto* its_class = analyst.catalogue().class_of(part)) {
    line.safety_note = its_class->safety_note;
  }
  return found;
}

}  // namespace shearpin::advice
