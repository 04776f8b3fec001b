#include "apply/resolver.hpp"

#include "base/quantity.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"

namespace shearpin::apply {

domain::NameEntry names_of(const domain::Named& thing, const domain::Catalogue&) {
  return {thing.key, thing.name, {}, {}};
}

domain::NameEntry names_of(const domain::Position& position, const domain::Catalogue& catalogue) {
  return {position.key, position.name, position.nicknames,
          position.place + ' ' + catalogue.at(position.rig).name};
}

PositionWord Resolver::position(const std::string& typed) {
  std::string name = typed;
  std::optional<int> unit;
  const auto slash = typed.rfind('/');
  if (slash != std::string::npos && slash + 1 < typed.size() &&
      typed.find_first_not_of("0123456789", slash + 1) == std::string::npos) {
    unit = static_cast<int>(parse_count(typed.substr(slash + 1), "unit number"));
    name = typed.substr(0, slash);
  }
  const auto& found = named<domain::Position>(name);
  if (unit && *unit > found.units) {
    refuse("unit {} of {}: it holds {}, numbered 1 to {}; example: {}/1", *unit, found.key,
           counted(found.units, "unit"), found.units, found.key);
  }
  return {found.id, unit};
}

std::optional<Date> Resolver::day(const Arguments& words, std::string_view name) const {
  const auto typed = words.text(name);
  return typed ? std::optional(parse_date(*typed, today())) : std::nullopt;
}

domain::When Resolver::when(const Arguments& words) const {
  return {on(words.text("on")), today(), day(words, "recorded"), words.text("note").value_or("")};
}

}  // namespace shearpin::apply
