#include "report/text_table.hpp"

#include <algorithm>
#include <stdexcept>

#include "base/text.hpp"
#include "report/phrases.hpp"

namespace shearpin::report {
namespace {

constexpr std::size_t kColumnGap = 2;
/// How far in the phrases below a row stand.
constexpr std::size_t kBelow = 2;
/// A flexible column narrower than this breaks most words, so the others give way before that.
constexpr std::size_t kReadable = 16;
/// Room for any one character, the widest taking two columns.
constexpr std::size_t kNarrowest = 2;

void wrap_paragraph(std::string_view paragraph, std::size_t width,
                    std::vector<std::string>& lines) {
  std::string line;
  std::size_t used = 0;
  for (const std::string& piece : split(paragraph, ' ')) {
    std::string_view word = piece;
    if (word.empty()) {
      continue;
    }
    if (used > 0 && used + 1 + display_width(word) <= width) {
      line += ' ';
      line += word;
      used += 1 + display_width(word);
      continue;
    }
    if (used > 0) {
      lines.push_back(std::move(line));
      line.clear();
    }
    used = display_width(word);
    while (used > width) {
      lines.emplace_back(word.substr(0, prefix_within(word, width)));
      used -= display_width(lines.back());
      word.remove_prefix(lines.back().size());
    }
    line = word;
  }
  lines.push_back(std::move(line));
}

std::string spaces(std::size_t count) { return std::string(count, ' '); }

void end_line(std::string& text, std::string line) {
  line.erase(line.find_last_not_of(' ') + 1);
  text += line + '\n';
}

/// The widest column that may still give way, or `widths.size()`.
template <class MayShrink>
std::size_t widest(const std::vector<std::size_t>& widths, MayShrink may_shrink) {
  std::size_t found = widths.size();
  for (std::size_t i = 0; i < widths.size(); ++i) {
    if (may_shrink(i) && (found == widths.size() || widths[i] > widths[found])) {
      found = i;
    }
  }
  return found;
}

/// The lines of one row, whose cells may need several each.
void add_lines(std::string& text, const std::vector<std::string>& cells,
               const std::vector<Column>& columns, const std::vector<std::size_t>& widths,
               std::size_t indent) {
  std::vector<std::vector<std::string>> wrapped;
  std::size_t height = 0;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const bool cut = columns[i].one_line && widths[i] >= kReadable;
    wrapped.push_back(wrap_lines(cut ? cut_to(cells[i], widths[i]) : cells[i], widths[i]));
    height = std::max(height, wrapped.back().size());
  }
  for (std::size_t row = 0; row < height; ++row) {
    std::string line = spaces(indent);
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const std::string piece = row < wrapped[i].size() ? wrapped[i][row] : "";
      const std::string fill = spaces(widths[i] - std::min(widths[i], display_width(piece)));
      line += i > 0 ? spaces(kColumnGap) : "";
      line += columns[i].align == Align::right ? fill + piece : piece + fill;
    }
    end_line(text, std::move(line));
  }
}

}  // namespace

std::vector<std::string> wrap_lines(std::string_view text, std::size_t width) {
  std::vector<std::string> lines;
  for (const std::string& paragraph : split(printable(text), '\n')) {
    wrap_paragraph(paragraph, std::max(width, kNarrowest), lines);
  }
  return lines;
}

std::string wrap_text(std::string_view text, std::size_t width, std::size_t indent) {
  std::string wrapped;
  for (const std::string& line : wrap_lines(text, width - std::min(indent, width))) {
    end_line(wrapped, spaces(indent) + line);
  }
  return wrapped;
}

Column left(std::string header, std::string full) {
  return {std::move(header), Align::left, false, std::move(full)};
}

Column right(std::string header, std::string full) {
  return {std::move(header), Align::right, false, std::move(full)};
}

Column wide(std::string header, std::string full) {
  return {std::move(header), Align::left, true, std::move(full)};
}

TextTable::TextTable(std::vector<Column> columns) : columns_(std::move(columns)) {}

void TextTable::add_row(std::vector<std::string> cells, std::vector<std::string> below) {
  if (cells.size() != columns_.size()) {
    throw std::logic_error("a row needs one cell for each column of its table");
  }
  below.erase(std::remove(below.begin(), below.end(), ""), below.end());
  rows_.push_back({std::move(cells), std::move(below)});
}

void TextTable::add(const std::vector<Cell>& cells, std::vector<std::string> below) {
  std::vector<std::string> texts;
  const bool first = columns_.empty();
  for (const Cell& cell : cells) {
    if (first) {
      columns_.push_back(cell.column);
    }
    texts.push_back(cell.text);
  }
  add_row(std::move(texts), std::move(below));
}

std::vector<std::size_t> TextTable::column_widths(std::size_t width) const {
  std::vector<std::size_t> widths;
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    std::size_t natural = kNarrowest;
    const auto widen = [&natural](const std::string& cell) {
      for (const std::string& line : split(printable(cell), '\n')) {
        natural = std::max(natural, display_width(line));
      }
    };
    widen(columns_[i].header);
    for (const auto& row : rows_) {
      widen(row.cells[i]);
    }
    widths.push_back(std::min(natural, width));
  }
  std::size_t total = kColumnGap * (columns_.size() - std::min<std::size_t>(1, columns_.size()));
  for (const std::size_t one : widths) {
    total += one;
  }
  for (; total > width; --total) {
    std::size_t giving = widest(
        widths, [&](std::size_t i) { return columns_[i].flexible && widths[i] > kReadable; });
    if (giving == widths.size()) {
      giving = widest(widths, [&](std::size_t i) { return widths[i] > kNarrowest; });
    }
    if (giving == widths.size()) {
      break;
    }
    --widths[giving];
  }
  return widths;
}

TableBlocks TextTable::to_blocks(std::size_t width, std::size_t indent) const {
  const auto widths = column_widths(width - std::min(indent, width));
  TableBlocks blocks;
  const bool headed = std::any_of(columns_.begin(), columns_.end(),
                                  [](const Column& column) { return !column.header.empty(); });
  if (headed) {
    std::vector<std::string> headers;
    std::vector<std::string> rule;
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      headers.push_back(columns_[i].header);
      rule.emplace_back(widths[i], '-');
    }
    add_lines(blocks.head, headers, columns_, widths, indent);
    add_lines(blocks.head, rule, columns_, widths, indent);
  }
  for (const auto& row : rows_) {
    std::string& text = blocks.rows.emplace_back();
    add_lines(text, row.cells, columns_, widths, indent);
    if (!row.below.empty()) {
      text += wrap_text(join(row.below, "; "), width, indent + kBelow);
    }
  }
  return blocks;
}

std::string TextTable::to_text(std::size_t width, std::size_t indent) const {
  const TableBlocks blocks = to_blocks(width, indent);
  std::string text = blocks.head;
  for (const std::string& row : blocks.rows) {
    text += row;
  }
  return text;
}

}  // namespace shearpin::report
