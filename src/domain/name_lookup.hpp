#pragma once
/// Finds what a person meant by a name typed in a hurry. Knows nothing of what the names stand for.

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace shearpin::domain {

/// One thing that can be named.
struct NameEntry {
  std::string key;
  std::string name;
  std::vector<std::string> nicknames;
  std::string extra;  ///< further words it may be found by: place, maker's number
};

/// The step of the search that gave the hits, from the surest to the least sure.
enum class MatchStep { exact_key, key_prefix, name_or_nickname, words, close_spelling, none };

struct NameMatches {
  MatchStep step = MatchStep::none;
  std::vector<std::size_t> hits;         ///< indexes into the entries, in their order
  std::vector<std::size_t> suggestions;  ///< when nothing was hit: up to three, nearest first
};

/// The entries that `query` names, by the first of these steps that hits any:
/// 1. exact_key: the key itself; a space may stand for its hyphen;
/// 2. key_prefix: the start of one key and of no other;
/// 3. name_or_nickname: a whole name or nickname;
/// 4. words: every word of the query is a word, or the start of one, in key, name, nicknames and
///    extra, in any order. Where just one entry has them all as whole words, that one is hit;
/// 5. close_spelling: every word is found as in 4 or is misspelt: one edit from a word when it has
///    4 to 7 letters, two when it has 8 or more; or the whole query is that near to the key.
/// Letter case, accents, hyphens, underscores and other punctuation do not matter. A number matches
/// only itself, neither as the start of a longer one nor as a misspelt other: fuse-15 is neither
/// fuse-150 nor fuse-16.
/// Several hits mean that the person must choose; a caller that writes never takes the first.
/// An empty query hits and suggests nothing. Throws nothing of its own.
NameMatches find_name(std::string_view query, std::span<const NameEntry> entries);

}  // namespace shearpin::domain
