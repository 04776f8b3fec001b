// A line of a file becomes the words of the command that it means.

#include "apply/commands.hpp"

#include <catch2/catch.hpp>

#include "interchange/import.hpp"

namespace shearpin::apply {
namespace {

using interchange::ImportRow;
using interchange::Kind;

constexpr Date kToday = std::chrono::year{2026} / 5 / 25;

/// The only row of a history line with these columns.
ImportRow line(const std::string& columns, const std::string& cells) {
  const auto file = interchange::read_import("date," + columns + "\n2026-05-20," + cells + "\n",
                                             "t.csv", Kind::history, kToday);
  REQUIRE(file.refusals.empty());
  return file.rows.at(0);
}

Arguments words(const ImportRow& row) { return words_of(row, command_of(row)); }

TEST_CASE("Every kind of history line that undoes nothing has its command") {
  for (const auto& kind : interchange::history_kinds()) {
    ImportRow row;
    row.kind = interchange::RowKind::history;
    row.set("kind", kind);
    INFO(kind);
    if (kind == "undo") {
      CHECK_THROWS(command_of(row));
    } else {
      CHECK(command_of(row).plan != nullptr);
    }
  }
}

TEST_CASE("A failure has the words of fail") {
  const auto told = words(line("kind,position,unit,quantity,part,lot,from,cause,found_on_test",
                               "failure,l05,3,2,p25,VB-07,b4,shock,yes"));
  CHECK(told.text("POSITION") == "l05/3");
  CHECK(told.text("count") == "2");
  CHECK(told.text("with") == "p25");
  CHECK(told.text("batch") == "VB-07");
  CHECK(told.text("from") == "b4");
  CHECK(told.text("cause") == "shock");
  CHECK(told.flag("found-on-test"));
  CHECK(told.text("on") == "2026-05-20");
  CHECK(told.text("recorded") == "2026-05-20");
  CHECK_FALSE(told.flag("repaired"));
}

TEST_CASE("What a failed unit was left with is an option of fail") {
  CHECK(words(line("kind,position,left", "failure,l05,dead")).flag("left-dead"));
  CHECK(words(line("kind,position,left", "failure,l05,workaround")).flag("workaround"));
  CHECK(words(line("kind,position,left", "failure,l05,stand-in")).text("stand-in") == "");
  CHECK(words(line("kind,position,stand_in", "failure,l05,bolt")).text("stand-in") == "bolt");
}

TEST_CASE("A repair counts the pieces that it used up") {
  const auto told = words(line("kind,position,part,quantity", "repair,l05,p25,4"));
  CHECK(told.flag("repaired"));
  CHECK(told.text("pieces") == "4");
  CHECK_FALSE(told.has("count"));
}

TEST_CASE("A line that no flag stands in gives none") {
  CHECK_FALSE(words(line("kind,position,found_on_test", "failure,l05,no")).has("found-on-test"));
}

TEST_CASE("What a kind of line says by itself goes before its cells") {
  const auto told = words(line("kind,part,cause,position", "found-expired,p25,wet,l05"));
  CHECK(told.text("cause") == "expired");
  CHECK(told.text("PART") == "p25");
  CHECK(told.text("at") == "l05");
  CHECK(words(line("kind,position", "expiry,l05")).flag("expired"));
  CHECK(words(line("kind,lot", "release,VB-07")).flag("lift"));
}

TEST_CASE("A late line keeps its own day of writing") {
  const auto told = words(line("kind,position,recorded", "failure,l05,2026-05-24"));
  CHECK(told.text("recorded") == "2026-05-24");
}

}  // namespace
}  // namespace shearpin::apply
