#pragma once
/// One life on its way to a record; private to the life reader's sources.

#include <algorithm>
#include <map>
#include <vector>

#include "shearpin/domain/life_records.hpp"

namespace shearpin::domain {

/// A life with what is needed to turn it into records.
struct LifeReader::Watched {
  const UnitLife& life;
  const Position& position;
  const ComponentClass* kind;
  AgeRecord start;  ///< names the unit and holds its entry
  const ExposureReader& exposure;

  Exposure run_to(Date date) const {
    return exposure.between(position, kind, life.fitted, std::max(date, life.fitted));
  }
};

/// What a map of lists holds for a key; an empty list where there is none.
template <class Key, class Thing>
const std::vector<const Thing*>& list_of(const std::map<Key, std::vector<const Thing*>>& lists,
                                         Key key) {
  static const std::vector<const Thing*> kNone;
  const auto found = lists.find(key);
  return found != lists.end() ? found->second : kNone;
}

}  // namespace shearpin::domain
