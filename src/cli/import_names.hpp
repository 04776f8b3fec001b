#pragma once
/// Names in files that are imported.

#include <fmt/format.h>

#include <string>
#include <string_view>
#include <vector>

#include "domain/name_lookup.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {

/// Lower case, with hyphens for blanks and underscores: what keys and names are compared by.
std::string key_form(std::string_view text);

/// In a file only the exact key or the whole name will do: nobody is there to see a guess.
template <class T>
const T& named(const std::vector<T>& things, const std::string& typed, std::string_view what) {
  const std::string wanted = key_form(typed);
  const T* by_name = nullptr;
  int names = 0;
  for (const auto& thing : things) {
    if (key_form(thing.key) == wanted) {
      return thing;
    }
    if (key_form(thing.name) == wanted) {
      by_name = &thing;
      ++names;
    }
  }
  if (names == 1) {
    return *by_name;
  }
  if (names > 1) {
    throw InputError(fmt::format("\"{}\" names {} {}s; give the key", typed, names, what));
  }
  std::vector<domain::NameEntry> entries;
  for (const auto& thing : things) {
    entries.push_back({thing.key, thing.name, {}, {}});
  }
  const auto near = domain::find_name(typed, entries);
  const auto& close = near.hits.empty() ? near.suggestions : near.hits;
  const std::string nearest =
      close.empty() ? std::string{} : fmt::format("; nearest: {}", things[close.front()].key);
  throw InputError(fmt::format("no {} called \"{}\"{}", what, typed, nearest));
}

}  // namespace shearpin::cli
