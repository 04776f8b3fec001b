#include "report/json_values.hpp"
#include "shearpin/report/reasoning.hpp"

namespace shearpin::report {
namespace {

Json quantiles(const stats::Quantiles& values) {
  return {{"low", figure(values.low)},
          {"median", figure(values.median)},
          {"high", figure(values.high)}};
}

Json prior_json(const advice::RateAnswer& answer) {
  return {{"life_low", figure(answer.prior.scale_low)},
          {"life_median", figure(answer.prior.scale_median)},
          {"life_high", figure(answer.prior.scale_high)},
          {"shape_median", figure(answer.prior.shape_median)},
          {"shape_log_sd", figure(answer.prior.shape_log_sd)},
          {"source", text_or_null(answer.belief_source)}};
}

/// Without exposure there is no rate at all; without failures no point.
Json constant_rate_json(const advice::RateAnswer& answer) {
  if (!(answer.life.exposure > 0)) {
    return {};
  }
  return {{"rate", maybe(answer.constant_rate.point)},
          {"rate_low", figure(answer.constant_rate.lower)},
          {"rate_high", figure(answer.constant_rate.upper)},
          {"level", figure(answer.level)}};
}

Json records_json(const std::vector<advice::RecordLine>& records) {
  Json array = Json::array();
  for (const advice::RecordLine& line : records) {
    array.push_back({{"position", line.position},
                     {"unit", line.unit},
                     {"kind", line.kind},
                     {"entry", figure(line.entry)},
                     {"lower", line.kind == "interval" ? figure(line.lower) : Json()},
                     {"exit", figure(line.exit)},
                     {"as_run", figure(line.plain)},
                     {"remark", line.remark}});
  }
  return array;
}

void add_rate(Json& json, const advice::RateAnswer& answer) {
  json["part"] = answer.of_class ? Json() : Json(answer.part);
  if (answer.of_class) {
    json["parts"] = answer.parts_together;
  }
  json["name"] = answer.name;
  json["class"] = text_or_null(answer.class_key);
  json["unit"] = answer.unit;
  json["failures"] = answer.life.failures;
  json["exposure"] = figure(answer.life.exposure);
  json["exposure_as_run"] = figure(answer.plain_exposure);
  json["constant_rate"] = constant_rate_json(answer);
  json["belief"] = prior_json(answer);
  json["life"] = quantiles(answer.life.scale);
  json["mtbf"] = quantiles(answer.life.mtbf);
  json["shape"] = quantiles(answer.life.shape);
  json["share_learnt"] = figure(answer.life.share_learnt);
  json["variance_grew"] = answer.life.variance_grew;
  json["belief_p"] = figure(answer.prior_p);
  json["records"] = records_json(answer.records);
  json["notes"] = answer.notes;
}

Json lead_json(const advice::LeadBelief& lead) {
  return {{"supplier", text_or_null(lead.supplier_key)},
          {"resupply", domain::to_text(lead.resupply)},
          {"belief_low_days", figure(lead.prior.low_days)},
          {"belief_median_days", figure(lead.prior.median_days)},
          {"belief_high_days", figure(lead.prior.high_days)},
          {"completed_days", figures(lead.completed)},
          {"open_days", figures(lead.open)},
          {"mean_days", figure(lead.mean_days)},
          {"planning_days", figure(lead.planning_days)},
          {"planning_quantile", figure(lead.planning_quantile)}};
}

Json worth_json(const std::vector<advice::WorthRow>& rows) {
  Json array = Json::array();
  for (const advice::WorthRow& row : rows) {
    array.push_back({{"pieces", row.n},
                     {"chance_no_shortage", figure(row.chance)},
                     {"days_without", figure(row.days_without)},
                     {"cost_of_days", figure(row.cost_of_days)},
                     {"cost_of_holding", figure(row.cost_of_holding)},
                     {"cost_total", figure(row.total())}});
  }
  return array;
}

}  // namespace

std::string rate_json(const advice::RateAnswer& answer) {
  Json json = answer_head(answer.as_of);
  add_rate(json, answer);
  return written(json);
}

std::string explain_json(const advice::ExplainAnswer& answer) {
  Json json = answer_head(answer.rate.as_of);
  json["part"] = answer.rate.part;
  json["rate"] = Json::object();
  add_rate(json["rate"], answer.rate);
  json["window"] = window_json(answer.window);
  json["exposure_ahead"] = figure(answer.exposure_ahead);
  json["conditions"] = answer.conditions;
  json["carry"] = answer.carry ? carry_line(*answer.carry) : Json();
  json["worth"] = worth_json(answer.worth);
  json["cost_of_day"] = figure(answer.cost_of_day);
  json["holding_of_one"] = figure(answer.holding_of_one);
  json["review_days"] = figure(answer.review_days);
  json["lead"] = lead_json(answer.lead);
  json["lead_demand"] = figures(answer.lead_demand);
  json["protection_demand"] = figures(answer.protection_demand);
  json["reorder"] = reorder_line(answer.reorder);
  return written(json);
}

}  // namespace shearpin::report
