#include "report/rows.hpp"

#include <catch2/catch.hpp>
#include <limits>
#include <stdexcept>

using namespace shearpin;
using namespace shearpin::report;

namespace {

struct Thing {
  std::string name;
  int pieces = 0;
};

Row thing_row(const Thing& thing) {
  return {{"name", thing.name}, {"pieces", thing.pieces, "how many"}};
}

}  // namespace

TEST_CASE("A value reads as JSON and as a cell of CSV") {
  const auto shown = [](const Value& value) { return value.json + " " + value.cell; };
  CHECK(shown(true) == "true true");
  CHECK(shown(7) == "7 7");
  CHECK(shown(std::size_t{18446744073709551615U}) == "18446744073709551615 18446744073709551615");
  CHECK(shown(-0.25) == "-0.25 -0.25");
  CHECK(shown("a \"b\"") == R"("a \"b\"" a "b")");
  CHECK(shown(Money{450}) == "4.5 4.50");
  CHECK(shown(Date(std::chrono::year(2026) / 5 / 25)) == R"("2026-05-25" 2026-05-25)");
  CHECK(shown(PartId{12}) == "12 12");
  CHECK(shown(std::vector<std::string>{"a", "b"}) == R"(["a","b"] a;b)");
  CHECK(shown(std::vector<double>{}) == "[] ");
  CHECK(Value("\xff").json == "\"\xef\xbf\xbd\"");
}

TEST_CASE("What is not known is null and an empty cell") {
  CHECK(Value().json == "null");
  CHECK(Value(std::optional<double>()).cell.empty());
  CHECK(Value(std::optional<double>(2)).cell == "2");
  CHECK(or_null("").json == "null");
  CHECK(or_null("x").json == "\"x\"");
  CHECK_THROWS_AS(Value(std::numeric_limits<double>::quiet_NaN()), std::logic_error);
  CHECK_THROWS_AS(Value(std::numeric_limits<double>::infinity()), std::logic_error);
}

TEST_CASE("Rows inside a row keep their order and tell their keys even where there is none") {
  const std::vector<Thing> things{{"b", 2}, {"a", 1}};
  CHECK(each(things, thing_row).json == R"([{"name":"b","pieces":2},{"name":"a","pieces":1}])");
  CHECK(one(things[0], thing_row).json == R"({"name":"b","pieces":2})");
  const Value none = one(std::optional<Thing>(), thing_row);
  CHECK(none.json == "null");
  REQUIRE(none.form);
  CHECK(none.form().back().meaning == "how many");
  CHECK(each(std::vector<Thing>(), thing_row).form().size() == 2);
  CHECK(
      json_text(std::nullopt, {{"things", each(things, thing_row)}}).starts_with("{\"schema\":1,"));
}

TEST_CASE("CSV has the columns asked for, in that order, and refuses one that no row has") {
  const std::vector<Thing> things{{"b,c", 2}};
  CHECK(csv_table("pieces,name", things, thing_row) == "pieces,name\n2,\"b,c\"\n");
  CHECK(csv_table("pieces,name", std::vector<Thing>(), thing_row) == "pieces,name\n");
  CHECK_THROWS_AS(csv_table("price", things, thing_row), std::logic_error);
}
