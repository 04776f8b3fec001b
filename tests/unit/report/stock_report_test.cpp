#include "report/answers.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "base/text.hpp"
#include "sample.hpp"

using namespace shearpin;
using namespace shearpin::report;
using namespace shearpin::report::sample;
using nlohmann::json;

TEST_CASE("the report holds its sections in order") {
  const std::string text = report_text(sample::report(2));
  check_lines(text);
  std::size_t before = 0;
  for (const char* title :
       {"Stretch: 14 days", "1. Order now", "2. Take along", "3. What would stop us",
        "4. Tests and replacements due", "5. Spares that run out", "6. Used up on the way",
        "7. Mass, room and cost", "8. Packing list by bin", "9. What the figures rest on",
        "10. Cautions"}) {
    INFO(title);
    const auto found = text.find(title);
    REQUIRE(found != std::string::npos);
    CHECK(found >= before);
    before = found;
  }
}

TEST_CASE("the head of the report says how ready the kit is and what that is worth") {
  auto full = sample::report(1);
  full.carry.readiness_aboard = 0.61;
  full.carry.readiness_carry = 0.98;
  const std::string text = report_text(full);
  CHECK(says(text, "Rigs: Truck and Trailer."));
  CHECK(says(text, "Chance of no shortage: 61 % as the kit stands, 98 % once what is advised"));
  CHECK(says(text, "Caution: These are estimates for filling a parts box"));
  CHECK(says(text, "truck-km 1,200 km the plan"));
  CHECK(says(text, "heater-h 84 h the usual rate"));
}

TEST_CASE("the packing list is sorted by bin with a box to tick") {
  const std::string text = report_text(sample::report(4));
  CHECK(says(text, "Bin bin-1: A bin --"));
  CHECK(says(text, "Bin bin-3: A bin (stays behind)"));
  CHECK(says(text, "[ ] 1 fuse-15a-1: Blade fuse 15 A b7 load this"));
  // Three parts of four numbers: every one has its box.
  std::size_t boxes = 0;
  for (auto at = text.find("[ ]"); at != std::string::npos; at = text.find("[ ]", at + 1)) {
    ++boxes;
  }
  CHECK(boxes == 12);
}

TEST_CASE("pages of the report keep to the paper and carry their number") {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const std::string text = report_text(sample::report(40), paper);
    check_lines(text);
    const auto pages = split(text, '\f');
    CHECK(pages.size() > 5);
    for (std::size_t i = 0; i < pages.size(); ++i) {
      const auto lines = sample::lines_of(pages[i]);
      CHECK(lines.size() <= lines_of(paper));
      CHECK(lines.front().rfind("Pre-trip stock report", 0) == 0);
      CHECK(says(lines.front(), "as of 2026-05-25, page " + std::to_string(i + 1) + " of " +
                                    std::to_string(pages.size())));
    }
  }
}

TEST_CASE("a title too long for the head of a page gives way to a plain one") {
  auto full = sample::report(1);
  full.title = "Autumn in the high valleys";
  CHECK(report_text(full).rfind("Autumn in the high valleys  ", 0) == 0);
  full.title = long_name();
  const std::string text = report_text(full);
  check_lines(text);
  CHECK(text.rfind("Pre-trip stock report  ", 0) == 0);
}

TEST_CASE("a report of nothing reads well and is one page") {
  advice::StockReport bare;
  bare.as_of = day();
  bare.carry = no_carry();
  const std::string text = report_text(bare);
  check_lines(text);
  CHECK(text.find('\f') == std::string::npos);
  CHECK(says(text, "Nothing to order now."));
  CHECK(says(text, "Nothing is short."));
  CHECK(says(text, "Nothing is in any bin."));
  CHECK(says(text, "10. Cautions"));
}

TEST_CASE("a note that two answers share is printed once") {
  auto full = sample::report(1);
  full.carry.notes = full.reorder.notes = {"the winter class belief is old"};
  const std::string text = flat(report_text(full));
  const auto first = text.find("the winter class belief is old");
  REQUIRE(first != std::string::npos);
  CHECK(text.find("the winter class belief is old", first + 1) == std::string::npos);
}

TEST_CASE("the JSON of the report holds every answer under its name") {
  const json read = json::parse(report_json(sample::report(3)));
  CHECK(read.at("schema") == 1);
  CHECK(read.at("as_of") == "2026-05-25");
  CHECK(read.at("rigs").size() == 2);
  CHECK(read.at("use").at(0).at("amount") == 1200);
  CHECK(read.at("carry").at("parts").size() == 9);
  CHECK(read.at("reorder").at("parts").size() == 3);
  CHECK(read.at("now").at("down").size() == 3);
  CHECK(read.at("uncovered").at(0).at("workaround").is_null());
  CHECK(read.at("worked_round").at(0).at("workaround") == "walk");
  CHECK(read.at("packing").at(0).at("pieces") == 1);
  CHECK(read.at("assumptions").at(0).at("life_median") == 1095);
  CHECK(read.at("cautions").at(0).at("key") == "note-1");
  CHECK(read.at("trip").is_null());
  CHECK(read.at("frontier").at("by_money").empty());
}

TEST_CASE("the JSON of the report holds the trip and the frontier") {
  auto full = sample::report(1);
  full.trip = trip();
  full.frontier = frontier();
  const json read = json::parse(report_json(full));
  const json& trip = read.at("trip");
  CHECK(trip.at("trip") == "high-loop");
  CHECK(trip.at("from") == "2026-06-01");
  CHECK(trip.at("legs").at(1).at("signal") == false);
  CHECK(trip.at("stops").at(0).at("parcels") == true);
  CHECK(trip.at("stops").at(1).at("sold").is_null());
  CHECK(trip.at("orders").at(0).at("order_by") == "2026-05-26");
  CHECK(trip.at("orders").at(0).at("received") == "2026-06-06");
  CHECK(read.at("frontier").at("by_money").at(3).at("money") == 120.5);
  CHECK(read.at("frontier").at("by_mass").at(2).at("mass_g") == 1400);
  CHECK(read.at("frontier").at("by_mass").at(2).at("readiness") == 0.9);
}

TEST_CASE("the caution about estimates stands once, in the ledger's own words") {
  auto full = sample::report(1);
  full.cautions.insert(full.cautions.begin(), {"estimate-limits", "Estimates plan a parts box."});
  const std::string text = flat(report_text(full));
  const auto first = text.find("Caution: Estimates plan a parts box.");
  REQUIRE(first != std::string::npos);
  CHECK(first < text.find("1. Order now"));
  CHECK(text.find("Estimates plan a parts box.", first + 10) == std::string::npos);
  CHECK(text.find("These are estimates for filling") == std::string::npos);
  CHECK(says(text, "Keep clear of what is hot"));
}

TEST_CASE("the text of the report holds the trip, its stops and the last days to order") {
  auto full = sample::report(1);
  full.trip = trip();
  const std::string text = report_text(full);
  check_lines(text);
  CHECK(text.find("The trip: High loop") < text.find("1. Order now"));
  CHECK(says(text, "2026-06-08 2026-06-20 Over the plateau no signal"));
  CHECK(says(text, "2026-06-07 Ford taken in fuel, fuses"));
  CHECK(says(text, "fuse-15a: Blade fuse 15 A 2026-05-26 Ford 2026-06-06"));
}
