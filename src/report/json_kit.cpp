// The kit under limits, the frontier, the simulation and what a trip adds, as JSON.

#include <stdexcept>

#include "report/json_values.hpp"

namespace shearpin::report {
namespace {

Json kit_line(const advice::KitLine& line) {
  return {{"part", line.part},
          {"name", line.name},
          {"severity", domain::to_text(line.severity)},
          {"aboard", line.aboard},
          {"advised", line.advised},
          {"kit", line.kit},
          {"await", line.await},
          {"load", line.load},
          {"buy", line.buy},
          {"late", line.late},
          {"chance_no_shortage", figure(line.chance)},
          {"stand_ins", line.stand_ins},
          {"also_serves", line.also_serves}};
}

std::string_view how_word(domain::Receipt::How how) {
  switch (how) {
    case domain::Receipt::How::bought:
      return "bought";
    case domain::Receipt::How::parcel:
      return "parcel";
    case domain::Receipt::How::waits:
      return "waits";
    case domain::Receipt::How::home:
      return "home";
  }
  throw std::logic_error("a way to receive a part outside its list");
}

Json conflict(const advice::KitConflict& line) {
  return {{"limit", line.what},
          {"unit", line.unit},
          {"allowed", figure(line.most)},
          {"needed", figure(line.needed)}};
}

Json step(const advice::KitStep& line) {
  return {{"part", line.part},
          {"from", line.from},
          {"to", line.to},
          {"use", figure(line.use)},
          {"days_without", figure(line.days_without)},
          {"cost_without", figure(line.cost_without)}};
}

}  // namespace

Json kit_json(const advice::KitView& kit) {
  Json json{{"found", kit.found}, {"optimal", kit.optimal}, {"undecided", kit.undecided}};
  // Of no kit there is nothing to tell but what stands in its way.
  const auto of_kit = [&kit](double value) { return kit.found ? figure(value) : Json(); };
  json["gap"] = of_kit(kit.gap);
  json["parts"] = each(kit.lines, kit_line);
  json["limits"] = each(kit.limits, [](const auto& use) {
    return Json{{"limit", use.what},
                {"unit", use.unit},
                {"allowed", figure(use.most)},
                {"taken", figure(use.use)}};
  });
  json["risks"] = each(kit.risks, [](const auto& risk) {
    return Json{{"severity", domain::to_text(risk.severity)},
                {"allowed", figure(risk.most)},
                {"chance", figure(risk.chance)}};
  });
  json["unseen_by_risks"] = kit.unseen;
  json["chance_no_shortage"] = of_kit(kit.readiness);
  json["days_without"] = of_kit(kit.days_without);
  json["cost_without"] = of_kit(kit.cost_without);
  json["safety_cost"] = of_kit(kit.safety_cost);
  json["conflicts"] = each(kit.conflicts, conflict);
  json["safety_short"] = each(kit.safety_short, conflict);
  json["leave_first"] = each(kit.leave_first, step);
  json["more"] = each(kit.more, [](const auto& more) {
    return Json{{"limit", more.what},
                {"unit", more.unit},
                {"extra", figure(more.extra)},
                {"changes", each(more.changes, step)},
                {"chance_no_shortage", figure(more.readiness)},
                {"days_without", figure(more.days_without)}};
  });
  json["notes"] = kit.notes;
  return json;
}

Json simulation_json(const advice::SimulationView& view) {
  Json json{{"runs", view.runs},
            {"seed", view.seed},
            {"random_leads", view.random_leads},
            {"chance_no_shortage", figure(view.readiness)},
            {"standard_error", figure(view.readiness_error)}};
  json["parts"] = each(view.lines, [](const auto& line) {
    return Json{{"part", line.part},
                {"pieces", line.pieces},
                {"chance_no_shortage", figure(line.chance)},
                {"chance_error", figure(line.chance_error)},
                {"days_without", figure(line.days_without)},
                {"days_error", figure(line.days_error)}};
  });
  return json;
}

Json on_trip_json(const advice::OnTrip& trip) {
  Json json;
  json["receipts"] = each(trip.receipts, [](const domain::Receipt& receipt) {
    return Json{{"day", to_text(receipt.day)},
                {"cutoff", to_text(receipt.cutoff)},
                {"place", receipt.place},
                {"how", how_word(receipt.how)},
                {"waiting", receipt.waiting}};
  });
  json["interval_demand"] = each(trip.intervals, [](const auto& pmf) { return figures(pmf); });
  json["sampled"] = trip.sampled;
  json["error_aboard"] = figure(trip.error_aboard);
  json["error"] = figure(trip.error_carry);
  json["exposure_by_leg"] = figures(trip.exposure);
  return json;
}

Json order_chances_json(const std::vector<advice::OrderChance>& chances) {
  return each(chances, [](const auto& chance) {
    return Json{{"where", chance.where},
                {"order_by", to_text(chance.order_by)},
                {"received", to_text(chance.received)},
                {"bought_there", chance.bought},
                {"missed", chance.missed}};
  });
}

}  // namespace shearpin::report
