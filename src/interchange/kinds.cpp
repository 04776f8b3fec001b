#include <algorithm>
#include <array>
#include <cctype>
#include <utility>

#include "base/text.hpp"
#include "interchange/import.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::interchange {
namespace {

constexpr std::array<std::pair<Kind, std::string_view>, 17> kKinds = {{
    {Kind::safety_notes, "safety-notes"},
    {Kind::classes, "classes"},
    {Kind::rigs, "rigs"},
    {Kind::meters, "meters"},
    {Kind::bins, "bins"},
    {Kind::suppliers, "suppliers"},
    {Kind::parts, "parts"},
    {Kind::positions, "positions"},
    {Kind::substitutes, "substitutes"},
    {Kind::fitted, "fitted"},
    {Kind::stock, "stock"},
    {Kind::readings, "readings"},
    {Kind::conditions, "conditions"},
    {Kind::orders, "orders"},
    {Kind::history, "history"},
    {Kind::counts, "counts"},
    {Kind::trips, "trips"},
}};

constexpr std::array<std::pair<HistoryKind, std::string_view>, 19> kHistoryKinds = {{
    {HistoryKind::failure, "failure"},
    {HistoryKind::repair, "repair"},
    {HistoryKind::service, "service"},
    {HistoryKind::preventive, "preventive"},
    {HistoryKind::expiry, "expiry"},
    {HistoryKind::loss, "loss"},
    {HistoryKind::test, "test"},
    {HistoryKind::fault_open, "fault-open"},
    {HistoryKind::fault_close, "fault-close"},
    {HistoryKind::upstream_repair, "upstream-repair"},
    {HistoryKind::found_expired, "found-expired"},
    {HistoryKind::scrap, "scrap"},
    {HistoryKind::use, "use"},
    {HistoryKind::move, "move"},
    {HistoryKind::fit, "fit"},
    {HistoryKind::stay, "stay"},
    {HistoryKind::quarantine, "quarantine"},
    {HistoryKind::release, "release"},
    {HistoryKind::undo, "undo"},
}};

template <class List, class Value>
std::string_view word_of(const List& list, Value value) {
  return std::ranges::find(list, value, [](const auto& entry) { return entry.first; })->second;
}

template <class List>
auto value_of(const List& list, std::string_view text, std::string_view what) {
  auto word = lower_case(trimmed(text));
  std::ranges::replace_if(
      word, [](char c) { return c == '_' || c == ' '; }, '-');
  const auto found = std::ranges::find(list, word, [](const auto& entry) { return entry.second; });
  if (found == list.end()) {
    std::vector<std::string> words;
    for (const auto& entry : list) {
      words.emplace_back(entry.second);
    }
    throw InputError(quoted(text) + " is no kind of " + std::string(what) + "; the kinds are " +
                     join_words(words));
  }
  return found->first;
}

}  // namespace

std::string_view to_text(Kind kind) { return word_of(kKinds, kind); }
Kind parse_kind(std::string_view text) { return value_of(kKinds, text, "table"); }
bool is_master(Kind kind) { return kind <= Kind::substitutes; }

std::string_view to_text(HistoryKind kind) { return word_of(kHistoryKinds, kind); }
HistoryKind parse_history_kind(std::string_view text) {
  return value_of(kHistoryKinds, text, "history line");
}

const std::string* MasterRow::find(std::string_view name) const {
  // Headings join words by underscores, fields by hyphens: they are alike.
  const auto found = std::ranges::find_if(fields, [name](const auto& field) {
    return std::ranges::equal(field.first, name, [](char a, char b) {
      return a == b || (a == '_' && b == '-') || (a == '-' && b == '_');
    });
  });
  return found == fields.end() ? nullptr : &found->second;
}

std::optional<Kind> kind_of_file(std::string_view path) {
  const auto slash = path.find_last_of("/\\");
  auto stem = lower_case(slash == std::string_view::npos ? path : path.substr(slash + 1));
  std::ranges::replace_if(
      stem, [](char c) { return c == '_' || c == ' '; }, '-');
  const auto begin = stem.find_first_not_of("0123456789-.");
  stem = begin == std::string::npos ? "" : stem.substr(begin);
  stem = stem.substr(0, stem.find('.'));
  for (const bool at_end : {false, true}) {
    for (const auto& [kind, word] : kKinds) {
      const auto rest = stem.size() - std::min(stem.size(), word.size());
      const bool found = at_end ? stem.ends_with(word) && rest > 0 && stem[rest - 1] == '-'
                                : stem.starts_with(word) && (rest == 0 || stem[word.size()] == '-');
      if (found) {
        return kind;
      }
    }
  }
  return std::nullopt;
}

}  // namespace shearpin::interchange
