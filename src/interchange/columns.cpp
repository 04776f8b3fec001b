#include "interchange/columns.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <stdexcept>
#include <utility>

#include "base/text.hpp"
#include "domain/fields.hpp"

namespace shearpin::interchange {
namespace {

using enum Content;

Content content_of(std::string_view metavar) {
  if (metavar.empty()) {
    return flag;
  }
  constexpr std::array kWords = {"TEXT", "KEY", "WORD", "WORDS", "NAME", "LIST"};
  const bool plain = std::ranges::any_of(
      kWords, [&](std::string_view word) { return metavar.find(word) != std::string_view::npos; });
  return plain ? text : metavar == "MONEY" ? money : amount;
}

template <class T>
std::vector<Column> master_columns() {
  std::vector<Column> columns;
  for (const auto& field : domain::fields<T>()) {
    const auto name = normalised(field.name);
    // A factor list or a key may look like a number; only the metavar tells.
    columns.push_back({name, content_of(field.value), field.required_on_add || name == "key"});
  }
  const auto key = std::ranges::find(columns, "key", &Column::name);
  if (key == columns.end() && !std::is_same_v<T, domain::Substitute>) {
    columns.insert(columns.begin(), Column{"key", text, true});
  }
  return columns;
}

std::vector<Column> fitted_columns() {
  return {{"date", date, true}, {"position", text, true}, {"unit", count},
          {"part", text},       {"no_part", text},        {"age", amount},
          {"made", date},       {"ends", date},           {"note", text}};
}

std::vector<Column> stock_columns() {
  return {{"date", date, true}, {"part", text, true}, {"bin", text},  {"quantity", count, true},
          {"batch", text},      {"made", date},       {"ends", date}, {"state", word},
          {"age", amount},      {"cost", money},      {"note", text}, {"quarantined", flag}};
}

std::vector<Column> reading_columns() {
  return {{"date", date, true}, {"meter", text}, {"value", amount}, {"replaced", flag},
          {"recorded", date},   {"id", text},    {"undoes", text},  {"note", text}};
}

std::vector<Column> condition_columns() {
  return {
      {"condition", text, true}, {"rig", text}, {"from", date, true}, {"to", date}, {"note", text}};
}

std::vector<Column> order_columns() {
  return {{"number", text, true},
          {"ordered", date},
          {"supplier", text},
          {"part", text, true},
          {"quantity", count, true},
          {"cost", money},
          {"promised", date},
          {"to", text},
          {"received", date},
          {"bin", text},
          {"batch", text},
          {"made", date},
          {"ends", date},
          {"state", word},
          {"age", amount},
          {"note", text}};
}

std::vector<Column> count_columns() {
  return {{"date", date, true},
          {"part", text, true},
          {"bin", text},
          {"counted", count, true},
          {"why", text}};
}

std::vector<Column> history_columns() {
  return {{"id", text},        {"date", date, true}, {"kind", word, true},
          {"position", text},  {"unit", count},      {"quantity", count},
          {"part", text},      {"lot", text},        {"from", text},
          {"to", text},        {"keep", text},       {"cause", text},
          {"fault", text},     {"since", date},      {"left", word},
          {"stand_in", text},  {"no_part", text},    {"age", amount},
          {"made", date},      {"ends", date},       {"found_on_test", flag},
          {"last_good", date}, {"result", word},     {"reading", text},
          {"recorded", date},  {"undoes", text},     {"note", text}};
}

std::vector<Column> trip_columns() {
  return {{"trip", text, true}, {"name", text},       {"leg", count, true}, {"from", date, true},
          {"to", date, true},   {"route", text},      {"use", text},        {"conditions", text},
          {"signal", flag},     {"stop", text},       {"stop_date", date},  {"sold", text},
          {"parcels", flag},    {"extra_days", count}};
}

std::vector<Column> make_columns(Kind kind) {
  switch (kind) {
    case Kind::safety_notes:
      return master_columns<domain::SafetyNote>();
    case Kind::classes:
      return master_columns<domain::ComponentClass>();
    case Kind::rigs:
      return master_columns<domain::Rig>();
    case Kind::meters:
      return master_columns<domain::Meter>();
    case Kind::bins:
      return master_columns<domain::Bin>();
    case Kind::suppliers:
      return master_columns<domain::Supplier>();
    case Kind::parts:
      return master_columns<domain::Part>();
    case Kind::positions:
      return master_columns<domain::Position>();
    case Kind::substitutes:
      return master_columns<domain::Substitute>();
    case Kind::fitted:
      return fitted_columns();
    case Kind::stock:
      return stock_columns();
    case Kind::readings:
      return reading_columns();
    case Kind::conditions:
      return condition_columns();
    case Kind::orders:
      return order_columns();
    case Kind::history:
      return history_columns();
    case Kind::counts:
      return count_columns();
    case Kind::trips:
      return trip_columns();
  }
  throw std::logic_error("kind of import file");
}

/// Units a heading may end in, and what is then put after a bare number.
constexpr std::pair<std::string_view, std::string_view> kUnits[] = {{"g", " g"},
                                                                    {"kg", " kg"},
                                                                    {"oz", " oz"},
                                                                    {"lb", " lb"},
                                                                    {"ml", " ml"},
                                                                    {"cl", " cl"},
                                                                    {"l", " l"},
                                                                    {"d", " days"},
                                                                    {"days", " days"},
                                                                    {"weeks", " weeks"},
                                                                    {"months", " months"},
                                                                    {"years", " years"},
                                                                    {"y", " years"},
                                                                    {"h", " h"},
                                                                    {"km", " km"},
                                                                    {"mi", " mi"},
                                                                    {"cycles", " cycles"},
                                                                    {"nights", " nights"},
                                                                    {"a", " A"},
                                                                    {"ampere", " A"},
                                                                    {"per_day", "/day"},
                                                                    {"per_week", "/week"},
                                                                    {"per_month", "/month"},
                                                                    {"per_year", "/year"}};

/// Other words for a column, as people head their tables.
constexpr std::pair<std::string_view, std::string_view> kAliases[] = {
    {"qty", "quantity"}, {"remark", "note"}, {"remarks", "note"}, {"day", "date"}};

std::optional<std::size_t> exact(std::string_view name, std::span<const Column> columns) {
  const auto found = std::ranges::find(columns, name, &Column::name);
  if (found == columns.end()) {
    return std::nullopt;
  }
  return static_cast<std::size_t>(found - columns.begin());
}

}  // namespace

const std::vector<Column>& columns_of(Kind kind) {
  static const auto all = [] {
    std::vector<std::vector<Column>> made;
    for (int i = 0; i <= static_cast<int>(Kind::trips); ++i) {
      made.push_back(make_columns(static_cast<Kind>(i)));
    }
    return made;
  }();
  return all.at(static_cast<std::size_t>(kind));
}

std::string normalised(std::string_view heading) {
  std::string out;
  for (const char c : lower_case(trimmed(heading))) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte >= 0x80 || std::isalnum(byte) != 0) {
      out += c;
    } else if (!out.empty() && out.back() != '_') {
      out += '_';
    }
  }
  if (!out.empty() && out.back() == '_') {
    out.pop_back();
  }
  return out;
}

std::optional<Heading> match_heading(std::string_view heading, std::span<const Column> columns) {
  auto name = normalised(heading);
  if (const auto found = exact(name, columns)) {
    return Heading{*found, ""};
  }
  for (const auto& [alias, meant] : kAliases) {
    if (name == alias && exact(meant, columns)) {
      return Heading{*exact(meant, columns), ""};
    }
  }
  for (const auto& [suffix, unit] : kUnits) {
    const auto before = name.size() - std::min(name.size(), suffix.size() + 1);
    if (before == 0 || name[before] != '_' || !name.ends_with(suffix)) {
      continue;
    }
    const auto found = exact(std::string_view(name).substr(0, before), columns);
    if (found && columns[*found].content == Content::amount) {
      return Heading{*found, std::string(unit)};
    }
  }
  return std::nullopt;
}

bool is_remark_column(Kind kind, std::string_view normalised_heading) {
  constexpr std::array kClassRemarks = {"pack", "confidence"};
  return kind == Kind::classes &&
         std::ranges::find(kClassRemarks, normalised_heading) != kClassRemarks.end();
}

}  // namespace shearpin::interchange
