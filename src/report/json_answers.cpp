#include <cmath>
#include <stdexcept>

#include "report/carry.hpp"
#include "report/json_values.hpp"
#include "report/now.hpp"
#include "report/reorder.hpp"
#include "report/stock_report.hpp"

namespace shearpin::report {
namespace {

Json bin_pieces(const advice::BinPieces& bin) {
  return {{"bin", bin.bin}, {"pieces", bin.pieces}, {"aboard", bin.aboard}};
}

Json down_line(const advice::DownLine& line) {
  return {{"position", line.position},
          {"unit", line.unit},
          {"name", line.name},
          {"rig", line.rig},
          {"state", domain::to_text(line.state)},
          {"since", to_text(line.since)},
          {"severity", domain::to_text(line.severity)},
          {"getting_by", text_or_null(line.getting_by)},
          {"class_advice", text_or_null(line.class_advice)},
          {"part", text_or_null(line.part)},
          {"aboard", line.aboard},
          {"ashore", line.ashore},
          {"on_order", line.on_order},
          {"safety_note", text_or_null(line.safety_note)}};
}

std::string kind_word(advice::DueLine::Kind kind) {
  switch (kind) {
    case advice::DueLine::Kind::test:
      return "test";
    case advice::DueLine::Kind::marked_end:
      return "marked_end";
    case advice::DueLine::Kind::spare_end:
      return "spare_end";
    case advice::DueLine::Kind::charge:
      return "charge";
  }
  throw std::logic_error("a kind of due line outside its list");
}

Json due_line(const advice::DueLine& line) {
  return {{"kind", kind_word(line.kind)},
          {"what", line.what},
          {"name", line.name},
          {"due", to_text(line.due)},
          {"days_over", line.days_over},
          {"detail", line.detail},
          {"safety_note", text_or_null(line.safety_note)}};
}

Json open_order_line(const advice::OpenOrderLine& line) {
  return {{"number", line.number},
          {"part", line.part},
          {"name", line.name},
          {"supplier", line.supplier},
          {"pieces_to_come", line.quantity},
          {"ordered", to_text(line.ordered)},
          {"days_waited", figure(line.days_waited)},
          {"chance_in_week", figure(line.chance_in_week)}};
}

Json exposure_line(const advice::ExposureLine& line) {
  return {{"position", line.position},
          {"name", line.name},
          {"rig", line.rig},
          {"severity", domain::to_text(line.severity)},
          {"chance_fails", figure(line.chance_fails)},
          {"certain", text_or_null(line.certain)},
          {"spares", line.spares},
          {"workaround", text_or_null(line.workaround)},
          {"part", text_or_null(line.part)},
          {"class", text_or_null(line.class_key)},
          {"safety_note", text_or_null(line.safety_note)}};
}

Json pack_line(const advice::PackLine& line) {
  return {{"bin", text_or_null(line.bin)},
          {"bin_name", text_or_null(line.bin_name)},
          {"aboard", line.aboard},
          {"part", line.part},
          {"name", line.name},
          {"batch", text_or_null(line.batch)},
          {"pieces", line.quantity},
          {"remark", line.remark}};
}

Json assumption_line(const advice::AssumptionLine& line) {
  return {{"part", line.part},
          {"name", line.name},
          {"unit", line.unit},
          {"life_low", figure(line.life_low)},
          {"life_median", figure(line.life_median)},
          {"life_high", figure(line.life_high)},
          {"failures", line.failures},
          {"exposure", figure(line.exposure)},
          {"share_learnt", figure(line.share_learnt)},
          {"contradicted", line.contradicted}};
}

/// The keys of each answer without the head, which the stock report has once.
void add_carry(Json& json, const advice::CarryAnswer& answer) {
  json["parts"] = each(answer.lines, carry_line);
  json["window"] = window_json(answer.window);
  json["named_alone"] = answer.named;
  json["readiness_aboard"] = figure(answer.readiness_aboard);
  json["readiness"] = figure(answer.readiness_carry);
  json["mass_aboard_g"] = figure(answer.mass_aboard_g);
  json["volume_aboard_ml"] = figure(answer.volume_aboard_ml);
  json["mass_g"] = figure(answer.mass_carry_g);
  json["volume_ml"] = figure(answer.volume_carry_ml);
  json["cost_to_buy"] = money(answer.cost_to_buy);
  json["unpriced"] = answer.unpriced;
  json["unweighed"] = answer.unweighed;
  json["kit"] = answer.kit ? kit_json(*answer.kit) : Json();
  json["frontier"] = frontier_json(answer.frontier);
  json["simulated"] = answer.simulated ? simulation_json(*answer.simulated) : Json();
  json["notes"] = answer.notes;
}

void add_reorder(Json& json, const advice::ReorderAnswer& answer) {
  json["parts"] = each(answer.lines, reorder_line);
  json["window"] = window_json(answer.window);
  json["review_days"] = figure(answer.review_days);
  json["cost"] = money(answer.cost);
  json["unpriced"] = answer.unpriced;
  json["notes"] = answer.notes;
}

void add_now(Json& json, const advice::NowAnswer& answer) {
  json["anything_due"] = answer.anything();
  json["down"] = each(answer.down, down_line);
  json["fault_signs"] = each(answer.signs, sign_line);
  json["due"] = each(answer.due, due_line);
  json["reorder"] = each(answer.reorder, reorder_line);
  json["orders"] = each(answer.orders, open_order_line);
  json["notes"] = answer.notes;
}

Json use_line(const advice::UseLine& line) {
  return {{"meter", line.meter},
          {"unit", line.unit},
          {"amount", figure(line.amount)},
          {"planned", line.planned}};
}

}  // namespace

Json sign_line(const advice::FaultSign& sign) {
  return {{"position", sign.position},
          {"name", sign.name},
          {"part", sign.part},
          {"failures", sign.failures},
          {"since", to_text(sign.first_day)},
          {"window_days", sign.window_days},
          {"chance_by_luck", figure(sign.chance)},
          {"laplace_chance", maybe(sign.laplace)},
          {"handbook_chance", maybe(sign.handbook)},
          {"open_fault", text_or_null(sign.open_fault)},
          {"safety_note", text_or_null(sign.safety_note)}};
}

Json figure(double value) {
  if (!std::isfinite(value)) {
    throw std::logic_error("a figure that is not finite cannot be written");
  }
  return value;
}

Json figures(const std::vector<double>& values) { return each(values, figure); }

Json maybe(const std::optional<double>& value) { return value ? figure(*value) : Json(); }

Json maybe(const std::optional<Date>& date) { return date ? Json(to_text(*date)) : Json(); }

Json money(Money amount) { return amount.major(); }

Json maybe(const std::optional<Money>& amount) { return amount ? money(*amount) : Json(); }

Json text_or_null(const std::string& text) { return text.empty() ? Json() : Json(text); }

Json window_json(const std::optional<advice::Window>& window) {
  if (!window) {
    return {};
  }
  Json conditions = Json::array();
  for (const auto& condition : window->conditions) {
    conditions.push_back(
        {{"name", condition.first},
         {"days", condition.second ? Json(*condition.second) : Json(window->days)}});
  }
  return {{"start", to_text(window->start)},
          {"days", window->days},
          {"conditions", conditions},
          {"trip", window->trip ? Json(window->trip->key) : Json()}};
}

Json carry_line(const advice::CarryLine& line) {
  const advice::StockView& stock = line.stock;
  return {{"part", line.part},
          {"aboard", stock.aboard},
          {"carry", line.carry},
          {"decided_by", to_text(line.decided_by)},
          {"target", figure(line.target)},
          {"chance_no_shortage_aboard", figure(line.chance_aboard)},
          {"chance_no_shortage", figure(line.chance_carry)},
          {"demand", figures(line.demand.total)},
          {"short", line.short_by()},
          {"name", line.name},
          {"class", text_or_null(line.class_key)},
          {"severity", domain::to_text(line.severity)},
          {"positions", line.positions},
          {"level_target", line.level_target},
          {"level_worth", line.level_worth},
          {"carry_at_median", line.carry_at_median},
          {"days_without_aboard", figure(line.days_without_aboard)},
          {"days_without", figure(line.days_without_carry)},
          {"demand_mean", figure(line.demand.mean)},
          {"demand_mean_fitted", figure(line.demand.mean_fitted)},
          {"demand_mean_consumed", figure(line.demand.mean_consumed)},
          {"demand_mean_losses", figure(line.demand.mean_losses)},
          {"units", line.demand.units},
          {"units_down", line.demand.down},
          {"exposure_assumed", line.demand.assumed_exposure},
          {"share_learnt", figure(line.share_learnt)},
          {"failures", line.failures},
          {"ashore", stock.ashore},
          {"on_order", stock.on_order},
          {"arriving", stock.arriving},
          {"waiting", stock.waiting},
          {"expired", stock.expired},
          {"expiring", stock.expiring},
          {"quarantined", stock.quarantined},
          {"worn", stock.worn},
          {"worn_chance", figure(stock.worn_chance)},
          {"first_end", maybe(stock.first_end)},
          {"bins", each(stock.bins, bin_pieces)},
          {"price", maybe(line.price)},
          {"mass_g", maybe(line.mass_g)},
          {"volume_ml", maybe(line.volume_ml)},
          {"reason", line.reason},
          {"trip", line.trip ? on_trip_json(*line.trip) : Json()},
          {"safety_note", text_or_null(line.safety_note)}};
}

Json reorder_line(const advice::ReorderLine& line) {
  return {{"part", line.part},
          {"name", line.name},
          {"severity", domain::to_text(line.severity)},
          {"order_pieces", line.order_pieces},
          {"order_packs", line.order_packs},
          {"pack", line.pack},
          {"supplier", text_or_null(line.supplier)},
          {"supplier_name", text_or_null(line.supplier_name)},
          {"arrives_by", maybe(line.arrives_by)},
          {"cost", maybe(line.cost)},
          {"on_hand", line.on_hand},
          {"on_order", line.on_order},
          {"owed", line.owed},
          {"expiring", line.expiring},
          {"stock_position", line.position},
          {"reorder_point", line.reorder_point},
          {"level", line.level},
          {"stretch_level", line.stretch_level},
          {"decided_by", to_text(line.decided_by)},
          {"target", figure(line.target)},
          {"chance_no_shortage_now", figure(line.chance_now)},
          {"lead_median_days", figure(line.lead_median)},
          {"lead_planning_days", figure(line.lead_planning)},
          {"order_chances", order_chances_json(line.chances)},
          {"reason", line.reason},
          {"safety_note", text_or_null(line.safety_note)}};
}

Json answer_head(Date as_of) { return {{"schema", kSchema}, {"as_of", to_text(as_of)}}; }

std::string written(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace) + '\n';
}

std::string carry_json(const advice::CarryAnswer& answer) {
  Json json = answer_head(answer.as_of);
  add_carry(json, answer);
  return written(json);
}

std::string reorder_json(const advice::ReorderAnswer& answer) {
  Json json = answer_head(answer.as_of);
  add_reorder(json, answer);
  return written(json);
}

std::string now_json(const advice::NowAnswer& answer) {
  Json json = answer_head(answer.as_of);
  add_now(json, answer);
  return written(json);
}

std::string report_json(const advice::StockReport& report) {
  Json json = answer_head(report.as_of);
  json["title"] = report.title;
  json["rigs"] = report.rigs;
  json["use"] = each(report.use, use_line);
  json["carry"] = Json::object();
  add_carry(json["carry"], report.carry);
  json["reorder"] = Json::object();
  add_reorder(json["reorder"], report.reorder);
  json["now"] = Json::object();
  add_now(json["now"], report.now);
  json["uncovered"] = each(report.uncovered, exposure_line);
  json["worked_round"] = each(report.worked_round, exposure_line);
  json["packing"] = each(report.packing, pack_line);
  json["assumptions"] = each(report.assumptions, assumption_line);
  json["cautions"] = each(report.cautions, [](const auto& caution) {
    return Json{{"key", caution.first}, {"text", caution.second}};
  });
  json["trip"] = trip_json(report.trip);
  json["frontier"] = frontier_json(report.frontier);
  return written(json);
}

}  // namespace shearpin::report
