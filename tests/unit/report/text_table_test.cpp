#include "report/text_table.hpp"

#include <catch2/catch.hpp>
#include <random>
#include <stdexcept>

#include "base/text.hpp"

using namespace shearpin;
using namespace shearpin::report;

namespace {

using Lines = std::vector<std::string>;

/// The lines of a text that ends with a line break.
Lines table_lines(const std::string& text) {
  Lines lines = split(text, '\n');
  REQUIRE(lines.back().empty());
  lines.pop_back();
  return lines;
}

std::string without_spaces(std::string text) {
  std::string kept;
  for (const char c : text) {
    if (c != ' ' && c != '\n') {
      kept += c;
    }
  }
  return kept;
}

}  // namespace

TEST_CASE("text wraps at spaces") {
  CHECK(wrap_lines("one two three", 7) == Lines{"one two", "three"});
  CHECK(wrap_lines("one  two", 80) == Lines{"one two"});
  CHECK(wrap_lines("", 10) == Lines{""});
  CHECK(wrap_lines("exactly ten", 11) == Lines{"exactly ten"});
}

TEST_CASE("line breaks in the text stay") {
  CHECK(wrap_lines("one\n\ntwo", 10) == Lines{"one", "", "two"});
}

TEST_CASE("a word that is too long is broken, not cut off") {
  CHECK(wrap_lines("abcdefgh", 3) == Lines{"abc", "def", "gh"});
  CHECK(wrap_lines("a abcdef b", 4) == Lines{"a", "abcd", "ef b"});
}

TEST_CASE("wide characters wrap by the columns they take") {
  CHECK(wrap_lines("\u51b7\u8535\u5eab", 4) == Lines{"\u51b7\u8535", "\u5eab"});
  CHECK(wrap_lines("\u51b7\u8535\u5eab", 5) == Lines{"\u51b7\u8535", "\u5eab"});
}

TEST_CASE("control characters do not reach the terminal") {
  CHECK(wrap_lines("a\x1b[31mb\tc", 20) == Lines{"a?[31mb c"});
}

TEST_CASE("wrapped text is indented within the width") {
  CHECK(wrap_text("one two three", 9, 2) == "  one two\n  three\n");
  CHECK(wrap_text("one\n\ntwo", 9, 2) == "  one\n\n  two\n");
}

TEST_CASE("a table lines up its columns under a rule") {
  TextTable table({{"Part", Align::left, true}, {"Aboard", Align::right, false}});
  table.add_row({"Fuse 15 A", "4"});
  table.add_row({"Belt", "12"});
  CHECK(table.to_text() ==
        "Part       Aboard\n"
        "---------  ------\n"
        "Fuse 15 A       4\n"
        "Belt           12\n");
}

TEST_CASE("wide letters and accents keep the columns lined up") {
  TextTable table({{"Part", Align::left, false}, {"N", Align::right, false}});
  table.add_row({"\u51b7\u8535\u5eab", "1"});
  table.add_row({"Ku\u0308hler", "2"});
  CHECK(table.to_text() ==
        "Part     N\n"
        "------  --\n"
        "\u51b7\u8535\u5eab   1\n"
        "Ku\u0308hler   2\n");
}

TEST_CASE("the flexible column wraps when the table is too wide") {
  TextTable table(
      {{"Key", Align::left, false}, {"Reason", Align::left, true}, {"N", Align::right, false}});
  table.add_row({"pump-seal", "seldom fails but nothing works without it", "2"});
  CHECK(table.to_text(33) ==
        "Key        Reason               N\n"
        "---------  ------------------  --\n"
        "pump-seal  seldom fails but     2\n"
        "           nothing works\n"
        "           without it\n");
}

TEST_CASE("a table without headers has no head, and may be indented") {
  TextTable table({{"", Align::left, false}, {"", Align::left, true}});
  table.add_row({"init", "makes a ledger"});
  CHECK(table.to_text(80, 2) == "  init  makes a ledger\n");
}

TEST_CASE("a table without rows shows its head") {
  TextTable table({{"Part", Align::left, false}});
  CHECK(table.empty());
  CHECK(table.to_text() == "Part\n----\n");
  CHECK(TextTable().to_text().empty());
}

TEST_CASE("a row of the wrong size is a bug") {
  TextTable table({{"A", Align::left, false}});
  CHECK_THROWS_AS(table.add_row({"1", "2"}), std::logic_error);
}

TEST_CASE("whatever the cells, no line is too long and nothing is lost") {
  const auto seed = GENERATE(range(1u, 60u));
  CAPTURE(seed);
  std::mt19937 random(seed);
  const auto below = [&random](unsigned n) { return static_cast<std::size_t>(random() % n); };
  std::vector<Column> columns(1 + below(5));
  for (Column& column : columns) {
    column = {std::string(1 + below(8), 'H'), below(2) == 0 ? Align::left : Align::right,
              below(2) == 0};
  }
  TextTable table(columns);
  const std::vector<std::string> letters = {"a", "b", " ", "\u00fc", "\u51b7"};
  std::size_t letters_put = 0;
  for (int row = 0; row < 4; ++row) {
    std::vector<std::string> cells;
    for (std::size_t i = 0; i < columns.size(); ++i) {
      std::string cell;
      for (std::size_t length = below(70); length > 0; --length) {
        cell += letters[below(5)];
      }
      letters_put += without_spaces(cell).size();
      cells.push_back(cell);
    }
    table.add_row(cells);
  }
  const std::size_t width = 20 + below(70);
  const std::string text = table.to_text(width);
  std::size_t letters_found = 0;
  for (const std::string& line : table_lines(text)) {
    CHECK(display_width(line) <= width);
    CHECK((line.empty() || line.back() != ' '));
    for (const char c : line) {
      letters_found += c != ' ' && c != '-' && c != 'H' ? 1 : 0;
    }
  }
  CHECK(letters_found == letters_put);
}

TEST_CASE("phrases below a row go over the whole width and stay with it") {
  TextTable table({{"part", Align::left, true}, {"pieces", Align::right}});
  table.add_row({"fuse", "2"}, {"from the shed", "", "because: cheap beside a day without"});
  table.add_row({"hose", "1"});
  CHECK(table.to_text(40) ==
        "part  pieces\n"
        "----  ------\n"
        "fuse       2\n"
        "  from the shed; because: cheap beside a\n"
        "  day without\n"
        "hose       1\n");
  const TableBlocks blocks = table.to_blocks(40);
  REQUIRE(blocks.rows.size() == 2);
  CHECK(blocks.rows[0].find("day without") != std::string::npos);
  CHECK(table.rows()[0].below.size() == 2);
}

TEST_CASE("a column of one line is cut, with three points") {
  TextTable table({{"part", Align::left, true, "", true}, {"pieces", Align::right}});
  table.add_row({"Residual-current outlet with a cover", "1"});
  table.add_row({"Hose", "2"});
  CHECK(table.to_text(32) ==
        "part                      pieces\n"
        "------------------------  ------\n"
        "Residual-current outl...       1\n"
        "Hose                           2\n");
}
