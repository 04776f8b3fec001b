#include "report/html.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "base/character.hpp"
#include "base/text.hpp"

namespace shearpin::report {
namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";  // U+FFFD

/// Characters that a page must not hold, or that would make it read as something else.
bool forbidden(std::int32_t code) {
  const auto between = [code](std::int32_t low, std::int32_t high) {
    return low <= code && code <= high;
  };
  const bool control = between(0x00, 0x08) || between(0x0B, 0x1F) || between(0x7F, 0x9F);
  const bool turning = between(0x202A, 0x202E) || between(0x2066, 0x2069);
  return code < 0 || control || turning || between(0xFFFE, 0xFFFF);
}

/// Every character of `text` as `write` has it, those that cannot be shown replaced.
template <class Write>
std::string each_character(std::string_view text, Write write) {
  std::string written;
  while (!text.empty()) {
    const Character next = first_character(text);
    if (forbidden(next.code)) {
      written += kReplacement;
    } else {
      write(written, text.substr(0, next.bytes));
    }
    text.remove_prefix(next.bytes);
  }
  return written;
}

std::string opening(std::string_view tag, const Attributes& attributes) {
  std::string text = fmt::format("<{}", tag);
  for (const auto& [name, value] : attributes) {
    text += fmt::format(" {}=\"{}\"", name, html_escape(value));
  }
  return text;
}

std::size_t heading_column(const std::vector<Column>& columns) {
  const auto found = std::find_if(columns.begin(), columns.end(),
                                  [](const Column& column) { return column.flexible; });
  return found == columns.end() ? 0 : static_cast<std::size_t>(found - columns.begin());
}

Attributes styled(const std::string& style) {
  return style.empty() ? Attributes{} : Attributes{{"class", style}};
}

/// Digits stand below digits, and a single word, such as a date, keeps to its line.
Attributes cell_attributes(const Column& column, const std::string& cell) {
  if (column.align == Align::right) {
    return styled("num");
  }
  const bool word = !column.flexible && cell.find_first_of(" \n") == std::string::npos;
  return styled(word ? "word" : "");
}

Markup head(const TextTable& table) {
  Markup cells;
  for (const Column& column : table.columns()) {
    Attributes attributes = styled(column.align == Align::right ? "num" : "");
    attributes.emplace_back("scope", "col");
    cells += element("th", attributes, column.full.empty() ? column.header : column.full);
  }
  return element("thead", {}, element("tr", {}, cells)) + words("\n");
}

/// The lines of a cell, a square for a box to tick.
Markup content(const std::string& cell) {
  if (cell == kTickBox) {
    return element("span", {{"class", "box"}, {"role", "img"}, {"aria-label", "to tick"}}, "");
  }
  Markup lines;
  for (const std::string& line : split(cell, '\n')) {
    lines += lines.empty() ? words(line) : element("br") + words(line);
  }
  return lines;
}

/// A group of rows: the cells, and what goes below them over the whole width.
Markup group(const TextTable& table, const TableRow& from, std::size_t heading) {
  Markup cells;
  for (std::size_t i = 0; i < from.cells.size(); ++i) {
    const Column& column = table.columns()[i];
    cells += i == heading
                 ? element("th", {{"scope", from.below.empty() ? "row" : "rowgroup"}},
                           content(from.cells[i]))
                 : element("td", cell_attributes(column, from.cells[i]), content(from.cells[i]));
  }
  Markup rows = element("tr", {}, cells);
  if (!from.below.empty()) {
    rows += element(
        "tr", {{"class", "below"}},
        element("td", {{"colspan", std::to_string(from.cells.size())}}, join(from.below, "; ")));
  }
  return element("tbody", {}, rows) + words("\n");
}

}  // namespace

std::string html_escape(std::string_view text) {
  return each_character(text, [](std::string& written, std::string_view character) {
    switch (character.front()) {
      case '&':
        written += "&amp;";
        return;
      case '<':
        written += "&lt;";
        return;
      case '>':
        written += "&gt;";
        return;
      case '"':
        written += "&quot;";
        return;
      case '\'':
        written += "&#39;";
        return;
      default:
        written += character;
    }
  });
}

std::string css_escape(std::string_view text) {
  return each_character(text, [](std::string& written, std::string_view character) {
    const char c = character.front();
    const bool plain = character.size() > 1 || c == ' ' || (c >= '0' && c <= '9') ||
                       (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    // Six digits, so that what follows is not read as part of the number; and the blank that ends
    // it, or a blank that follows would be taken for that.
    written += plain
                   ? std::string(character)
                   : fmt::format("\\{:06x} ", static_cast<unsigned>(static_cast<unsigned char>(c)));
  });
}

Markup words(std::string_view text) { return Markup(html_escape(text)); }

Markup written_markup(std::string text) { return Markup(std::move(text)); }

Markup element(std::string_view tag, const Attributes& attributes, const Markup& content) {
  return written_markup(fmt::format("{}>{}</{}>", opening(tag, attributes), content.text(), tag));
}

Markup element(std::string_view tag, const Attributes& attributes, std::string_view text) {
  return element(tag, attributes, words(text));
}

Markup element(std::string_view tag, const Attributes& attributes) {
  return written_markup(opening(tag, attributes) + "/>");
}

Markup style_element(const std::string& rules) {
  if (rules.find_first_of("<&") != std::string::npos) {
    throw std::logic_error("a style sheet that could end itself");
  }
  return written_markup("<style>\n" + rules + "</style>\n");
}

std::string html_document(const Markup& head, const Markup& body) {
  const Markup page =
      element("html", {{"lang", "en"}}, element("head", {}, head) + element("body", {}, body));
  return "<!DOCTYPE html>\n" + page.text() + "\n";
}

Markup html_table(const TextTable& table, std::string_view caption) {
  const std::size_t heading = heading_column(table.columns());
  Markup whole = element("caption", {}, caption) + head(table);
  for (const TableRow& row : table.rows()) {
    whole += group(table, row, heading);
  }
  // The keyboard can scroll what it can reach.
  return element("div",
                 {{"class", "scroll"},
                  {"role", "region"},
                  {"aria-label", std::string(caption)},
                  {"tabindex", "0"}},
                 element("table", {}, whole)) +
         words("\n");
}

}  // namespace shearpin::report
