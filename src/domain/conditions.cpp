#include "domain/conditions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "base/text.hpp"
#include "domain/name_lookup.hpp"

namespace shearpin::domain {
namespace {

/// What a person may say for a word that is spelt quite otherwise.
struct Said {
  std::string_view word, meant;
};
constexpr Said kSaid[] = {{"frost", "freezing"},
                          {"ice", "freezing"},
                          {"cold", "freezing"},
                          {"hot", "heat"},
                          {"sand", "smoke-dust"},
                          {"gravel", "rough-road"},
                          {"washboard", "rough-road"},
                          {"wet", "humid"},
                          {"rain", "humid"},
                          {"sea", "salt"},
                          {"altitude", "high-altitude"}};

/// The known words that `name` comes near to.
std::vector<std::string> nearest(const std::string& name, const std::vector<std::string>& known) {
  for (const auto& said : kSaid) {
    if (said.word == name && std::find(known.begin(), known.end(), said.meant) != known.end()) {
      return {std::string(said.meant)};
    }
  }
  std::vector<NameEntry> entries;
  for (const auto& word : known) {
    entries.push_back({word, {}, {}, {}});
  }
  const auto found = find_name(name, entries);
  std::vector<std::string> words;
  for (const std::size_t i : found.hits.empty() ? found.suggestions : found.hits) {
    if (!found.hits.empty() || edit_distance(name, known[i]) <= (name.size() + 1) / 3) {
      words.push_back(known[i]);
    }
  }
  return words;
}

}  // namespace

std::vector<std::string> known_conditions(const Catalogue& catalogue) {
  std::set<std::string> known;
  for (const ComponentClass& kind : catalogue.classes) {
    for (const auto& factor : kind.sensitivity) {
      known.insert(factor.first);
    }
  }
  return {known.begin(), known.end()};
}

std::optional<std::string> unknown_condition(const Catalogue& catalogue, const std::string& name) {
  const auto known = known_conditions(catalogue);
  if (std::find(known.begin(), known.end(), name) != known.end()) {
    return std::nullopt;
  }
  const auto near = nearest(name, known);
  return fmt::format("no component class is sensitive to {}, so it changes nothing; known are {}{}",
                     name, join_words(known), near.empty() ? "" : "; nearest: " + near.front());
}

}  // namespace shearpin::domain
