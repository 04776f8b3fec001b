#pragma once
/// Getters and setters that the field tables of the kinds are put together from.

#include <fmt/format.h>
#include <cmath>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "domain/fields.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::domain::kit {

/// One line of text, trimmed (check_text).
std::string read_line(std::string_view text, std::string_view what);

/// yes, no, y, n, true, false, 1, 0; empty is no.
bool read_flag(std::string_view text, std::string_view what);

/// Pieces between semicolons, trimmed, empty ones left out; and back.
std::vector<std::string> read_list(std::string_view text, std::string_view what);
std::string list_text(const std::vector<std::string>& list);

/// Refuses `value` unless it is above zero.
double above_zero(double value, std::string_view text, std::string_view what,
                  std::string_view example);

/// The thing with this key, case aside; InputError names a key that there is.
template <class Thing>
const Thing& find_key(const std::vector<Thing>& things, std::string_view text,
                      std::string_view what) {
  const std::string key = lower_case(trimmed(text));
  for (const Thing& thing : things) {
    if (thing.key == key) {
      return thing;
    }
  }
  throw InputError(fmt::format("{} {} is refused: there is no such {}, {}", what, quoted(text),
                               what,
                               things.empty() ? fmt::format("and none at all yet")
                                              : fmt::format("for example {}", things.front().key)));
}

/// The key of a thing, empty for none.
template <class ThingId>
std::string key_of(const std::optional<ThingId>& id, const Catalogue& catalogue) {
  return id && id->value != 0 ? catalogue.at(*id).key : std::string();
}

/// The key of the thing an optional id of `T` points to, empty for none.
template <class T, auto Member>
std::string get_optional_key(const T& thing, const Catalogue& catalogue) {
  return key_of(thing.*Member, catalogue);
}

template <class T, auto Member>
std::string get_line(const T& thing, const Catalogue&) {
  return thing.*Member;
}

template <class T, auto Member>
void set_line(T& thing, std::string_view text, const Catalogue&) {
  thing.*Member = read_line(text, "text");
}

template <class T, auto Member>
std::string get_flag(const T& thing, const Catalogue&) {
  return thing.*Member ? "yes" : "no";
}

template <class T, auto Member>
void set_flag(T& thing, std::string_view text, const Catalogue&) {
  thing.*Member = read_flag(text, "yes or no");
}

/// Optional members of a type with a `to_text` or a reader of its own.
template <class T, auto Member>
std::string get_mass(const T& thing, const Catalogue&) {
  return thing.*Member ? plain_number(*(thing.*Member)) + "g" : std::string();
}

template <class T, auto Member>
void set_mass(T& thing, std::string_view text, const Catalogue&) {
  thing.*Member = trimmed(text).empty() ? std::nullopt : std::optional<double>(parse_mass_g(text));
}

template <class T, auto Member>
std::string get_volume(const T& thing, const Catalogue&) {
  return thing.*Member ? plain_number(*(thing.*Member)) + "ml" : std::string();
}

template <class T, auto Member>
void set_volume(T& thing, std::string_view text, const Catalogue&) {
  thing.*Member =
      trimmed(text).empty() ? std::nullopt : std::optional<double>(parse_volume_ml(text));
}

template <class T, auto Member>
std::string get_money(const T& thing, const Catalogue&) {
  return thing.*Member ? to_text(*(thing.*Member)) : std::string();
}

template <class T, auto Member>
void set_money(T& thing, std::string_view text, const Catalogue&) {
  thing.*Member = trimmed(text).empty() ? std::nullopt : std::optional<Money>(parse_money(text));
}

template <class T, auto Member>
std::string get_days(const T& thing, const Catalogue&) {
  if (!(thing.*Member)) {
    return {};
  }
  // As years where they were given so: a year is 365.25 days (parse_days).
  const double days = *(thing.*Member);
  const double years = std::round(days / kDaysPerYear);
  const bool whole = years >= 1 && std::fabs(years * kDaysPerYear - days) < 1e-9;
  return whole ? plain_number(years) + "y" : plain_number(days) + "d";
}

template <class T, auto Member>
void set_days(T& thing, std::string_view text, const Catalogue&) {
  thing.*Member = trimmed(text).empty()
                      ? std::nullopt
                      : std::optional<double>(
                            above_zero(parse_days(text, "span"), text, "span", "10y or 540d"));
}

template <class T, auto Member>
std::string get_optional_word(const T& thing, const Catalogue&) {
  return thing.*Member ? std::string(to_text(*(thing.*Member))) : std::string();
}

template <class T, auto Member>
std::string get_word(const T& thing, const Catalogue&) {
  return std::string(to_text(thing.*Member));
}

template <class T, auto Member, auto Parse>
void set_optional_word(T& thing, std::string_view text, const Catalogue&) {
  if (trimmed(text).empty()) {
    thing.*Member = std::nullopt;
  } else {
    thing.*Member = Parse(text);
  }
}

template <class T, auto Member, auto Parse>
void set_word(T& thing, std::string_view text, const Catalogue&) {
  thing.*Member = Parse(text);
}

template <class T, auto Member>
std::string get_count(const T& thing, const Catalogue&) {
  return std::to_string(thing.*Member);
}

/// One to a thousand.
template <class T, auto Member>
void set_count(T& thing, std::string_view text, const Catalogue&) {
  const std::int64_t value = parse_count(text, "count", 1);
  if (value > 1000) {
    throw InputError(fmt::format("count {} is refused: it must be from 1 to 1,000, for example 4",
                                 quoted(text)));
  }
  thing.*Member = static_cast<int>(value);
}

template <class T, auto Member>
std::string get_key(const T& thing, const Catalogue& catalogue) {
  return key_of(std::optional(thing.*Member), catalogue);
}

}  // namespace shearpin::domain::kit
