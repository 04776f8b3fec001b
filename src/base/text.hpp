#pragma once
/// Small text helpers that several modules need; nothing here knows about spares.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace shearpin {

/// Without leading and trailing white space.
std::string_view trimmed(std::string_view text);

/// ASCII lower case; other bytes unchanged.
std::string lower_case(std::string_view text);

/// For comparing names only: upper and lower case made one, accents taken off ("Kühler" becomes
/// "kuhler"), wide and narrow forms made one. Text that is not UTF-8 is lower-cased as ASCII.
std::string search_form(std::string_view text);

/// How long a text of a person may be, in characters.
inline constexpr std::size_t kLongestName = 200;
inline constexpr std::size_t kLongestNote = 4000;

/// The gate for all text that comes in: InputError, calling it `what`, unless it is UTF-8 of at
/// most `longest` characters without control characters and without those that turn the order of
/// writing round. With `lines` it may have line breaks and tabs.
void check_text(std::string_view text, std::string_view what, std::size_t longest = kLongestName,
                bool lines = false);

/// The gate for all text that goes to a terminal or on paper: what check_text refuses becomes `?`
/// (a tab or carriage return a blank, a byte that is no UTF-8 U+FFFD); line feeds stay.
std::string printable(std::string_view text);

/// One field of a line of CSV, in quotes where RFC 4180 needs them and where a reader that trims or
/// splits otherwise would change it (a space at either end, a semicolon). What a sheet would
/// compute (a text that begins with = + - @ and is no number) gets an apostrophe in front; csv_text
/// takes it off.
std::string csv_field(std::string_view text);
std::string csv_text(std::string_view field);
/// The fields of one line, with its line feed. A lone empty field is quoted: an empty line is none.
std::string csv_line(const std::vector<std::string>& fields);

/// Split at every `separator`; empty pieces kept; "" gives one empty piece.
std::vector<std::string> split(std::string_view text, char separator);

/// `a, b and c`.
std::string join_words(const std::vector<std::string>& words);

/// Joined with `glue` between.
std::string join(const std::vector<std::string>& words, std::string_view glue);

/// `"text"` for messages: printable, cut after 60 columns with `...`.
/// Where <iomanip> is included call it shearpin::quoted: std::quoted takes strings too.
std::string quoted(std::string_view text);

/// `1 piece`, `3 pieces`: n with the noun, an s added unless n is 1.
std::string counted(long long n, std::string_view noun);

/// Edits (insert, delete, replace, swap of neighbours) that turn `a` into `b`; case-sensitive.
/// Optimal string alignment distance.
std::size_t edit_distance(std::string_view a, std::string_view b);

/// Columns a terminal needs for UTF-8 `text` (wide letters 2, combining marks 0). Invalid bytes
/// count 1 each.
std::size_t display_width(std::string_view text);

/// Bytes of the longest start of `text` that needs at most `columns`, in whole characters with the
/// combining marks that follow; at least one character of a text that is not empty.
std::size_t prefix_within(std::string_view text, std::size_t columns);

/// True for a key: 1 to 40 of a-z, 0-9, hyphen and underscore, starting with a letter or digit.
bool is_key(std::string_view text);

/// Lower-cases and checks a key; throws InputError naming the value, the rule and an example.
/// `what` names the thing ("part", "bin").
std::string parse_key(std::string_view text, std::string_view what);

}  // namespace shearpin
