#include "advice/base_case.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "advice/shared.hpp"
#include "base/quantity.hpp"
#include "base/text.hpp"
#include "stocking/stretch_demand.hpp"

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
  const double review = analyst.policy().review_days;
  BaseCase found;
  ReorderLine& line = found.line;
  line.id = part_id;
  line.part = part.key;
  line.name = part.name;
  line.review_days = review;
  line.severity = part_severity(analyst, part_id, analyst.callers_of(part_id));
  line.target = analyst.policy().target(line.severity);
  found.lead = analyst.lead_belief(part_id, line.severity);
  line.supplier = found.lead.supplier_key;
  if (part.supplier) {
    line.supplier_name = analyst.catalogue().at(*part.supplier).name;
  }
  line.lead_median = stats::lead_time_quantile(found.lead.posterior, 0.5);
  line.lead_planning = found.lead.planning_days;

  const double usual = review + found.lead.mean_days;
  const Outlook outlook = outlook_at_base(analyst, part_id, usual, records);
  found.exposure = outlook.exposure;
  const auto& lead = found.lead.posterior;
  const double longest = stocking::longest_days(lead, review);
  const auto over_lead = [&](const stocking::StretchDemand& demand, double review_days) {
    return stocking::demand_over_lead(
        [&](std::span<const double> at) { return demand.distributions(at); }, lead, review_days,
        demand.breaks());
  };
  const auto days_without = [&](const stocking::Pmf& lead_demand, stocking::Standing standing) {
    return stocking::days_without_base(lead_demand, review, found.lead.mean_days, standing.set);
  };
  const stocking::StretchDemand demand(outlook.input, longest);
  auto in_lead = over_lead(demand, 0.0);
  auto protection = over_lead(demand, review);
  found.lead_demand = std::move(in_lead.demand);
  found.protection_demand = std::move(protection.demand);
  found.bounded = in_lead.bounded || protection.bounded;
  found.days_without = days_without(found.lead_demand, outlook.standing());
  found.cost =
      outlook
          .cost_of(found.days_without,
                   [&](const stocking::TripDemandInput& severest, stocking::Standing standing) {
                     const stocking::StretchDemand alone(severest, longest);
                     return days_without(over_lead(alone, 0.0).demand, standing);
                   })
          .cost;
  const auto piece_cost = holding_cost(analyst, part, usual);
  found.piece_cost = piece_cost.value_or(0);
  // Where the price is unknown no piece can be shown to be worth its keep: the target decides.
  const stocking::DaysWithout nothing{0};
  const bool weigh = piece_cost.has_value() && outlook.any();
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
