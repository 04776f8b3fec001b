#include "advice/rate_of.hpp"

#include <fmt/format.h>

#include "advice/fault_watch.hpp"
#include "advice/upkeep.hpp"
#include "shearpin/advice/advise.hpp"
#include "shearpin/base/error.hpp"
#include "stats/weibull_fit.hpp"

namespace shearpin::advice {
namespace {

RecordLine shown(const Analyst& analyst, const domain::AgeRecord& record) {
  RecordLine line;
  line.position = analyst.catalogue().at(record.position).key;
  line.unit = record.place;
  line.kind = std::string(domain::to_text(record.kind));
  line.entry = record.entry;
  line.lower = record.lower;
  line.exit = record.exit;
  line.plain = record.plain;
  line.remark = record.note;
  if (record.assumed_exposure && line.remark.empty()) {
    line.remark = record.class_rate ? "exposure at the class's usual rate"
                                    : "exposure partly outside the meter's readings";
  }
  return line;
}

void add_notes(const LifeBelief& belief, RateAnswer& answer) {
  if (belief.class_key.empty() && !answer.of_class) {
    answer.notes.emplace_back(
        "the part has no class: a vague belief stands in; give it one with: "
        "shearpin part set " +
        answer.part + " --class CLASS");
  }
  if (answer.life.variance_grew || answer.prior_p < 0.01) {
    answer.notes.push_back(
        fmt::format("the record contradicts the class belief (chance {:.2g} under it): the record "
                    "rules where they differ; is the class the right one?",
                    answer.prior_p));
  }
}

/// A fit by maximum likelihood, where there is one to be had.
std::optional<ClassicalFit> classical_fit(const LifeBelief& belief, double level) {
  if (belief.posterior.failures < 2) {
    return std::nullopt;
  }
  try {
    ClassicalFit fit;
    fit.life = stats::weibull_fit(belief.lives).life;
    fit.scale = stats::scale_interval(belief.lives, level);
    fit.shape = stats::shape_interval(belief.lives, level);
    return fit;
  } catch (const InputError&) {  // the record has no best life: then none is shown
    return std::nullopt;
  }
}

void fill(const Analyst& analyst, const LifeBelief& belief, const domain::ComponentClass* its_class,
          RateAnswer& answer) {
  answer.as_of = analyst.snapshot().as_of;
  answer.class_key = belief.class_key;
  if (its_class != nullptr) {
    answer.belief_source = its_class->basis_note;
  }
  answer.unit = std::string(domain::unit_of(belief.basis));
  answer.class_prior = belief.class_prior;
  answer.prior = belief.prior;
  answer.lenders = belief.lenders;
  answer.shared_share = belief.shared_share;
  answer.life = stats::posterior_summary(belief.prior, belief.lives);
  if (answer.life.exposure > 0) {
    answer.constant_rate =
        stats::rate_interval({answer.life.failures, answer.life.exposure}, answer.level);
  }
  answer.prior_p = stats::prior_predictive_p(belief.class_prior, belief.lives);
  for (const auto& record : belief.records) {
    answer.records.push_back(shown(analyst, record));
    answer.plain_exposure += record.plain;
  }
  answer.classical = classical_fit(belief, answer.level);
  add_notes(belief, answer);
}

}  // namespace

RateAnswer rate_of(const Analyst& analyst, PartId part_id, const LifeBelief& belief) {
  const auto& part = analyst.catalogue().at(part_id);
  RateAnswer answer;
  answer.part = part.key;
  answer.name = part.name;
  fill(analyst, belief, analyst.catalogue().class_of(part), answer);
  answer.factors = factor_lines(analyst, part_id, belief);
  answer.replacement = replacement_line(analyst, part_id, belief);
  answer.test_interval = test_interval_line(analyst, part_id, belief);
  answer.signs = fault_signs(analyst, part_id);
  return answer;
}

RateAnswer advise_rate(const domain::Snapshot& snapshot, PartId part) {
  const Analyst analyst(snapshot);
  return rate_of(analyst, part, analyst.life_belief(part));
}

RateAnswer advise_rate(const domain::Snapshot& snapshot, ClassId component_class) {
  const Analyst analyst(snapshot);
  const auto& its_class = analyst.catalogue().at(component_class);
  RateAnswer answer;
  answer.of_class = true;
  answer.name = its_class.name;
  for (const auto& part : analyst.catalogue().parts) {
    if (part.component_class == component_class) {
      answer.parts_together.push_back(part.key);
    }
  }
  fill(analyst, analyst.life_belief_of_class(component_class), &its_class, answer);
  return answer;
}

}  // namespace shearpin::advice
