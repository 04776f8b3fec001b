#include "shearpin/domain/catalogue.hpp"

#include <fmt/format.h>

#include <stdexcept>

#include "base/text.hpp"

namespace shearpin::domain {
namespace {

/// The ledger hands out things in order of their ids, so halving finds them; any other order is
/// still served by looking at each.
template <class Thing, class ThingId>
const Thing* search(const std::vector<Thing>& things, ThingId id) {
  std::size_t low = 0;
  std::size_t high = things.size();
  while (low < high) {
    const std::size_t middle = low + (high - low) / 2;
    if (things[middle].id == id) {
      return &things[middle];
    }
    if (things[middle].id < id) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  for (const Thing& thing : things) {
    if (thing.id == id) {
      return &thing;
    }
  }
  return nullptr;
}

template <class Thing, class ThingId>
const Thing& held(const std::vector<Thing>& things, ThingId id, std::string_view what) {
  const Thing* thing = search(things, id);
  if (thing == nullptr) {
    throw std::logic_error(fmt::format("the catalogue holds no {} number {}", what, id.value));
  }
  return *thing;
}

}  // namespace

const Rig& Catalogue::at(RigId id) const { return held(rigs, id, "rig"); }
const ComponentClass& Catalogue::at(ClassId id) const { return held(classes, id, "class"); }
const Part& Catalogue::at(PartId id) const { return held(parts, id, "part"); }
const Position& Catalogue::at(PositionId id) const { return held(positions, id, "position"); }
const Meter& Catalogue::at(MeterId id) const { return held(meters, id, "meter"); }
const Bin& Catalogue::at(BinId id) const { return held(bins, id, "bin"); }
const Supplier& Catalogue::at(SupplierId id) const { return held(suppliers, id, "supplier"); }

const ComponentClass* Catalogue::class_of(const Part& part) const {
  return part.component_class ? &at(*part.component_class) : nullptr;
}

const ComponentClass* Catalogue::class_of(const Position& position) const {
  if (position.part) {
    if (const ComponentClass* of_part = class_of(at(*position.part))) {
      return of_part;
    }
  }
  return position.component_class ? &at(*position.component_class) : nullptr;
}

Severity Catalogue::severity_of(const Position& position) const {
  if (position.severity) {
    return *position.severity;
  }
  const ComponentClass* kind = class_of(position);
  return kind != nullptr ? kind->severity : Severity::degraded;
}

bool Catalogue::has_workaround(const Position& position) {
  const std::string_view text = trimmed(position.workaround);
  return !text.empty() && lower_case(text) != "none";
}

std::optional<double> Catalogue::mass_of(const Part& part) const {
  const ComponentClass* kind = class_of(part);
  return part.mass_g || kind == nullptr ? part.mass_g : kind->mass_g;
}

std::optional<double> Catalogue::volume_of(const Part& part) const {
  const ComponentClass* kind = class_of(part);
  return part.volume_ml || kind == nullptr ? part.volume_ml : kind->volume_ml;
}

std::optional<Money> Catalogue::price_of(const Part& part) const {
  const ComponentClass* kind = class_of(part);
  return part.price || kind == nullptr ? part.price : kind->price;
}

Resupply Catalogue::resupply_of(const Part& part) const {
  if (part.resupply) {
    return *part.resupply;
  }
  const ComponentClass* kind = class_of(part);
  return kind != nullptr ? kind->resupply : Resupply::order_online;
}

std::optional<double> Catalogue::shelf_life_of(const Part& part) const {
  const ComponentClass* kind = class_of(part);
  return part.shelf_life_days || kind == nullptr ? part.shelf_life_days : kind->shelf_life_days;
}

const SafetyNote* Catalogue::safety_note_of(const ComponentClass* kind) const {
  if (kind == nullptr || kind->safety_note.empty()) {
    return nullptr;
  }
  for (const SafetyNote& note : safety_notes) {
    if (note.key == kind->safety_note) {
      return &note;
    }
  }
  return nullptr;
}

}  // namespace shearpin::domain
