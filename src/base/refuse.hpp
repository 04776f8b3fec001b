#pragma once
/// Refusing what a person gave.

#include <fmt/format.h>

#include <utility>

#include "shearpin/base/error.hpp"

namespace shearpin {

/// Throws InputError with these words; they name the value, the rule and an accepted example.
template <class... Values>
[[noreturn]] void refuse(fmt::format_string<Values...> words, Values&&... values) {
  throw InputError(fmt::format(words, std::forward<Values>(values)...));
}

}  // namespace shearpin
