#include "interchange/csv_table.hpp"

#include <csv.h>

#include <algorithm>
#include <new>
#include <utility>

#include "base/text.hpp"

namespace shearpin::interchange {
namespace {

constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
constexpr std::size_t kLongestRow = 1 << 20;  // bytes

/// The next physical line with its end (LF, CRLF or a lone CR).
std::string_view next_line(std::string_view rest) {
  const auto end = rest.find_first_of("\r\n");
  if (end == std::string_view::npos) {
    return rest;
  }
  const bool crlf = rest[end] == '\r' && end + 1 < rest.size() && rest[end + 1] == '\n';
  return rest.substr(0, end + (crlf ? 2 : 1));
}

/// Bytes a UTF-8 sequence should have after `lead`; none for a byte that cannot lead.
int follow_bytes(unsigned char lead) {
  if (lead < 0x80) {
    return 0;
  }
  if (lead >= 0xC2 && lead < 0xE0) {
    return 1;
  }
  if (lead >= 0xE0 && lead < 0xF0) {
    return 2;
  }
  return lead >= 0xF0 && lead < 0xF5 ? 3 : -1;
}

/// Well-formed by table 3-7 of the Unicode Standard: no overlong forms, surrogates or codes past
/// U+10FFFF.
bool is_utf8(std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const auto lead = static_cast<unsigned char>(text[i]);
    const int more = follow_bytes(lead);
    if (more < 0 || i + static_cast<std::size_t>(more) >= text.size()) {
      return false;
    }
    for (int k = 1; k <= more; ++k) {
      const auto byte = static_cast<unsigned char>(text[i + static_cast<std::size_t>(k)]);
      const unsigned char least = k > 1 ? 0x80 : lead == 0xE0 ? 0xA0 : lead == 0xF0 ? 0x90 : 0x80;
      const unsigned char most = k > 1 ? 0xBF : lead == 0xED ? 0x9F : lead == 0xF4 ? 0x8F : 0xBF;
      if (byte < least || byte > most) {
        return false;
      }
    }
    i += static_cast<std::size_t>(more) + 1;
  }
  return true;
}

char detect_separator(std::string_view header) {
  std::size_t commas = 0;
  std::size_t semicolons = 0;
  bool quoted = false;
  for (const char c : header) {
    quoted = quoted != (c == '"');
    commas += !quoted && c == ',' ? 1 : 0;
    semicolons += !quoted && c == ';' ? 1 : 0;
  }
  return semicolons > commas ? ';' : ',';
}

/// Owns a libcsv parser; collects the cells of one row after another.
class Parser {
 public:
  explicit Parser(char separator) : separator_(separator) { start(); }
  Parser(const Parser&) = delete;
  Parser& operator=(const Parser&) = delete;
  ~Parser() { csv_free(&parser_); }

  /// False when the text has a quote out of place; the parser then begins anew.
  bool feed(std::string_view text) {
    if (csv_parse(&parser_, text.data(), text.size(), on_cell, on_row, this) == text.size()) {
      return true;
    }
    return failed();
  }
  /// False when a quote was never closed.
  bool finish() { return csv_fini(&parser_, on_cell, on_row, this) == 0 || failed(); }

  /// Rows completed since the last call.
  std::vector<std::vector<std::string>> take_rows() { return std::exchange(rows_, {}); }

 private:
  void start() {
    if (csv_init(&parser_, CSV_STRICT | CSV_STRICT_FINI) != 0) {
      throw std::bad_alloc();
    }
    csv_set_delim(&parser_, static_cast<unsigned char>(separator_));
    csv_set_blk_size(&parser_, 1 << 16);  // it grows by so much at a time, copying what it has
  }

  bool failed() {
    if (csv_error(&parser_) != CSV_EPARSE) {
      throw std::bad_alloc();
    }
    csv_free(&parser_);
    start();
    cells_.clear();
    return false;
  }

  static void on_cell(void* data, std::size_t size, void* self) {
    static_cast<Parser*>(self)->cells_.emplace_back(static_cast<const char*>(data), size);
  }
  static void on_row(int, void* self) {
    auto& parser = *static_cast<Parser*>(self);
    parser.rows_.push_back(std::exchange(parser.cells_, {}));
  }

  char separator_;
  csv_parser parser_{};
  std::vector<std::string> cells_;
  std::vector<std::vector<std::string>> rows_;
};

std::vector<Refusal> refused_bytes(std::string_view bytes, const std::string& file) {
  std::vector<Refusal> found;
  for (std::size_t line = 1; !bytes.empty(); ++line) {
    const auto text = next_line(bytes);
    bytes.remove_prefix(text.size());
    if (text.find('\0') != std::string_view::npos) {
      found.push_back({file, line, "", "", "NUL byte: save the table as CSV in UTF-8"});
    } else if (!is_utf8(text)) {
      found.push_back({file, line, "", "", "not UTF-8: save the table as CSV in UTF-8"});
    }
    if (found.size() >= kMostRefusals) {
      found.push_back(rest_unread(file, line));
      break;
    }
  }
  return found;
}

/// True when a row, blank or not, was completed.
bool keep_rows(Parser& parser, std::size_t line, CsvTable& table) {
  auto rows = parser.take_rows();
  for (auto& cells : rows) {
    for (auto& cell : cells) {
      cell = csv_text(trimmed(cell));
    }
    const bool blank = std::ranges::all_of(cells, [](const auto& cell) { return cell.empty(); });
    if (!blank) {
      table.rows.push_back({line, std::move(cells)});
    }
  }
  return !rows.empty();
}

}  // namespace

std::string_view beginning(std::string_view text) {
  std::size_t end = std::min<std::size_t>(text.size(), 100);
  // Between characters.
  while (end > 0 && end < text.size() && (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80) {
    --end;
  }
  return text.substr(0, end);
}

Refusal rest_unread(const std::string& file, std::size_t line) {
  return {file, line, "", "", "too many lines are refused; the rest was not read"};
}

CsvTable read_csv(std::string_view bytes, const std::string& file) {
  CsvTable table;
  if (bytes.starts_with(kByteOrderMark)) {
    bytes.remove_prefix(kByteOrderMark.size());
  }
  table.refusals = refused_bytes(bytes, file);
  if (!table.refusals.empty()) {
    return table;
  }
  const auto first = bytes.find_first_not_of(" \t\r\n");
  const auto header = first == std::string_view::npos ? "" : next_line(bytes.substr(first));
  table.separator = detect_separator(header);
  Parser parser(table.separator);
  std::size_t begun = 0;   // line where the row being read began; 0: between rows
  std::size_t length = 0;  // of the row so far
  for (std::size_t line = 1; !bytes.empty(); ++line) {
    const auto text = next_line(bytes);
    bytes.remove_prefix(text.size());
    const bool blank = trimmed(text).empty();
    begun = begun == 0 && !blank ? line : begun;
    length = begun == 0 ? 0 : length + text.size();
    if (length > kLongestRow) {
      table.refusals.push_back(
          {file, begun, "", "",
           "a row of more than 1 MB: a quote is opened here and never closed, or "
           "this is no table; the rest was not read"});
      return table;
    }
    if (!parser.feed(text)) {
      table.refusals.push_back({file, begun, "", std::string(beginning(trimmed(text))),
                                "a field with a quote in it is quoted whole and the quote doubled, "
                                "as \"6\"\" pipe\""});
      begun = length = 0;
      if (table.refusals.size() >= kMostRefusals) {
        table.refusals.push_back(rest_unread(file, line));
        return table;
      }
      continue;
    }
    if (keep_rows(parser, begun, table)) {
      begun = length = 0;
    }
  }
  if (!parser.finish()) {
    table.refusals.push_back({file, begun, "", "", "a quote is opened here and never closed"});
  }
  keep_rows(parser, begun, table);
  return table;
}

}  // namespace shearpin::interchange
