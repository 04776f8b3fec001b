#pragma once
/// Which columns a kind of file may have, and which heading means which column.

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "interchange/rows.hpp"

namespace shearpin::interchange {

/// How the text of a cell is to be read.
enum class Content {
  text,  ///< words, kept as they are
  word,  ///< one of a list
  date,
  count,   ///< whole number
  amount,  ///< a number, perhaps with its unit
  money,
  flag  ///< yes or no
};

struct Column {
  std::string name;  ///< lower case, underscores
  Content content = Content::text;
  bool required = false;   ///< the heading must be there and every cell of it filled
  std::int64_t least = 1;  ///< of a count
  /// Of a word: the word as the list has it; InputError for one that is not in it.
  std::string (*spelt)(std::string_view) = nullptr;
};

/// The columns of a kind, master data from domain::fields.
const std::vector<Column>& columns_of(Kind kind);

/// Columns without which a line of this kind of history says nothing.
std::span<const std::string_view> columns_needed(std::string_view history_kind);

/// Lower case, everything between letters and digits one underscore: "Mass (g)" -> "mass_g".
std::string normalised(std::string_view heading);

/// A heading that names a column, perhaps with the unit that bare numbers below it are in.
struct Heading {
  std::size_t column = 0;  ///< index into the columns
  std::string unit;        ///< put after bare numbers: " kg", "/day"; empty: none
};
std::optional<Heading> match_heading(std::string_view heading, std::span<const Column> columns);

/// The word as `list` has it, letter case, underscores and spaces aside; InputError naming `what`
/// and the list for any other.
std::string spelt_word(std::string_view text, const std::vector<std::string>& list,
                       std::string_view what);

/// yes or no; InputError for what is neither.
std::string yes_or_no(std::string_view text);

/// Columns that are for the reader of the file alone: no warning, not taken.
bool is_remark_column(Kind kind, std::string_view normalised_heading);

}  // namespace shearpin::interchange
