#include "report/json_values.hpp"
#include "report/reasoning.hpp"

namespace shearpin::report {
namespace {

Json quantiles(const stats::Quantiles& values) {
  return {{"low", figure(values.low)},
          {"median", figure(values.median)},
          {"high", figure(values.high)}};
}

Json prior_json(const advice::RateAnswer& answer) {
  return {{"life_low", figure(answer.class_prior.scale_low)},
          {"life_median", figure(answer.class_prior.scale_median)},
          {"life_high", figure(answer.class_prior.scale_high)},
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

Json lenders_json(const std::vector<advice::Lender>& lenders) {
  Json array = Json::array();
  for (const auto& lender : lenders) {
    array.push_back({{"part", lender.part},
                     {"failures", lender.failures},
                     {"exposure", figure(lender.exposure)},
                     {"shift_ln_life", figure(lender.shift)}});
  }
  return array;
}

Json classical_json(const std::optional<advice::ClassicalFit>& fit) {
  if (!fit) {
    return {};
  }
  return {{"life", figure(fit->life.scale)},      {"life_low", maybe(fit->scale.lower)},
          {"life_high", maybe(fit->scale.upper)}, {"shape", figure(fit->life.shape)},
          {"shape_low", maybe(fit->shape.lower)}, {"shape_high", maybe(fit->shape.upper)}};
}

Json factors_json(const std::vector<advice::FactorLine>& factors) {
  Json array = Json::array();
  for (const auto& line : factors) {
    array.push_back({{"condition", line.condition},
                     {"class_factor", figure(line.believed)},
                     {"factor", quantiles(line.factor)},
                     {"chance_hurts", figure(line.chance_hurts)},
                     {"chance_above_class", figure(line.chance_above_belief)},
                     {"share_learnt", figure(line.share_learnt)},
                     {"exposed", figure(line.exposed)}});
  }
  return array;
}

Json replacement_json(const std::optional<advice::ReplacementLine>& line) {
  if (!line) {
    return {};
  }
  return {{"age", maybe(line->age)},
          {"gain", figure(line->gain)},
          {"chance_wears_out", figure(line->chance_wears_out)},
          {"cost_planned", figure(line->cost_planned)},
          {"cost_failure", figure(line->cost_failure)},
          {"belief_only", line->belief}};
}

Json test_interval_json(const std::optional<advice::TestIntervalLine>& line) {
  if (!line) {
    return {};
  }
  return {{"availability", figure(line->availability)},
          {"age", figure(line->age)},
          {"interval", figure(line->interval)},
          {"interval_days", maybe(line->days)},
          {"class_days", line->class_days ? Json(*line->class_days) : Json()}};
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
  json["borrowed"] = {{"life_low", figure(answer.prior.scale_low)},
                      {"life_median", figure(answer.prior.scale_median)},
                      {"life_high", figure(answer.prior.scale_high)},
                      {"shared_share", figure(answer.shared_share)},
                      {"from", lenders_json(answer.lenders)}};
  json["maximum_likelihood"] = classical_json(answer.classical);
  json["condition_factors"] = factors_json(answer.factors);
  json["replacement"] = replacement_json(answer.replacement);
  json["test_interval"] = test_interval_json(answer.test_interval);
  json["fault_signs"] = Json::array();
  for (const auto& sign : answer.signs) {
    json["fault_signs"].push_back(sign_line(sign));
  }
  json["records"] = records_json(answer.records);
  json["notes"] = answer.notes;
}

Json compared_json(const stats::PosteriorSummary& life) {
  return {{"failures", life.failures},
          {"exposure", figure(life.exposure)},
          {"life", quantiles(life.scale)},
          {"mtbf", quantiles(life.mtbf)},
          {"shape", quantiles(life.shape)}};
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

std::string compare_json(const advice::CompareAnswer& answer) {
  Json json = answer_head(answer.as_of);
  json["chance_first_longer"] = figure(answer.lives.chance_first_longer);
  json["median_life_ratio"] = quantiles(answer.lives.ratio);
  json["verdict"] = answer.lives.verdict == stats::LongerLife::first    ? "first"
                    : answer.lives.verdict == stats::LongerLife::second ? "second"
                                                                        : "not_proven";
  json["belief"] = {{"life_low", figure(answer.prior.scale_low)},
                    {"life_median", figure(answer.prior.scale_median)},
                    {"life_high", figure(answer.prior.scale_high)},
                    {"shape_median", figure(answer.prior.shape_median)},
                    {"shape_log_sd", figure(answer.prior.shape_log_sd)},
                    {"one_class", answer.one_class}};
  json["first_life"] = compared_json(answer.first_life);
  json["second_life"] = compared_json(answer.second_life);
  json["first"] = Json::object();
  add_rate(json["first"], answer.first);
  json["second"] = Json::object();
  add_rate(json["second"], answer.second);
  json["notes"] = answer.notes;
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
  json["lead_demand_bounded"] = answer.lead_demand_bounded;
  json["reorder"] = reorder_line(answer.reorder);
  json["level_without_fault_signs"] =
      answer.level_without_signs ? Json(*answer.level_without_signs) : Json();
  return written(json);
}

}  // namespace shearpin::report
