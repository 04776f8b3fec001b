#include <catch2/catch.hpp>

#include "interchange/columns.hpp"
#include "interchange/row_reader.hpp"
#include "shearpin/base/error.hpp"
#include "support.hpp"

namespace shearpin::interchange {
namespace {

using test::read;
using test::row_at;

TEST_CASE("A file's name says its kind") {
  CHECK(kind_of_file("parts.csv") == Kind::parts);
  CHECK(kind_of_file("/x/orders/07-parts.csv") == Kind::parts);
  CHECK(kind_of_file("Parts 2024.CSV") == Kind::parts);
  CHECK(kind_of_file("09-readings-odometer.csv") == Kind::readings);
  CHECK(kind_of_file("data/component-classes.csv") == Kind::classes);
  CHECK(kind_of_file("safety_notes.csv") == Kind::safety_notes);
  CHECK_FALSE(kind_of_file("partsx.csv").has_value());
  CHECK_FALSE(kind_of_file("07.csv").has_value());
  CHECK_FALSE(kind_of_file("").has_value());
}

TEST_CASE("Kinds are read as they are written, and others refused with the list") {
  for (int i = 0; i <= static_cast<int>(Kind::trips); ++i) {
    const auto kind = static_cast<Kind>(i);
    CHECK(parse_kind(to_text(kind)) == kind);
    CHECK_FALSE(columns_of(kind).empty());
  }
  for (const auto& word : history_kinds()) {
    CHECK(columns_of(Kind::history).at(2).spelt(word) == word);
  }
  CHECK(columns_of(Kind::history).at(2).spelt("Upstream repair") == "upstream-repair");
  CHECK_THROWS_WITH(parse_kind("bits"), Catch::Contains("\"bits\"") && Catch::Contains("parts"));
}

TEST_CASE("Headings may come in any order, case and spelling, with units") {
  const auto file = read(Kind::parts,
                         "Mass (g),Home bin,KEY,shelf-life years,class,Price\n"
                         "12,b1,p1,10,blade-fuse-mid,0.40\n"
                         "1.5 kg,,p2,3 weeks,blade-fuse-mid,\n");
  REQUIRE(test::refusals(file).empty());
  CHECK(file.warnings.empty());
  REQUIRE(file.rows.size() == 2);
  const auto& first = row_at(file, 0);
  CHECK(first.cells.front() == std::pair<std::string_view, std::string>("key", "p1"));
  CHECK(*first.find("mass") == "12 g");
  CHECK(*first.find("shelf_life") == "10 years");
  CHECK(*first.find("home_bin") == "b1");
  const auto& second = row_at(file, 1);
  CHECK(*second.find("mass") == "1.5 kg");
  CHECK(*second.find("shelf_life") == "3 weeks");
  CHECK(second.find("price") == nullptr);
}

TEST_CASE("Columns of no meaning are named in a warning and left") {
  const auto file = read(Kind::bins, "key,colour,name\nb1,red,Door box\n");
  CHECK(file.refusals.empty());
  REQUIRE(file.warnings.size() == 1);
  CHECK(file.warnings[0] == "the column \"colour\" is not read");
  CHECK(row_at(file, 0).cells.size() == 2);
}

TEST_CASE("A header without what is needed, or with it twice, is refused alone") {
  CHECK(test::refusals(read(Kind::bins, "name\nDoor box\n")) == "1 key []\n");
  CHECK(test::refusals(read(Kind::bins, "key,Key,name\nb1,b1,x\n")) == "1 key [Key]\n");
  CHECK(test::refusals(read(Kind::bins, "")) == "1  []\n");
  CHECK(read(Kind::bins, "key\n").refusals.empty());
}

TEST_CASE("Numbers get a decimal point in files with decimal commas") {
  CHECK(with_decimal_point("4,50") == "4.50");
  CHECK(with_decimal_point("1.250,5 kg") == "1250.5 kg");
  CHECK(with_decimal_point("7 500,5") == "7 500.5");
  CHECK(with_decimal_point("4.50") == "4.50");
  CHECK(with_decimal_point("0.125") == "0.125");
  CHECK(with_decimal_point("12") == "12");
  CHECK(with_decimal_point("unknown") == "unknown");
  CHECK(with_decimal_point("a,b") == "a,b");
  CHECK_FALSE(with_decimal_point("148.200").has_value());
  CHECK_FALSE(with_decimal_point("1.250 kg").has_value());
}

TEST_CASE("A semicolon table has decimal commas and a comma table has not") {
  const auto semi = read(Kind::stock,
                         "date;part;quantity;cost;note\n2023-04-01;p1;3;0,40;one, two\n"
                         "2023-04-01;p2;1.000;1;\n");
  CHECK(test::refusals(semi) == "3 quantity [1.000]\n");
  REQUIRE(semi.rows.size() == 1);
  CHECK(row_at(semi, 0).text("cost") == "0.40");
  CHECK(row_at(semi, 0).text("note") == "one, two");
  const auto comma = read(Kind::stock, "date,part,quantity,cost\n2023-04-01,p1,3,\"0,40\"\n");
  CHECK(test::refusals(comma) == "2 cost [0,40]\n");
}

}  // namespace
}  // namespace shearpin::interchange
