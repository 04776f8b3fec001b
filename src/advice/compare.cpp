#include <fmt/format.h>

#include <cmath>

#include "advice/rate_of.hpp"
#include "shearpin/advice/advise.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::advice {
namespace {

using Factors = std::map<std::string, double>;

/// Half way between the two, in the logarithm; a class that does not name a condition has 1.
Factors pooled_factors(const Factors& one, const Factors& other) {
  const auto of = [](const Factors& factors, const std::string& condition) {
    const auto found = factors.find(condition);
    return found == factors.end() ? 1.0 : found->second;
  };
  Factors pooled;
  for (const auto* named : {&one, &other}) {
    for (const auto& [condition, factor] : *named) {
      pooled[condition] = std::sqrt(of(one, condition) * of(other, condition));
    }
  }
  return pooled;
}

const Factors& factors_of(const Analyst& analyst, PartId part) {
  static const Factors kNone;
  const auto* its_class = analyst.catalogue().class_of(analyst.catalogue().at(part));
  return its_class == nullptr ? kNone : its_class->sensitivity;
}

/// The part's lives, aged as units of a class with these factors and this life. What its own class
/// knows for a fact stays: the unit it counts in, the usual use, whether a failure is seen.
std::vector<stats::LifeRecord> lives_as_if(const Analyst& analyst, PartId part,
                                           const Factors& factors, double life_median) {
  const auto* own = analyst.catalogue().class_of(analyst.catalogue().at(part));
  domain::ComponentClass as_if = own == nullptr ? domain::ComponentClass{} : *own;
  as_if.id = ClassId{};
  as_if.sensitivity = factors;
  as_if.life_median = life_median;
  return analyst.life_belief_from(part, analyst.lives().of_part(part, as_if)).lives;
}

std::string class_words(const LifeBelief& belief) {
  return belief.class_key.empty() ? "no class" : belief.class_key;
}

void check_comparable(const Analyst& analyst, PartId first, PartId second, const LifeBelief& a,
                      const LifeBelief& b) {
  const auto& part_a = analyst.catalogue().at(first);
  const auto& part_b = analyst.catalogue().at(second);
  if (first == second) {
    throw InputError(
        fmt::format("{} is compared with itself; name two parts, for example: "
                    "shearpin compare p20 p21",
                    part_a.key));
  }
  if (a.basis != b.basis) {
    throw InputError(
        fmt::format("{} ages in {} and {} in {}: lives in different units cannot be compared; "
                    "compare parts whose classes count in one unit",
                    part_a.key, domain::unit_of(a.basis), part_b.key, domain::unit_of(b.basis)));
  }
}

}  // namespace

CompareAnswer advise_compare(const domain::Snapshot& snapshot, PartId first, PartId second) {
  const Analyst analyst(snapshot);
  const auto a = analyst.life_belief(first);
  const auto b = analyst.life_belief(second);
  check_comparable(analyst, first, second, a, b);
  CompareAnswer answer;
  answer.as_of = snapshot.as_of;
  answer.first = rate_of(analyst, first, a);
  answer.second = rate_of(analyst, second, b);
  // From one belief, or the comparison would be between what was believed; what either lends the
  // other would make them alike.
  answer.prior = stats::pooled_prior(a.class_prior, b.class_prior);
  auto lives_a = a.lives;
  auto lives_b = b.lives;
  answer.one_class = a.class_key == b.class_key;
  if (!answer.one_class) {
    const auto factors = pooled_factors(factors_of(analyst, first), factors_of(analyst, second));
    lives_a = lives_as_if(analyst, first, factors, answer.prior.scale_median);
    lives_b = lives_as_if(analyst, second, factors, answer.prior.scale_median);
    answer.notes.push_back(fmt::format(
        "they are of different classes ({} and {}): both are judged from one belief, half of "
        "either class's, and with factors of conditions half way between, so that only their "
        "records differ",
        class_words(a), class_words(b)));
  }
  answer.first_life = stats::posterior_summary(answer.prior, lives_a);
  answer.second_life = stats::posterior_summary(answer.prior, lives_b);
  answer.lives = stats::compare_lives({answer.prior, lives_a}, {answer.prior, lives_b});
  return answer;
}

}  // namespace shearpin::advice
