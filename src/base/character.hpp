#pragma once
/// The characters of UTF-8 text, one after the other.

#include <cstddef>
#include <cstdint>
#include <string_view>

namespace shearpin {

struct Character {
  std::size_t bytes;    ///< 1 where they are not UTF-8
  std::size_t columns;  ///< that a terminal needs
  std::int32_t code;    ///< -1: not UTF-8
};

/// The character that `text`, not empty, starts with; a bad byte is one of its own.
Character first_character(std::string_view text);

}  // namespace shearpin
