#include "cli/nearest.hpp"

#include <algorithm>
#include <utility>

#include "base/text.hpp"

namespace shearpin::cli {
namespace {

/// `wanted` begins the name, or is a word of it: dead of left-dead, --dead of --left-dead.
bool begins_or_word(const std::string& wanted, const std::string& name) {
  if (wanted.size() < 2) {
    return false;
  }
  if (name.starts_with(wanted)) {
    return true;
  }
  const auto word = wanted.substr(std::min(wanted.find_first_not_of('-'), wanted.size()));
  return word.size() >= 2 && (name + '-').find('-' + word + '-') != std::string::npos;
}

}  // namespace

std::vector<std::string> nearest_names(std::string_view typed,
                                       const std::vector<std::string>& names) {
  const std::string wanted = lower_case(typed);
  const std::size_t allowed = std::max<std::size_t>(1, (wanted.size() + 1) / 3);
  std::vector<std::pair<std::size_t, std::string>> near;
  for (const std::string& name : names) {
    const std::size_t edits = edit_distance(wanted, name);
    const bool within = begins_or_word(wanted, name);
    if (edits <= allowed || within) {
      near.emplace_back(within ? 0 : edits, name);
    }
  }
  std::stable_sort(near.begin(), near.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  near.resize(std::min<std::size_t>(near.size(), 3));
  std::vector<std::string> nearest;
  for (auto& one : near) {
    nearest.push_back(std::move(one.second));
  }
  return nearest;
}

}  // namespace shearpin::cli
