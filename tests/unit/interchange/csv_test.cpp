// Expected cells follow RFC 4180 (2005), section 2, rules 1 to 7; byte sequences that are no UTF-8
// follow table 3-7 of the Unicode Standard.
#include <catch2/catch.hpp>

#include "interchange/csv.hpp"
#include "interchange/csv_table.hpp"

namespace shearpin::interchange {
namespace {

using Cells = std::vector<std::string>;

CsvTable csv(std::string_view bytes) { return read_csv(bytes, "t.csv"); }

TEST_CASE("Cells are read by RFC 4180, with the line where each row begins") {
  const auto table =
      csv("a,b\r\n\"x, y\",\"say \"\"hi\"\"\"\r\n\r\n\"two\r\nlines\",z\r\nlast,row");
  REQUIRE(table.refusals.empty());
  REQUIRE(table.rows.size() == 4);
  CHECK(table.rows[0].cells == Cells{"a", "b"});
  CHECK(table.rows[1].cells == Cells{"x, y", "say \"hi\""});
  CHECK(table.rows[2].cells == Cells{"two\r\nlines", "z"});
  CHECK(table.rows[3].cells == Cells{"last", "row"});
  CHECK(table.rows[1].line == 2);
  CHECK(table.rows[2].line == 4);
  CHECK(table.rows[3].line == 6);
}

TEST_CASE("A byte-order mark, lone carriage returns and blank rows do not matter") {
  const auto table = csv("\xEF\xBB\xBFkey,name\r,,\r\r  \rp1,Pin\r");
  REQUIRE(table.rows.size() == 2);
  CHECK(table.rows[0].cells == Cells{"key", "name"});
  CHECK(table.rows[1].cells == Cells{"p1", "Pin"});
  CHECK(table.rows[1].line == 5);
}

TEST_CASE("The separator is told by the header, quoted ones not counted") {
  CHECK(csv("a;b;c\n1,5;2;3\n").rows.at(1).cells == Cells{"1,5", "2", "3"});
  CHECK(csv("\"a;;;\",b\n1,2\n").rows.at(0).cells == Cells{"a;;;", "b"});
  CHECK(csv("only\n1\n").separator == ',');
}

TEST_CASE("NUL bytes and what is not UTF-8 are refused with their lines") {
  const std::string nul("key\np\0\n", 7);
  const auto table = csv(nul);
  REQUIRE(table.refusals.size() == 1);
  CHECK(table.refusals[0].line == 2);
  CHECK(table.rows.empty());
  for (const auto* bad : {"\xC0\xAF", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xE2\x82", "\xFF",
                          "\x80", "\xE0\x80\xAF", "\xF0\x80\x80\xAF"}) {
    CHECK(csv(std::string("key\nok\n") + bad + "\n").refusals.at(0).line == 3);
  }
  for (const auto* good : {"\xC3\xA9", "\xE2\x82\xAC", "\xF0\x9F\x94\xA9", "\xED\x9F\xBF"}) {
    CHECK(csv(std::string("key\n") + good).rows.at(1).cells == Cells{good});
  }
}

TEST_CASE("A quote out of place refuses its line and reading goes on") {
  const auto table = csv("key,name\np1,6\" pipe\np2,Pin\n");
  REQUIRE(table.refusals.size() == 1);
  CHECK(table.refusals[0].line == 2);
  REQUIRE(table.rows.size() == 2);
  CHECK(table.rows[1].cells == Cells{"p2", "Pin"});
  CHECK(table.rows[1].line == 3);
}

TEST_CASE("A quote never closed is refused where it was opened") {
  const auto table = csv("key,name\np1,Pin\np2,\"lost\np3,x\n");
  REQUIRE(table.refusals.size() == 1);
  CHECK(table.refusals[0].line == 3);
  CHECK(table.rows.size() == 2);
}

TEST_CASE("What is written is read back as the same cells") {
  const std::vector<CsvLine> lines = {{"a", "b"},
                                      {"x, y", "say \"hi\""},
                                      {" lead", "end "},
                                      {"two\nlines", "semi;colon"},
                                      {"", "last"}};
  CHECK(write_csv(lines) ==
        "a,b\n\"x, y\",\"say \"\"hi\"\"\"\n\" lead\",\"end "
        "\"\n\"two\nlines\",\"semi;colon\"\n,last\n");
  const auto table = csv(write_csv(lines));
  REQUIRE(table.rows.size() == lines.size());
  CHECK(table.rows[1].cells == lines[1]);
  CHECK(table.rows[3].cells == lines[3]);
  CHECK(table.rows[4].cells == lines[4]);
  CHECK(write_csv(std::vector<CsvLine>{{""}}) == "\"\"\n");
}

}  // namespace
}  // namespace shearpin::interchange
