#include "base/text.hpp"

#include <utf8proc.h>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <memory>

#include "base/character.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin {

Character first_character(std::string_view text) {
  utf8proc_int32_t code = -1;
  const auto used = utf8proc_iterate(reinterpret_cast<const utf8proc_uint8_t*>(text.data()),
                                     static_cast<utf8proc_ssize_t>(text.size()), &code);
  if (used <= 0 || code < 0) {
    return {1, 1, -1};
  }
  const int width = utf8proc_charwidth(code);
  return {static_cast<std::size_t>(used), width > 0 ? static_cast<std::size_t>(width) : 0, code};
}

namespace {

bool is_space(char c) {
  return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\v' || c == '\f';
}

bool is_letter_or_digit(char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'); }

/// Could move the cursor, recolour the screen, or show text in another order than it is written:
/// control characters (C0, DEL, C1), line and paragraph separators, and what embeds, overrides or
/// isolates a direction (Unicode Standard Annex 9, section 2).
bool is_control(std::int32_t code) {
  return (code >= 0 && code < 0x20) || (code >= 0x7f && code <= 0x9f) ||
         (code >= 0x2028 && code <= 0x202e) || (code >= 0x2066 && code <= 0x2069);
}

/// A key near to `text`, to show as the accepted example.
std::string key_like(std::string_view text) {
  std::string key;
  for (const char c : lower_case(trimmed(text))) {
    if (is_letter_or_digit(c)) {
      key += c;
    } else if (!key.empty() && key.back() != '-') {
      key += '-';
    }
  }
  key.resize(std::min<std::size_t>(key.size(), 40));
  while (!key.empty() && key.back() == '-') {
    key.pop_back();
  }
  return key.empty() ? "water-pump" : key;
}

}  // namespace

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_space(text.front())) {
    text.remove_prefix(1);
  }
  while (!text.empty() && is_space(text.back())) {
    text.remove_suffix(1);
  }
  return text;
}

std::string lower_case(std::string_view text) {
  std::string lower(text);
  for (char& c : lower) {
    if (c >= 'A' && c <= 'Z') {
      c = static_cast<char>(c - 'A' + 'a');
    }
  }
  return lower;
}

std::string search_form(std::string_view text) {
  const bool ascii = std::all_of(text.begin(), text.end(), [](char c) { return c >= 0; });
  utf8proc_uint8_t* mapped = nullptr;
  const auto options =
      static_cast<utf8proc_option_t>(UTF8PROC_STABLE | UTF8PROC_DECOMPOSE | UTF8PROC_COMPAT |
                                     UTF8PROC_CASEFOLD | UTF8PROC_STRIPMARK);
  const utf8proc_ssize_t size =
      ascii ? -1
            : utf8proc_map(reinterpret_cast<const utf8proc_uint8_t*>(text.data()),
                           static_cast<utf8proc_ssize_t>(text.size()), &mapped, options);
  const std::unique_ptr<utf8proc_uint8_t, decltype(&std::free)> owner(mapped, &std::free);
  if (size < 0) {
    return lower_case(text);
  }
  return std::string(reinterpret_cast<const char*>(mapped), static_cast<std::size_t>(size));
}

std::vector<std::string> split(std::string_view text, char separator) {
  std::vector<std::string> pieces;
  std::size_t begin = 0;
  for (std::size_t end = text.find(separator); end != std::string_view::npos;
       end = text.find(separator, begin)) {
    pieces.emplace_back(text.substr(begin, end - begin));
    begin = end + 1;
  }
  pieces.emplace_back(text.substr(begin));
  return pieces;
}

std::string join_words(const std::vector<std::string>& words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) {
      text += i + 1 == words.size() ? " and " : ", ";
    }
    text += words[i];
  }
  return text;
}

std::string join(const std::vector<std::string>& words, std::string_view glue) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) {
      text += glue;
    }
    text += words[i];
  }
  return text;
}

void check_text(std::string_view text, std::string_view what, std::size_t longest, bool lines) {
  std::size_t characters = 0;
  for (std::string_view rest = text; !rest.empty(); ++characters) {
    const Character next = first_character(rest);
    const bool line_break = rest[0] == '\n' || rest[0] == '\t' || rest[0] == '\r';
    if (next.code < 0) {
      throw InputError(std::string(what) + ' ' + quoted(text) +
                       " is refused: it is no text (not UTF-8); example: Heater fuse 20 A");
    }
    if (is_control(next.code) && !(lines && line_break)) {
      throw InputError(std::string(what) + ' ' + quoted(text) +
                       " is refused: it holds control characters (shown as ?); example: Heater "
                       "fuse 20 A");
    }
    rest.remove_prefix(next.bytes);
  }
  if (characters > longest) {
    throw InputError(std::string(what) + ' ' + quoted(text) + " is refused: it has " +
                     std::to_string(characters) + " characters, at most " +
                     std::to_string(longest) + " are kept; example: Heater fuse 20 A");
  }
}

std::string printable(std::string_view text) {
  std::string shown;
  shown.reserve(text.size());
  while (!text.empty()) {
    const Character next = first_character(text);
    if (text[0] == '\t' || text[0] == '\r') {
      shown += ' ';
    } else if (next.code < 0) {
      shown += "\xef\xbf\xbd";
    } else if (text[0] != '\n' && is_control(next.code)) {
      shown += '?';
    } else {
      shown += text.substr(0, next.bytes);
    }
    text.remove_prefix(next.bytes);
  }
  return shown;
}

namespace {

/// The field, less any apostrophes in front, begins like a formula.
bool like_formula(std::string_view text) {
  const auto first = text.find_first_not_of('\'');
  return first != std::string_view::npos &&
         std::string_view("=+-@\t\r").find(text[first]) != std::string_view::npos;
}

bool is_number(std::string_view text) {
  text.remove_prefix(text.starts_with('-') || text.starts_with('+') ? 1 : 0);
  return !text.empty() && text.find_first_not_of("0123456789.,") == std::string_view::npos;
}

}  // namespace

std::string csv_field(std::string_view text) {
  std::string kept(text);
  if (like_formula(text) && !is_number(text)) {
    kept.insert(0, 1, '\'');
  }
  const bool spaced = !kept.empty() && (kept.front() == ' ' || kept.back() == ' ');
  if (!spaced && kept.find_first_of(",;\"\r\n") == std::string::npos) {
    return kept;
  }
  std::string field = "\"";
  for (const char c : kept) {
    field += c;
    if (c == '"') {
      field += '"';
    }
  }
  return field + '"';
}

std::string csv_line(const std::vector<std::string>& fields) {
  std::vector<std::string> written;
  for (const auto& field : fields) {
    written.push_back(csv_field(field));
  }
  const bool blank = fields.size() == 1 && fields.front().empty();
  return (blank ? "\"\"" : join(written, ",")) + '\n';
}

std::string csv_text(std::string_view field) {
  const bool marked = field.starts_with('\'') && like_formula(field);
  return std::string(field.substr(marked ? 1 : 0));
}

std::string quoted(std::string_view text) {
  constexpr std::size_t kMostColumns = 60;
  const std::size_t bytes =
      display_width(text) <= kMostColumns ? text.size() : prefix_within(text, kMostColumns);
  std::string shown = printable(text.substr(0, bytes));
  std::replace(shown.begin(), shown.end(), '\n', '?');
  return '"' + shown + (bytes < text.size() ? "...\"" : "\"");
}

std::string counted(long long n, std::string_view noun) {
  std::string text = std::to_string(n) + ' ' + std::string(noun);
  return n == 1 ? text : text + 's';
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
  // Three rows of the usual table: the swap of neighbours looks two rows back.
  std::vector<std::size_t> before(b.size() + 1);
  std::vector<std::size_t> above(b.size() + 1);
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) {
    above[j] = j;
  }
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t cost = a[i - 1] == b[j - 1] ? 0 : 1;
      row[j] = std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + cost});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        row[j] = std::min(row[j], before[j - 2] + 1);
      }
    }
    before.swap(above);
    above.swap(row);
  }
  return above[b.size()];
}

std::size_t display_width(std::string_view text) {
  std::size_t columns = 0;
  while (!text.empty()) {
    const Character next = first_character(text);
    columns += next.columns;
    text.remove_prefix(next.bytes);
  }
  return columns;
}

std::size_t prefix_within(std::string_view text, std::size_t columns) {
  std::size_t bytes = 0;
  std::size_t used = 0;
  while (bytes < text.size()) {
    const Character next = first_character(text.substr(bytes));
    if (bytes > 0 && used + next.columns > columns) {
      break;
    }
    bytes += next.bytes;
    used += next.columns;
  }
  return bytes;
}

bool is_key(std::string_view text) {
  return !text.empty() && text.size() <= 40 && is_letter_or_digit(text.front()) &&
         std::all_of(text.begin(), text.end(),
                     [](char c) { return is_letter_or_digit(c) || c == '-' || c == '_'; });
}

std::string parse_key(std::string_view text, std::string_view what) {
  std::string key = lower_case(trimmed(text));
  if (!is_key(key)) {
    throw InputError(std::string(what) + " key " + quoted(text) +
                     " is not a key: 1 to 40 letters a-z, digits, hyphens and underscores, "
                     "a letter or digit first, for example " +
                     key_like(text));
  }
  return key;
}

}  // namespace shearpin
