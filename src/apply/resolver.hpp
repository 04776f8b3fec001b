#pragma once
/// What a request is read with: names of things to ids, days, and the ledger as it stood.

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "apply/arguments.hpp"
#include "domain/fields.hpp"
#include "domain/name_lookup.hpp"
#include "domain/plan.hpp"
#include "shearpin/domain/snapshot.hpp"
#include "shearpin/ledger/ledger.hpp"

namespace shearpin::apply {

/// What a thing can be called by; a position also by its nicknames, its place and its rig.
domain::NameEntry names_of(const domain::Named& thing, const domain::Catalogue& catalogue);
domain::NameEntry names_of(const domain::Position& position, const domain::Catalogue& catalogue);
template <class T>
std::vector<domain::NameEntry> names_of_all(const domain::Catalogue& catalogue) {
  std::vector<domain::NameEntry> entries;
  for (const auto& thing : catalogue.*domain::kThings<T>.list) {
    entries.push_back(names_of(thing, catalogue));
  }
  return entries;
}

/// A position as typed, `l05/3` meaning its third unit.
struct PositionWord {
  PositionId position;
  std::optional<int> unit;
};

class Resolver {
 public:
  virtual ~Resolver() = default;

  virtual const domain::Catalogue& catalogue() const = 0;
  /// The day of writing.
  virtual Date today() const = 0;
  /// The day a thing happened; nothing typed: the day that is written about.
  virtual Date on(const std::optional<std::string>& typed) const = 0;
  /// The ledger on a day, as far as entries are planned from it (`needed`; none: from the catalogue
  /// alone) and, where a person is told of it, with the stock and orders of the parts in `told`.
  virtual domain::Snapshot planned_from(Date day, const std::optional<ledger::Scope>& needed,
                                        const std::vector<PartId>& told) const = 0;

  /// Things by name. InputError where none or several are meant.
  template <class T>
  const T& named(const std::string& typed) {
    const auto& list = catalogue().*domain::kThings<T>.list;
    return list[find(typed, std::string(domain::kThings<T>.word),
                     [this] { return names_of_all<T>(catalogue()); })];
  }
  /// InputError also for a unit that the position has not.
  PositionWord position(const std::string& typed);
  PartId part(const std::string& typed) { return named<domain::Part>(typed).id; }
  BinId bin(const std::string& typed) { return named<domain::Bin>(typed).id; }
  SupplierId supplier(const std::string& typed) { return named<domain::Supplier>(typed).id; }
  MeterId meter(const std::string& typed) { return named<domain::Meter>(typed).id; }
  RigId rig(const std::string& typed) { return named<domain::Rig>(typed).id; }
  ClassId component_class(const std::string& typed) {
    return named<domain::ComponentClass>(typed).id;
  }

  /// The words on, recorded and note.
  domain::When when(const Arguments& words) const;
  /// The day that a word gives, if given.
  std::optional<Date> day(const Arguments& words, std::string_view name) const;

 protected:
  using Names = std::function<std::vector<domain::NameEntry>()>;
  /// Which entry is meant; `what` is the word for its kind, "part".
  virtual std::size_t find(const std::string& typed, const std::string& what,
                           const Names& names) = 0;
};

}  // namespace shearpin::apply
