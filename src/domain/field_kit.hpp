#pragma once
/// Getters and setters that the field tables of the kinds are put together from.

#include <fmt/format.h>

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

/// The id of a thing of this key; where it may be missing, none for empty text.
template <class Thing, class Tag>
Id<Tag> read_key(const Id<Tag>&, std::string_view text, const Catalogue& catalogue) {
  return find_key(catalogue.*kThings<Thing>.list, text, kThings<Thing>.word).id;
}
template <class Thing, class Tag>
std::optional<Id<Tag>> read_key(const std::optional<Id<Tag>>&, std::string_view text,
                                const Catalogue& catalogue) {
  return trimmed(text).empty() ? std::nullopt
                               : std::optional(read_key<Thing>(Id<Tag>{}, text, catalogue));
}

/// From one to a thousand.
int read_count(std::string_view text);

/// Amounts as they are read back: 12g, 5ml, 15A, 4.50.
std::string grams(double mass);
std::string millilitres(double volume);
std::string amperes(double rating);
std::string money(Money amount);
/// As years where it was given so: a year is 365.25 days (parse_days).
std::string span(double days);
double read_span(std::string_view text);
template <class Enum>
std::string spelt(Enum value) {
  return std::string(to_text(value));
}

/// The fields of `T`, by what kind of member they are: `FieldOf<Part>::line<&Part::note>(...)`.
template <class T>
struct FieldOf {
  using Text = std::string_view;

  /// A line of text.
  template <auto Member>
  static constexpr Field<T> line(Text name, Text help) {
    return {name,
            "TEXT",
            help,
            false,
            [](const T& thing, const Catalogue&) { return thing.*Member; },
            [](T& thing, Text text, const Catalogue&) { thing.*Member = read_line(text, "text"); }};
  }
  static constexpr Field<T> name() { return line<&T::name>("name", "what it is called"); }

  template <auto Member>
  static constexpr Field<T> flag(Text name, Text help) {
    return {
        name,
        "",
        help,
        false,
        [](const T& thing, const Catalogue&) { return std::string(thing.*Member ? "yes" : "no"); },
        [](T& thing, Text text, const Catalogue&) {
          thing.*Member = read_flag(text, "yes or no");
        }};
  }
  static constexpr Field<T> retired() {
    return flag<&T::retired>("retired", "kept for its history, offered no more");
  }

  /// One to a thousand.
  template <auto Member>
  static constexpr Field<T> count(Text name, Text help) {
    return {name,
            "N",
            help,
            false,
            [](const T& thing, const Catalogue&) { return std::to_string(thing.*Member); },
            [](T& thing, Text text, const Catalogue&) { thing.*Member = read_count(text); }};
  }

  /// An amount that may be missing.
  template <auto Member, auto Show, auto Read>
  static constexpr Field<T> amount(Text name, Text value, Text help) {
    return {name,
            value,
            help,
            false,
            [](const T& thing, const Catalogue&) {
              return thing.*Member ? Show(*(thing.*Member)) : std::string();
            },
            [](T& thing, Text text, const Catalogue&) {
              thing.*Member = trimmed(text).empty() ? std::nullopt : std::optional(Read(text));
            }};
  }
  template <auto Member>
  static constexpr Field<T> mass() {
    return amount<Member, grams, parse_mass_g>("mass", "MASS", "of one piece: 12g");
  }
  template <auto Member>
  static constexpr Field<T> volume() {
    return amount<Member, millilitres, parse_volume_ml>("volume", "VOLUME", "of one piece: 5ml");
  }
  template <auto Member>
  static constexpr Field<T> money(Text name, Text help) {
    return amount<Member, kit::money, parse_money>(name, "MONEY", help);
  }
  template <auto Member>
  static constexpr Field<T> span(Text name, Text help) {
    return amount<Member, kit::span, read_span>(name, "SPAN", help);
  }

  /// A word of a list.
  template <auto Member, auto Parse>
  static constexpr Field<T> word(Text name, Text value, Text help, bool required = false) {
    return {name,
            value,
            help,
            required,
            [](const T& thing, const Catalogue&) { return spelt(thing.*Member); },
            [](T& thing, Text text, const Catalogue&) { thing.*Member = Parse(text); }};
  }

  /// Texts parted by semicolons; `What` names one of them in messages.
  template <auto Member, auto What>
  static constexpr Field<T> list(Text name, Text help) {
    return {name,
            "LIST",
            help,
            false,
            [](const T& thing, const Catalogue&) { return list_text(thing.*Member); },
            [](T& thing, Text text, const Catalogue&) { thing.*Member = read_list(text, What); }};
  }

  /// Another thing, by its key; it may be missing where the member may.
  template <auto Member, class Thing>
  static constexpr Field<T> key(Text name, Text help, bool required = false, Text value = "KEY") {
    return {name,
            value,
            help,
            required,
            [](const T& thing, const Catalogue& catalogue) {
              return key_of(std::optional(thing.*Member), catalogue);
            },
            [](T& thing, Text text, const Catalogue& catalogue) {
              thing.*Member = read_key<Thing>(thing.*Member, text, catalogue);
            },
            kThings<Thing>.word};
  }
};

}  // namespace shearpin::domain::kit
