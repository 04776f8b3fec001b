#include "report/pager.hpp"

#include <catch2/catch.hpp>

#include "base/text.hpp"
#include "sample.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::report;
using namespace shearpin::report::sample;

namespace {

std::vector<std::vector<std::string>> pages_of(const std::string& text) {
  std::vector<std::vector<std::string>> pages;
  for (const std::string& page : split(text, '\f')) {
    pages.push_back(lines_of(page));
  }
  return pages;
}

/// Rows of three lines each, marked by their number.
TextTable tall_table(int rows) {
  TextTable table({{"row", Align::left}, {"more", Align::right}});
  for (int i = 0; i < rows; ++i) {
    table.add_row(
        {"a" + std::to_string(i) + "\nb" + std::to_string(i) + "\nc" + std::to_string(i), "7"});
  }
  return table;
}

}  // namespace

TEST_CASE("a paper is known by its name") {
  CHECK(parse_paper("A4") == Paper::a4);
  CHECK(parse_paper(" letter ") == Paper::letter);
  CHECK_THROWS_AS(parse_paper("a5"), UsageError);
  CHECK(lines_of(Paper::a4) == 60);
  CHECK(lines_of(Paper::letter) == 56);
}

TEST_CASE("a short text is one page with its header") {
  Pager pager(Paper::a4, "Title", "2026-05-25");
  pager.paragraph("One line.");
  CHECK(pager.to_text() ==
        "Title" + std::string(46, ' ') + "as of 2026-05-25, page 1 of 1\n\nOne line.\n");
}

TEST_CASE("rows are never parted and the head comes again on each page") {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    // Lines before the table move the page breaks through every place in a row.
    for (int before = 0; before < 6; ++before) {
      Pager pager(paper, "Title", "2026-05-25");
      for (int i = 0; i < before; ++i) {
        pager.paragraph("x");
      }
      pager.table("", tall_table(100));
      const auto pages = pages_of(pager.to_text());
      CHECK(pages.size() >= 5);
      int next = 0;
      for (const auto& page : pages) {
        CHECK(page.size() <= lines_of(paper));
        std::size_t line = 2;
        while (page[line] == "x" || page[line].empty()) {
          ++line;
        }
        REQUIRE(page[line] == "row  more");
        for (line += 2; line < page.size(); line += 3, ++next) {
          const std::string number = std::to_string(next);
          REQUIRE(line + 2 < page.size());
          CHECK(page[line].rfind("a" + number + " ", 0) == 0);
          CHECK(page[line + 2] == "c" + number);
        }
      }
      CHECK(next == 100);
    }
  }
}

TEST_CASE("a heading is never the last thing on a page") {
  for (int before = 40; before < 62; ++before) {
    Pager pager(Paper::a4, "Title", "2026-05-25");
    for (int i = 0; i < before; ++i) {
      pager.paragraph("x");
    }
    pager.section("A heading");
    pager.table("", tall_table(2));
    for (const auto& page : pages_of(pager.to_text())) {
      for (std::size_t i = 0; i < page.size(); ++i) {
        if (page[i] == "A heading") {
          REQUIRE(i + 6 < page.size());
          CHECK(page[i + 2] == "row  more");
          CHECK(page[i + 6] == "c0");
        }
      }
    }
  }
}

TEST_CASE("a block longer than a page goes on over the next") {
  Pager pager(Paper::letter, "Title", "2026-05-25");
  std::string text;
  for (int i = 0; i < 130; ++i) {
    text += "line " + std::to_string(i) + "\n";
  }
  pager.lines(text);
  const auto pages = pages_of(pager.to_text());
  REQUIRE(pages.size() == 3);
  CHECK(pages[0].size() == 56);
  CHECK(pages[2].back() == "line 129");
}

TEST_CASE("a long title leaves room for the page number") {
  Pager pager(Paper::a4, long_name() + long_name(), "2026-05-25");
  for (int i = 0; i < 700; ++i) {
    pager.paragraph("x");
  }
  const std::string text = pager.to_text();
  check_lines(text);
  CHECK(text.find("page 13 of 13") != std::string::npos);
}
