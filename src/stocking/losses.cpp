#include "stocking/losses.hpp"

#include <fmt/format.h>
#include <cmath>

#include "shearpin/base/error.hpp"

namespace shearpin::stocking {

Pmf loss_demand(const LossRecord& record, double years, const LossBelief& belief) {
  const bool usable =
      record.losses >= 0 && record.item_years >= 0 && record.items >= 0 && years >= 0 &&
      belief.shape > 0 && belief.years > 0 &&
      std::isfinite(record.item_years + record.items + years + belief.shape + belief.years);
  if (!usable) {
    throw InputError(fmt::format(
        "losses need counts, item-years, items and years >= 0, such as 1, 12.5, 4, 0.5; got {}, "
        "{}, {}, {}",
        record.losses, record.item_years, record.items, years));
  }
  if (record.losses == 0) return no_demand();
  return gamma_poisson_pmf(belief.shape + static_cast<double>(record.losses),
                           belief.shape * belief.years + record.item_years, record.items * years);
}

}  // namespace shearpin::stocking
