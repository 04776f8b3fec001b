#include "stocking/unit_state.hpp"

#include <tuple>

namespace shearpin::stocking {
namespace {

auto key_of(const UnitState& u) {
  return std::tie(u.legs, u.exposure_per_day, u.before, u.before_days, u.age, u.untested,
                  u.due_days, u.renewed_every_days, u.down, u.pieces);
}

}  // namespace

bool alike(const UnitState& a, const UnitState& b) {
  return key_of(a) == key_of(b) && a.first_life.data() == b.first_life.data() &&
         a.first_life.size() == b.first_life.size();
}

bool comes_first(const UnitState& a, const UnitState& b) { return key_of(a) < key_of(b); }

}  // namespace shearpin::stocking
