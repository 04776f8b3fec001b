#include <algorithm>
#include <array>
#include <cctype>
#include <utility>

#include "base/text.hpp"
#include "interchange/columns.hpp"
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

}  // namespace

std::string spelt_word(std::string_view text, const std::vector<std::string>& list,
                       std::string_view what) {
  auto word = lower_case(trimmed(text));
  std::ranges::replace_if(
      word, [](char c) { return c == '_' || c == ' '; }, '-');
  if (std::ranges::find(list, word) == list.end()) {
    throw InputError(quoted(text) + " is no kind of " + std::string(what) + "; the kinds are " +
                     join_words(list));
  }
  return word;
}

std::string_view to_text(Kind kind) {
  return std::ranges::find(kKinds, kind, [](const auto& entry) { return entry.first; })->second;
}

Kind parse_kind(std::string_view text) {
  std::vector<std::string> words;
  for (const auto& entry : kKinds) {
    words.emplace_back(entry.second);
  }
  const auto word = spelt_word(text, words, "table");
  return std::ranges::find(kKinds, word, [](const auto& entry) { return entry.second; })->first;
}

bool is_master(Kind kind) { return kind <= Kind::substitutes; }

const std::string* ImportRow::find(std::string_view column) const {
  // Headings join words by underscores, fields by hyphens: they are alike.
  const auto found = std::ranges::find_if(cells, [column](const auto& cell) {
    return std::ranges::equal(cell.first, column, [](char a, char b) {
      return a == b || (a == '_' && b == '-') || (a == '-' && b == '_');
    });
  });
  return found == cells.end() ? nullptr : &found->second;
}

const std::string& ImportRow::text(std::string_view column) const {
  static const std::string nothing;
  const auto* cell = find(column);
  return cell == nullptr ? nothing : *cell;
}

void ImportRow::set(std::string_view column, std::string value) {
  std::erase_if(cells, [column](const auto& cell) { return cell.first == column; });
  if (!value.empty()) {
    cells.emplace_back(column, std::move(value));
  }
}

std::vector<std::string> list_of(std::string_view cell) {
  std::vector<std::string> words;
  for (const auto& piece : split(cell, ';')) {
    if (!trimmed(piece).empty()) {
      words.emplace_back(trimmed(piece));
    }
  }
  return words;
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
