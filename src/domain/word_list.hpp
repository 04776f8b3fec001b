#pragma once
/// One way to spell and read the closed word lists of the domain.

#include <fmt/format.h>

#include <algorithm>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "base/text.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::domain {

template <class Enum>
struct Word {
  Enum value;
  std::string_view text;
};

/// The spelling of `value`; std::logic_error for a value outside the list.
template <class Enum>
std::string_view spell(std::span<const Word<Enum>> list, Enum value) {
  for (const Word<Enum>& word : list) {
    if (word.value == value) {
      return word.text;
    }
  }
  throw std::logic_error("a word list misses one of its values");
}

/// Lower case with hyphens, so that `Distance-km` reads as `distance_km`.
inline std::string folded(std::string_view text) {
  std::string result = lower_case(trimmed(text));
  std::replace(result.begin(), result.end(), '_', '-');
  return result;
}

/// The value spelt `text`; InputError names the word, the list and an example.
template <class Enum>
Enum read_word(std::span<const Word<Enum>> list, std::string_view text, std::string_view what) {
  const std::string wanted = folded(text);
  std::vector<std::string> words;
  for (const Word<Enum>& word : list) {
    if (folded(word.text) == wanted) {
      return word.value;
    }
    words.emplace_back(word.text);
  }
  throw InputError(fmt::format("{} {} is refused: it must be one of {}, for example {}", what,
                               quoted(text), join(words, ", "), words.front()));
}

}  // namespace shearpin::domain
