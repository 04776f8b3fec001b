#include "domain/name_lookup.hpp"

#include <algorithm>
#include <functional>
#include <iterator>
#include <set>

#include "base/text.hpp"

namespace shearpin::domain {
namespace {

using Words = std::vector<std::string>;
using Indexes = std::vector<std::size_t>;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

bool is_word_byte(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return is_digit(c) || (c >= 'a' && c <= 'z') || byte >= 0x80;
}

bool has_digit(std::string_view word) { return std::any_of(word.begin(), word.end(), is_digit); }

std::string digits_of(std::string_view text) {
  std::string digits;
  std::copy_if(text.begin(), text.end(), std::back_inserter(digits), is_digit);
  return digits;
}

/// Words in search form. "15A" and "15 A" both give "15", "a"; "7.5" stays one word, as does "m8".
Words words_of(std::string_view text) {
  const std::string form = search_form(text);
  Words words;
  std::string word;
  const auto finish = [&] {
    if (!word.empty()) {
      words.push_back(word);
      word.clear();
    }
  };
  for (std::size_t i = 0; i < form.size(); ++i) {
    const bool number_so_far = !word.empty() && is_digit(word.front());
    const bool decimal_point = form[i] == '.' && number_so_far && i + 1 < form.size() &&
                               is_digit(form[i + 1]) && word.find('.') == std::string::npos;
    if (!is_word_byte(form[i]) && !decimal_point) {
      finish();
      continue;
    }
    if (number_so_far && !decimal_point && !is_digit(form[i])) {
      finish();
    }
    word += form[i];
  }
  finish();
  return words;
}

/// Everything an entry can be found by.
Words words_of(const NameEntry& entry) {
  Words words;
  const auto add = [&words](std::string_view text) {
    const Words more = words_of(text);
    words.insert(words.end(), more.begin(), more.end());
  };
  add(entry.key);
  add(entry.name);
  for (const std::string& nickname : entry.nicknames) {
    add(nickname);
  }
  add(entry.extra);
  return words;
}

/// `whole` begins with `start`, and not in the middle of a number: "fuse-15" is no "fuse-150".
bool begins_with(std::string_view whole, std::string_view start) {
  return whole.starts_with(start) &&
         !(whole.size() > start.size() && is_digit(start.back()) && is_digit(whole[start.size()]));
}

bool is_start_of(const std::string& typed, const std::string& word) {
  return is_digit(typed.front()) ? typed == word : begins_with(word, typed);
}

template <class Predicate>
Indexes indexes_where(std::size_t count, Predicate holds) {
  Indexes indexes;
  for (std::size_t i = 0; i < count; ++i) {
    if (holds(i)) {
      indexes.push_back(i);
    }
  }
  return indexes;
}

Indexes with_exact_key(std::string_view query, const Words& words,
                       std::span<const NameEntry> entries) {
  const std::string typed = lower_case(trimmed(query));
  Indexes hits = indexes_where(entries.size(),
                               [&](std::size_t i) { return lower_case(entries[i].key) == typed; });
  if (hits.empty()) {
    hits = indexes_where(entries.size(),
                         [&](std::size_t i) { return words_of(entries[i].key) == words; });
  }
  return hits;
}

Indexes with_key_prefix(std::string_view query, std::span<const NameEntry> entries) {
  std::string typed = lower_case(trimmed(query));
  std::replace(typed.begin(), typed.end(), ' ', '-');
  return indexes_where(entries.size(), [&](std::size_t i) {
    return begins_with(lower_case(entries[i].key), typed);
  });
}

Indexes with_name(const Words& words, std::span<const NameEntry> entries) {
  return indexes_where(entries.size(), [&](std::size_t i) {
    const auto& nicknames = entries[i].nicknames;
    return words_of(entries[i].name) == words ||
           std::any_of(nicknames.begin(), nicknames.end(),
                       [&](const std::string& nickname) { return words_of(nickname) == words; });
  });
}

/// Misspelt letters are forgiven; a figure never is, since 15 and 16 are two different fuses.
bool is_close(std::string_view typed, std::string_view word) {
  const std::size_t allowed = typed.size() >= 8 ? 2 : typed.size() >= 4 ? 1 : 0;
  return allowed > 0 && digits_of(typed) == digits_of(word) &&
         typed.size() <= word.size() + allowed && word.size() <= typed.size() + allowed &&
         edit_distance(typed, word) <= allowed;
}

/// True when each typed word has a word of the entry for which `matches` holds.
template <class Matches>
bool all_found(const Words& typed, const Words& words, Matches matches) {
  return std::all_of(typed.begin(), typed.end(), [&](const std::string& one) {
    return std::any_of(words.begin(), words.end(),
                       [&](const std::string& word) { return matches(one, word); });
  });
}

Indexes with_words(const Words& typed, const std::vector<Words>& entry_words) {
  const Indexes hits = indexes_where(entry_words.size(), [&](std::size_t i) {
    return all_found(typed, entry_words[i], is_start_of);
  });
  Indexes whole;
  std::copy_if(hits.begin(), hits.end(), std::back_inserter(whole),
               [&](std::size_t i) { return all_found(typed, entry_words[i], std::equal_to<>()); });
  return whole.size() == 1 ? whole : hits;
}

Indexes with_close_spelling(const Words& typed, std::span<const NameEntry> entries,
                            const std::vector<Words>& entry_words) {
  const std::string typed_key = join(typed, "-");
  return indexes_where(entry_words.size(), [&](std::size_t i) {
    const auto near = [](const std::string& one, const std::string& word) {
      return is_start_of(one, word) || (!has_digit(one) && is_close(one, word));
    };
    return all_found(typed, entry_words[i], near) ||
           is_close(typed_key, join(words_of(entries[i].key), "-"));
  });
}

std::set<std::string> trigrams_of(const std::string& word) {
  const std::string padded = ' ' + word + ' ';
  std::set<std::string> trigrams;
  for (std::size_t i = 0; i + 3 <= padded.size(); ++i) {
    trigrams.insert(padded.substr(i, 3));
  }
  return trigrams;
}

/// 0 for nothing in common to 1 for equal: the better of shared trigrams (Dice's coefficient),
/// which forgives a missing half, and of edits against length, which forgives a scrambled short
/// word.
double similarity(const std::string& a, const std::string& b) {
  const auto of_a = trigrams_of(a);
  const auto of_b = trigrams_of(b);
  const auto shared = std::count_if(of_a.begin(), of_a.end(),
                                    [&](const std::string& t) { return of_b.count(t) > 0; });
  const double dice =
      2.0 * static_cast<double>(shared) / static_cast<double>(of_a.size() + of_b.size());
  const double edits = static_cast<double>(edit_distance(a, b));
  return std::max(dice, 1 - edits / static_cast<double>(std::max(a.size(), b.size())));
}

/// The mean, over the words typed, of the similarity to the nearest word of the entry.
double likeness(const Words& typed, const Words& words) {
  double sum = 0;
  for (const std::string& one : typed) {
    double best = 0;
    for (const std::string& word : words) {
      best = std::max(best, similarity(one, word));
    }
    sum += best;
  }
  return sum / static_cast<double>(typed.size());
}

Indexes nearest_three(const Words& typed, const std::vector<Words>& entry_words) {
  std::vector<double> scores;
  scores.reserve(entry_words.size());
  for (const Words& words : entry_words) {
    scores.push_back(likeness(typed, words));
  }
  Indexes order = indexes_where(scores.size(), [&](std::size_t i) { return scores[i] > 0; });
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return scores[a] > scores[b]; });
  order.resize(std::min<std::size_t>(order.size(), 3));
  return order;
}

}  // namespace

NameMatches find_name(std::string_view query, std::span<const NameEntry> entries) {
  const Words typed = words_of(query);
  if (typed.empty()) {
    return {};
  }
  Indexes hits = with_exact_key(query, typed, entries);
  if (!hits.empty()) {
    return {MatchStep::exact_key, hits, {}};
  }
  hits = with_key_prefix(query, entries);
  if (hits.size() == 1) {
    return {MatchStep::key_prefix, hits, {}};
  }
  hits = with_name(typed, entries);
  if (!hits.empty()) {
    return {MatchStep::name_or_nickname, hits, {}};
  }
  std::vector<Words> entry_words;
  entry_words.reserve(entries.size());
  for (const NameEntry& entry : entries) {
    entry_words.push_back(words_of(entry));
  }
  hits = with_words(typed, entry_words);
  if (!hits.empty()) {
    return {MatchStep::words, hits, {}};
  }
  hits = with_close_spelling(typed, entries, entry_words);
  if (!hits.empty()) {
    return {MatchStep::close_spelling, hits, {}};
  }
  return {MatchStep::none, {}, nearest_three(typed, entry_words)};
}

}  // namespace shearpin::domain
