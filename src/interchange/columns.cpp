#include "interchange/columns.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <utility>

#include "base/text.hpp"
#include "domain/fields.hpp"
#include "interchange/master_lists.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/domain/vocabulary.hpp"

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

std::string state_word(std::string_view text) {
  return std::string(domain::to_text(domain::parse_lot_state(text)));
}

std::string left_word(std::string_view text) {
  const auto state = domain::parse_place_state(text);
  if (state == domain::PlaceState::empty || state == domain::PlaceState::fitted) {
    throw InputError(quoted(text) + ": a failed unit is left dead, workaround or stand-in");
  }
  return std::string(domain::to_text(state));
}

std::string result_word(std::string_view text) {
  auto word = lower_case(text);
  if (word != "pass" && word != "fail") {
    throw InputError(quoted(text) + ": a test has the result pass or fail");
  }
  return word;
}

struct HistoryKind {
  std::string_view word;
  std::vector<std::string_view> needs;
};

const std::vector<HistoryKind>& all_history_kinds() {
  static const std::vector<HistoryKind> kinds = {
      {"failure", {"position"}},
      {"repair", {"position"}},
      {"service", {"position"}},
      {"preventive", {"position"}},
      {"expiry", {"position"}},
      {"loss", {}},
      {"test", {"position", "result"}},
      {"fault-open", {"position", "fault"}},
      {"fault-close", {"fault"}},
      {"upstream-repair", {"position", "fault"}},
      {"found-expired", {"part"}},
      {"scrap", {"part"}},
      {"use", {"part"}},
      {"move", {"part", "from", "to"}},
      {"fit", {"position"}},
      {"stay", {"quantity"}},
      {"quarantine", {"lot"}},
      {"release", {"lot"}},
      {"undo", {"undoes"}},
  };
  return kinds;
}

std::string history_word(std::string_view text) {
  return spelt_word(text, history_kinds(), "history line");
}

std::vector<Column> make_columns(Kind kind) {
  switch (kind) {
    case Kind::fitted:
      return {{"date", date, true}, {"position", text, true}, {"unit", count},
              {"part", text},       {"no_part", text},        {"age", amount},
              {"made", date},       {"ends", date},           {"note", text}};
    case Kind::stock:
      return {{"date", date, true}, {"part", text, true},
              {"bin", text},        {"quantity", count, true},
              {"batch", text},      {"made", date},
              {"ends", date},       {"state", word, false, 1, state_word},
              {"age", amount},      {"cost", money},
              {"note", text},       {"quarantined", flag}};
    case Kind::readings:
      return {{"date", date, true}, {"meter", text}, {"value", amount}, {"replaced", flag},
              {"recorded", date},   {"id", text},    {"undoes", text},  {"note", text}};
    case Kind::conditions:
      return {{"condition", text, true},
              {"rig", text},
              {"from", date, true},
              {"to", date},
              {"note", text}};
    case Kind::orders:
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
              {"state", word, false, 1, state_word},
              {"age", amount},
              {"note", text}};
    case Kind::history:
      return {{"id", text},
              {"date", date, true},
              {"kind", word, true, 1, history_word},
              {"position", text},
              {"unit", count},
              {"quantity", count},
              {"part", text},
              {"lot", text},
              {"from", text},
              {"to", text},
              {"keep", text},
              {"cause", text},
              {"fault", text},
              {"since", date},
              {"left", word, false, 1, left_word},
              {"stand_in", text},
              {"no_part", text},
              {"age", amount},
              {"made", date},
              {"ends", date},
              {"found_on_test", flag},
              {"last_good", date},
              {"result", word, false, 1, result_word},
              {"reading", text},
              {"recorded", date},
              {"undoes", text},
              {"note", text}};
    case Kind::counts:
      return {{"date", date, true},
              {"part", text, true},
              {"bin", text},
              {"counted", count, true, 0},
              {"why", text}};
    case Kind::trips:
      return {{"trip", text, true},
              {"name", text},
              {"leg", count, true},
              {"from", date, true},
              {"to", date, true},
              {"route", text},
              {"use", text},
              {"conditions", text},
              {"signal", word, false, 1, yes_or_no},
              {"stop", text},
              {"stop_date", date},
              {"sold", text},
              {"parcels", flag},
              {"extra_days", count, false, 0}};
    case Kind::safety_notes:
    case Kind::classes:
    case Kind::rigs:
    case Kind::meters:
    case Kind::bins:
    case Kind::suppliers:
    case Kind::parts:
    case Kind::positions:
    case Kind::substitutes:
      break;
  }
  return with_master_list(
      kind, []<class T>(std::vector<T> domain::Catalogue::*) { return master_columns<T>(); });
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

std::string yes_or_no(std::string_view cell) {
  const auto word = lower_case(cell);
  if (word == "yes" || word == "y" || word == "true" || word == "1" || word == "x") {
    return "yes";
  }
  if (word == "no" || word == "n" || word == "false" || word == "0") {
    return "no";
  }
  throw InputError(quoted(cell) + " is neither yes nor no");
}

std::vector<std::string> history_kinds() {
  std::vector<std::string> words;
  for (const auto& kind : all_history_kinds()) {
    words.emplace_back(kind.word);
  }
  return words;
}

std::span<const std::string_view> columns_needed(std::string_view history_kind) {
  return std::ranges::find(all_history_kinds(), history_kind, &HistoryKind::word)->needs;
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
