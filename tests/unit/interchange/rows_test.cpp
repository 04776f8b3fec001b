#include <catch2/catch.hpp>

#include "support.hpp"

namespace shearpin::interchange {
namespace {

using test::day;
using test::read;
using test::refusals;
using test::row_at;

TEST_CASE("Every refused value is listed with line, column and value, and sound rows are kept") {
  const auto file = read(Kind::stock,
                         "date,part,quantity,made,state\n"
                         "2023-02-30,p1,1,,\n"
                         "\n"
                         "2023-04-01,,0,soon,shiny\n"
                         "2023-04-01,p2,5,2020-02,worn\n"
                         "2023-04-01,p3,2,,new,surplus\n");
  CHECK(refusals(file) ==
        "2 date [2023-02-30]\n4 part []\n4 quantity [0]\n4 made [soon]\n4 state [shiny]\n"
        "6  [surplus]\n");
  for (const auto& refusal : file.refusals) {
    CHECK(refusal.file == "t.csv");
    CHECK_FALSE(refusal.rule.empty());
  }
  REQUIRE(file.rows.size() == 1);
  CHECK(file.rows[0].line == 5);
  const auto& stock = row_at(file, 0);
  CHECK(stock.kind == RowKind::stock);
  CHECK(stock.text("quantity") == "5");
  CHECK(stock.text("made") == "2020-02-01");
  CHECK(stock.text("state") == "worn");
}

TEST_CASE("Fitted units have a part or words, and an age as typed") {
  const auto file = read(Kind::fitted,
                         "date,position,part,no part,age,made,unit\n"
                         "2023-04-01,l05/3,p25,,,,\n"
                         "2023-04-01,t08,p08,,unknown,1622,\n"
                         "2023-04-01,t20,p15,,310 h,,1\n"
                         "2023-04-01,t12,,as bought,,,\n"
                         "2023-04-01,t13,,,,,\n"
                         "2023-04-01,l05/3,p25,,,,2\n");
  CHECK(refusals(file) == "6 part []\n7 unit [2]\n");
  REQUIRE(file.rows.size() == 4);
  CHECK(row_at(file, 0).text("position") == "l05");
  CHECK(row_at(file, 0).text("unit") == "3");
  CHECK(row_at(file, 1).text("age") == "unknown");
  CHECK(row_at(file, 1).text("made") == "2022-04-18");  // Monday of ISO week 16 of 2022
  CHECK(row_at(file, 2).text("age") == "310 h");
  CHECK(row_at(file, 3).text("no_part") == "as bought");
}

TEST_CASE("Readings are long or wide") {
  const auto wide = read(Kind::readings,
                         "date,truck_km,engine h,note\n2023-04-01,148200,4120,\n"
                         "2023-06-30,,\"4,236\",tired\n");
  REQUIRE(refusals(wide).empty());
  CHECK(wide.warnings.empty());
  REQUIRE(wide.rows.size() == 3);
  CHECK(row_at(wide, 0).text("meter") == "truck_km");
  CHECK(row_at(wide, 0).text("value") == "148200");
  CHECK(row_at(wide, 2).text("meter") == "engine h");
  CHECK(row_at(wide, 2).text("note") == "tired");
  CHECK(wide.rows[2].line == 3);

  const auto is_long = read(Kind::readings,
                            "date,meter,value,id,undoes\n"
                            "2024-06-30,truck-km,176800,slip,\n"
                            "2024-06-30,truck-km,,,slip\n"
                            "2024-06-30,truck-km,167800,,\n"
                            "2024-07-01,truck-km,,,\n"
                            "2024-07-01,truck-km,5,slip,\n");
  CHECK(refusals(is_long) == "5 value []\n6 id [slip]\n");
  REQUIRE(is_long.rows.size() == 4);
  CHECK(row_at(is_long, 1).text("undoes") == "slip");

  CHECK(refusals(read(Kind::readings, "date,value\n2024-01-01,5\n")) == "1 meter []\n");
}

TEST_CASE("A wide semicolon table refuses a reading that can be read two ways") {
  const auto file =
      read(Kind::readings, "date;truck-km\n2023-04-01;148.200\n2023-04-02;148200,5\n");
  CHECK(refusals(file) == "2 truck-km [148.200]\n");
  CHECK(row_at(file, 0).text("value") == "148200.5");
}

TEST_CASE("An order line gives the order and its receipt") {
  const auto file = read(Kind::orders,
                         "number,ordered,supplier,part,qty,received,cost,bin,batch\n"
                         "o1,2024-04-18,s7,p25,8,2024-04-20,9.60,b4,VB-07\n"
                         "o2,2026-05-18,s4,p30,1,,17,,\n"
                         "o2,,,p30,1,2026-05-20,,b4,\n"
                         "o3,2026-05-18,s4,p30,1,2026-05-17,17,,\n"
                         "o4,,s4,p30,1,,17,,\n");
  CHECK(refusals(file) == "5 received [2026-05-17]\n6 ordered []\n");
  REQUIRE(file.rows.size() == 4);
  CHECK(row_at(file, 0).kind == RowKind::order);
  CHECK(row_at(file, 0).date == day("2024-04-18"));
  CHECK(row_at(file, 0).text("cost") == "9.60");
  CHECK(row_at(file, 1).kind == RowKind::receipt);
  CHECK(row_at(file, 1).date == day("2024-04-20"));
  CHECK(row_at(file, 1).text("batch") == "VB-07");
  CHECK(file.rows[1].line == 2);
  CHECK(row_at(file, 2).kind == RowKind::order);
  CHECK(row_at(file, 2).text("number") == "o2");
  CHECK(row_at(file, 3).kind == RowKind::receipt);
  CHECK(row_at(file, 3).text("number") == "o2");
}

TEST_CASE("Conditions and legs cannot end before they begin") {
  CHECK(refusals(read(Kind::conditions, "condition,from,to\nheat,2024-02-01,2024-01-01\n")) ==
        "2 to [2024-01-01]\n");
  const auto trips = read(Kind::trips,
                          "trip,leg,from,to,use,conditions,stop,sold,parcels\n"
                          "a,1,2026-06-08,2026-06-10,truck-km=620; nights=3,heat;smoke-dust,Yard,"
                          "part:p08;supplier:s2,yes\n"
                          "a,2,2026-06-11,2026-06-10,,,,,\n"
                          "a,3,2026-06-11,2026-06-12,truck-km,,,,\n");
  CHECK(refusals(trips) == "3 to [2026-06-10]\n4 use [truck-km]\n");
  const auto& leg = row_at(trips, 0);
  CHECK(leg.text("use") == "truck-km=620;nights=3");
  CHECK(list_of(leg.text("conditions")) == std::vector<std::string>{"heat", "smoke-dust"});
  CHECK(leg.text("stop") == "Yard");
  CHECK(list_of(leg.text("sold")).size() == 2);
  CHECK(leg.text("parcels") == "yes");
}

TEST_CASE("Amounts within a cell have the file's decimal sign") {
  const auto trips = read(Kind::trips,
                          "trip;leg;from;to;use\n"
                          "t;1;2026-06-08;2026-06-10;\"truck-km=1.250,5;nights=120,5\"\n");
  CHECK(refusals(trips).empty());
  CHECK(row_at(trips, 0).text("use") == "truck-km=1250.5;nights=120.5");
}

TEST_CASE("Rows are applied by kind, then by day, arrivals before uses and counts last") {
  const std::vector<ImportFile> files = {
      read(Kind::counts, "date,part,counted\n2024-01-02,p1,3\n"),
      read(Kind::history, "date,kind,position\n2024-01-02,failure,t1\n2024-01-01,failure,t2\n"),
      read(Kind::orders, "number,ordered,part,quantity,received\no1,2023-12-01,p1,1,2024-01-02\n"),
      read(Kind::trips, "trip,leg,from,to\na,1,2020-01-01,2020-01-02\n"),
      read(Kind::parts, "key,class\np1,c1\n"),
      read(Kind::classes,
           "key,basis,life,life_low,life_high,shape,severity,resupply\n"
           "c1,days,100,50,200,1,degraded,anywhere\n"),
  };
  std::string order;
  for (const auto& ref : in_order(files)) {
    order += std::string(to_text(files[ref.file].kind)) + std::to_string(ref.row->line) + " ";
  }
  CHECK(order == "classes2 parts2 orders2 history3 orders2 history2 counts2 trips2 ");
  CHECK(first_day(files) == day("2023-12-01"));
  CHECK_FALSE(first_day({}).has_value());
}

}  // namespace
}  // namespace shearpin::interchange
