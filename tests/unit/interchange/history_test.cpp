#include <catch2/catch.hpp>

#include "support.hpp"

namespace shearpin::interchange {
namespace {

using test::day;
using test::read;
using test::refusals;
using test::row_at;

TEST_CASE("A history line has the words of its command") {
  const auto file = read(Kind::history,
                         "id,date,kind,position,unit,quantity,part,cause,recorded,result,reading,"
                         "stand in,left,keep\n"
                         "e1,2025-09-19,failure,l20,,1,p36,shock,2025-10-04,,,,,\n"
                         "e2,2025-04-06,test,l12,,,,corrosion,,FAIL,no drag,,,\n"
                         "e3,2024-07-19,failure,l18,1,,,,,,,graded bolt,,\n"
                         "e4,2025-07-02,failure,t14/1,,,,,,,,,workaround,\n"
                         "e5,2024-04-15,preventive,t23,,,p18,,,,,,,b3\n");
  REQUIRE(refusals(file).empty());
  const auto& late = row_at(file, 0);
  CHECK(late.kind == RowKind::history);
  CHECK(late.date == day("2025-09-19"));
  CHECK(late.text("kind") == "failure");
  CHECK(late.text("recorded") == "2025-10-04");
  CHECK(late.text("part") == "p36");
  CHECK(late.text("cause") == "shock");
  CHECK(late.find("left") == nullptr);
  const auto& test = row_at(file, 1);
  CHECK(test.text("result") == "fail");
  CHECK(test.text("reading") == "no drag");
  CHECK(row_at(file, 2).text("stand_in") == "graded bolt");
  CHECK(row_at(file, 3).text("left") == "workaround");
  CHECK(row_at(file, 3).text("position") == "t14");
  CHECK(row_at(file, 3).text("unit") == "1");
  CHECK(row_at(file, 4).text("keep") == "b3");
}

TEST_CASE("A line of each kind without what the kind needs is refused") {
  const auto file = read(Kind::history,
                         "date,kind,part,result,left,recorded,id,position\n"
                         "2024-01-01,failure,p1,,,,,\n"
                         "2024-01-01,test,,,,,,t1\n"
                         "2024-01-01,test,,perhaps,,,,t1\n"
                         "2024-01-01,move,p1,,,,,\n"
                         "2024-01-01,loss,,,,,,\n"
                         "2024-01-01,undo,,,,,,\n"
                         "2024-01-01,breaking,p1,,,,,\n"
                         "2024-01-01,failure,,,fitted,,,t1\n"
                         "2024-01-02,failure,,,,2024-01-01,,t1\n"
                         "2024-01-02,failure,,,,,e1,t1\n"
                         "2024-01-02,failure,,,,,e1,t1\n"
                         "2024-01-02,fault-close,p1,,,,,\n");
  CHECK(refusals(file) ==
        "2 position []\n3 result []\n4 result [perhaps]\n5 from []\n5 to []\n6 position []\n"
        "7 undoes []\n8 kind [breaking]\n9 left [fitted]\n10 recorded [2024-01-01]\n13 fault []\n"
        "13 position []\n12 id [e1]\n");
}

}  // namespace
}  // namespace shearpin::interchange
