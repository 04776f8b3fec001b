#include <fmt/format.h>

#include "advice/rate_of.hpp"
#include "shearpin/advice/advise.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::advice {

CompareAnswer advise_compare(const domain::Snapshot& snapshot, PartId first, PartId second) {
  const Analyst analyst(snapshot);
  const auto a = analyst.life_belief(first);
  const auto b = analyst.life_belief(second);
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
  CompareAnswer answer;
  answer.as_of = snapshot.as_of;
  answer.first = rate_of(analyst, first, a);
  answer.second = rate_of(analyst, second, b);
  // From one belief, or the comparison would be between what was believed; what either lends the
  // other would make them alike.
  const bool one_class = a.class_key == b.class_key;
  answer.lives = stats::compare_lives({a.class_prior, a.lives}, {b.class_prior, b.lives});
  if (!one_class) {
    answer.notes.push_back(fmt::format(
        "they are of different classes ({} and {}): part of the difference is what was believed "
        "of the classes beforehand",
        a.class_key.empty() ? "none" : a.class_key, b.class_key.empty() ? "none" : b.class_key));
  }
  return answer;
}

}  // namespace shearpin::advice
