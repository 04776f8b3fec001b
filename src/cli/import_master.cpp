#include "cli/import_master.hpp"

#include <fmt/format.h>

#include <optional>
#include <vector>

#include "base/text.hpp"
#include "domain/fields.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {
namespace {

using namespace interchange;
using domain::Catalogue;

/// Sets a field from its cell; what is refused is refused with the column's name before it.
template <class T>
void set_from_column(const domain::Field<T>& field, T& thing, const std::string& text,
                     const Catalogue& catalogue) {
  try {
    field.set(thing, text, catalogue);
  } catch (const InputError& error) {  // named: one row has many columns
    throw InputError(fmt::format("column {}: {}", field.name, error.what()));
  }
}

template <class T>
domain::MasterLine line_for(const MasterRow& row, const std::vector<T>& known,
                            const Catalogue& catalogue) {
  T thing{};
  std::optional<domain::Master> before;
  const auto* key = row.find("key");
  if (key == nullptr) {
    throw InputError("a key is needed in column key; example: p46");
  }
  thing.key = parse_key(*key, "the");
  if constexpr (std::is_base_of_v<domain::Named, T>) {
    thing.name = *key;
  }
  for (const auto& existing : known) {
    if (existing.key == thing.key) {
      thing = existing;
      before = domain::Master(existing);
    }
  }
  for (const auto& field : domain::fields<T>()) {
    const auto* text = row.find(field.name);
    if (text != nullptr && field.name != "key") {
      set_from_column(field, thing, *text, catalogue);
    } else if (text == nullptr && field.required_on_add && !before) {
      throw InputError(fmt::format("{} is needed: {}", field.name, field.help));
    }
  }
  domain::check(thing, catalogue);
  return {before, domain::Master(thing)};
}

domain::MasterLine substitute_line(const MasterRow& row, const Catalogue& catalogue) {
  domain::Substitute substitute;
  for (const auto& field : domain::fields<domain::Substitute>()) {
    const auto* text = row.find(field.name);
    if (text != nullptr) {
      set_from_column(field, substitute, *text, catalogue);
    } else if (field.required_on_add) {
      throw InputError(fmt::format("{} is needed: {}", field.name, field.help));
    }
  }
  domain::check(substitute, catalogue);
  return {std::nullopt, domain::Master(substitute)};
}

}  // namespace

domain::MasterLine master_line(const MasterRow& row, Kind kind, const Catalogue& catalogue) {
  switch (kind) {
    case Kind::safety_notes:
      return line_for(row, catalogue.safety_notes, catalogue);
    case Kind::classes:
      return line_for(row, catalogue.classes, catalogue);
    case Kind::rigs:
      return line_for(row, catalogue.rigs, catalogue);
    case Kind::meters:
      return line_for(row, catalogue.meters, catalogue);
    case Kind::bins:
      return line_for(row, catalogue.bins, catalogue);
    case Kind::suppliers:
      return line_for(row, catalogue.suppliers, catalogue);
    case Kind::parts:
      return line_for(row, catalogue.parts, catalogue);
    case Kind::positions:
      return line_for(row, catalogue.positions, catalogue);
    case Kind::substitutes:
      return substitute_line(row, catalogue);
    case Kind::fitted:
    case Kind::stock:
    case Kind::readings:
    case Kind::conditions:
    case Kind::orders:
    case Kind::history:
    case Kind::counts:
    case Kind::trips:
      break;
  }
  throw std::logic_error("a dated row taken for master data");
}

}  // namespace shearpin::cli
