#include "report/pager.hpp"

#include <fmt/format.h>

#include <stdexcept>

#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::report {
namespace {

/// The header line and an empty one.
constexpr std::size_t kHeaderLines = 2;

/// The lines of text that ends with a line feed.
std::vector<std::string> lines_in(const std::string& text) {
  std::vector<std::string> lines = split(text, '\n');
  if (lines.back().empty()) {
    lines.pop_back();
  }
  return lines;
}

/// The report's own title where the page number leaves room for all of it.
std::string page_title(const advice::StockReport& report) {
  constexpr std::size_t kRoom = 44;
  return report.title.empty() || display_width(report.title) > kRoom ? "Pre-trip stock report"
                                                                     : report.title;
}

}  // namespace

Paper parse_paper(std::string_view word) {
  const std::string low = lower_case(trimmed(word));
  if (low == "a4") {
    return Paper::a4;
  }
  if (low == "letter") {
    return Paper::letter;
  }
  throw UsageError(
      fmt::format("{} is not a paper size: use a4 or letter, e.g. --paper a4", quoted(word)));
}

std::size_t lines_of(Paper paper) {
  switch (paper) {
    case Paper::a4:
      return 60;
    case Paper::letter:
      return 56;
  }
  throw std::logic_error("a paper outside its list");
}

Pager::Pager(Paper paper, std::string title, std::string as_of)
    : room_(lines_of(paper) - kHeaderLines), title_(std::move(title)), as_of_(std::move(as_of)) {}

void Pager::section(std::string_view title) {
  blocks_.push_back({lines_in(heading(title)), {}, true, true, false});
}

void Pager::paragraph(std::string_view text) { lines(wrap_text(text, kWidth)); }
void Pager::caution(std::string_view text) { lines(hanging("Caution: ", text)); }
void Pager::item(std::string_view text) { lines(bullet(text)); }

void Pager::titled(std::string_view title, const TextTable& rows) {
  if (!rows.empty()) {
    section(title);
    table(title, rows);
  }
}

void Pager::lines(const std::string& text) {
  if (!text.empty()) {
    const bool after_table = !blocks_.empty() && blocks_.back().of_table;
    blocks_.push_back({lines_in(text), {}, false, after_table, false});
  }
}

void Pager::table(std::string_view, const TextTable& table) {
  const TableBlocks parts = table.to_blocks(kWidth);
  if (parts.rows.empty()) {
    return;
  }
  const bool after_heading = blocks_.empty() || blocks_.back().keep_with_next;
  const auto head = lines_in(parts.head);
  blocks_.push_back({head, {}, true, !after_heading, true});
  for (const std::string& row : parts.rows) {
    blocks_.push_back({lines_in(row), head, false, false, true});
  }
}

std::size_t Pager::room_needed(std::size_t block) const {
  std::size_t needed = blocks_[block].lines.size();
  while (blocks_[block].keep_with_next && block + 1 < blocks_.size()) {
    ++block;
    needed += blocks_[block].lines.size() + (blocks_[block].gap_before ? 1 : 0);
  }
  return needed;
}

std::vector<Pager::Page> Pager::laid_out() const {
  std::vector<Page> pages(1);
  bool in_table = false;  // the block before was the head or a row of the same table
  for (std::size_t i = 0; i < blocks_.size(); ++i) {
    const Block& block = blocks_[i];
    const std::size_t gap = block.gap_before && !pages.back().empty() ? 1 : 0;
    if (!pages.back().empty() && pages.back().size() + gap + room_needed(i) > room_) {
      pages.emplace_back();
      if (in_table && !block.head.empty()) {
        pages.back() = block.head;
      }
    } else if (gap > 0) {
      pages.back().emplace_back();
    }
    for (const std::string& line : block.lines) {
      // Only a block longer than a whole page gets here with the page full.
      if (pages.back().size() == room_) {
        pages.emplace_back();
      }
      pages.back().push_back(line);
    }
    in_table = !block.head.empty() || (i + 1 < blocks_.size() && !blocks_[i + 1].head.empty());
  }
  return pages;
}

std::string Pager::header(std::size_t page, std::size_t pages) const {
  const std::string right = fmt::format("as of {}, page {} of {}", as_of_, page, pages);
  const std::size_t room = kWidth - display_width(right) - 2;
  std::string left = wrap_lines(title_, room).front();
  left.append(kWidth - display_width(left) - display_width(right), ' ');
  return left + right;
}

std::string Pager::to_text() const {
  const auto pages = laid_out();
  std::string text;
  for (std::size_t i = 0; i < pages.size(); ++i) {
    text += (i > 0 ? "\f" : "") + header(i + 1, pages.size()) + "\n\n";
    for (const std::string& line : pages[i]) {
      text += line + '\n';
    }
  }
  return text;
}

std::string report_text(const advice::StockReport& report, Paper paper) {
  Pager pager(paper, page_title(report), to_text(report.as_of));
  write_report(pager, report);
  return pager.to_text();
}

}  // namespace shearpin::report
