#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "base/text.hpp"
#include "markup_check.hpp"
#include "report/answers.hpp"
#include "report/sheet.hpp"
#include "sample.hpp"

using namespace shearpin;
using namespace shearpin::report;
using namespace shearpin::report::sample;

namespace {

advice::StockReport everything() {
  auto full = sample::report(3);
  full.title = "Autumn in the high valleys";
  full.trip = trip();
  full.frontier = frontier();
  full.assumptions[1].contradicted = true;
  return full;
}

std::size_t count_of(const std::string& text, const std::string& words) {
  std::size_t count = 0;
  for (auto at = text.find(words); at != std::string::npos; at = text.find(words, at + 1)) {
    ++count;
  }
  return count;
}

std::string body_text(const std::string& page) {
  return flat(named(elements_of(page), "body").at(0).text);
}

}  // namespace

TEST_CASE("the HTML report is well-formed, in the order of its sections") {
  const std::string page = report_html(everything());
  const auto tags = elements_of(page);
  CHECK(tags.front().name == "html");
  CHECK(tags.front().attributes.at("lang") == "en");
  std::vector<std::string> titles;
  for (const Tag& heading : named(tags, "h2")) {
    titles.push_back(heading.text);
  }
  CHECK(titles ==
        std::vector<std::string>{"The trip: High loop", "1. Order now",
                                 "2. Take along: short, so buy or load before leaving",
                                 "3. What would stop us: no spare and no workaround",
                                 "4. Tests and replacements due before leaving",
                                 "5. Spares that run out or are in doubt", "6. Used up on the way",
                                 "7. Mass, room and cost of the kit", "8. Packing list by bin",
                                 "9. What the figures rest on", "10. Cautions"});
  // Every link leads to a section.
  std::set<std::string> ids;
  for (const Tag& tag : tags) {
    if (tag.attributes.count("id") != 0) {
      INFO(tag.attributes.at("id"));
      CHECK(ids.insert(tag.attributes.at("id")).second);
    }
  }
  const auto links = named(tags, "a");
  CHECK(links.size() == titles.size());
  for (const Tag& link : links) {
    CHECK(ids.count(link.attributes.at("href").substr(1)) == 1);
  }
}

TEST_CASE("the HTML report asks for nothing from outside and runs nothing") {
  const std::string page = report_html(everything());
  for (const Tag& tag : elements_of(page)) {
    CHECK(std::set<std::string>{"script", "link", "img", "iframe", "object", "embed", "form",
                                "base", "image", "use", "foreignObject"}
              .count(tag.name) == 0);
    for (const auto& [name, value] : tag.attributes) {
      CHECK(name.rfind("on", 0) != 0);
      CHECK(name != "src");
      CHECK(value.find("://") == std::string::npos);
      CHECK((name != "href" || value.rfind('#', 0) == 0));
    }
  }
  CHECK(page.find("://") == std::string::npos);
  CHECK(page.find("@import") == std::string::npos);
  // The only url() is that of a picture's own slanting lines.
  CHECK(count_of(page, "url(") == count_of(page, "url(#trip-hatch)"));
}

TEST_CASE("tables of the HTML report have captions and heads with a scope") {
  const std::string page = report_html(everything());
  const auto tags = elements_of(page);
  CHECK(named(tags, "table").size() > 15);
  CHECK(named(tags, "caption").size() == named(tags, "table").size());
  CHECK(named(tags, "thead").size() == named(tags, "table").size());
  for (const Tag& caption : named(tags, "caption")) {
    CHECK_FALSE(caption.text.empty());
  }
  const std::set<std::string> scopes{"col", "row", "rowgroup"};
  for (const Tag& head : named(tags, "th")) {
    CHECK(scopes.count(head.attributes.at("scope")) == 1);
    CHECK_FALSE(head.text.empty());
  }
}

TEST_CASE("every figure of the text report is in the HTML report too") {
  const std::string text = report_text(everything());
  const std::string html = body_text(report_html(everything()));
  std::size_t looked_for = 0;
  for (const std::string& word : split(flat(text), ' ')) {
    // Figures and dates: page numbers, and places of the text's own layout, aside.
    const bool figure =
        std::any_of(word.begin(), word.end(), [](char c) { return c >= '0' && c <= '9'; });
    const bool cut = word.find("...") != std::string::npos;
    if (figure && !cut && word != "8") {
      INFO(word);
      ++looked_for;
      CHECK(html.find(word) != std::string::npos);
    }
  }
  CHECK(looked_for > 300);
}

TEST_CASE("every part of the model appears in the HTML report") {
  const std::string html = body_text(report_html(everything()));
  for (const char* words : {"Autumn in the high valleys",
                            "As the ledger stands on 2026-05-25",
                            "Truck and Trailer",
                            "dust for 5 days",
                            "truck-km",
                            "1,200 km",
                            "the plan",
                            "the usual rate",
                            "fuse-15a-1: Blade fuse 15 A",
                            "pump-12v-2: Water pump",
                            "axle-1: Trailer axle",
                            "North Post Parts",
                            "2026-06-11",
                            "1 of 5",
                            "load 2 from shed",
                            "cheap beside a day without",
                            "heater-igniter/2",
                            "electric blanket on shore power",
                            "co-alarm: Carbon monoxide alarm",
                            "over by 3 days",
                            "last passed 2026-02-21",
                            "o48",
                            "61 %",
                            "place-1: Place",
                            "workaround: walk",
                            "workaround: none known",
                            "Bin bin-1: A bin",
                            "(stays behind)",
                            "b7",
                            "load this",
                            "182 - 6,574",
                            "1 in 4,320",
                            "belief and record do not fit together",
                            "Keep clear of what is hot",
                            "Valley road to the ford",
                            "no signal",
                            "Over the plateau",
                            "taken in",
                            "fuel, fuses",
                            "Hut",
                            "2026-05-26",
                            "2026-06-06",
                            "fuse-15a 0 to 1",
                            "45.20",
                            "1.4 kg",
                            "0.75 days",
                            "96 %"}) {
    INFO(words);
    CHECK(html.find(words) != std::string::npos);
  }
  // A box to tick before each line of the packing list: nine.
  CHECK(count_of(report_html(everything()), "class=\"box\"") == 9);
}

TEST_CASE("pictures have a name, a description, and their figures beside them") {
  const auto tags = elements_of(report_html(everything()));
  std::set<std::string> ids;
  for (const Tag& tag : tags) {
    if (tag.attributes.count("id") != 0) {
      ids.insert(tag.attributes.at("id"));
    }
  }
  std::vector<std::string> pictures;
  for (const Tag& svg : named(tags, "svg")) {
    if (svg.attributes.count("role") != 0) {
      CHECK(svg.attributes.at("role") == "img");
      CHECK(ids.count(svg.attributes.at("aria-labelledby")) == 1);
      CHECK(ids.count(svg.attributes.at("aria-describedby")) == 1);
      pictures.push_back(svg.attributes.at("aria-labelledby"));
    }
  }
  CHECK(pictures ==
        std::vector<std::string>{"trip-title", "demand-title", "by-money-title", "by-mass-title"});
  // Demand, money and mass fold their tables away; the trip's stand open above it.
  CHECK(named(tags, "details").size() == 3);
  CHECK(named(tags, "figure").size() == 4);
}

TEST_CASE("pictures without anything to show are left out") {
  advice::StockReport bare;
  bare.as_of = day();
  bare.carry = no_carry();
  const std::string page = report_html(bare);
  const auto tags = elements_of(page);
  CHECK(named(tags, "svg").empty());
  CHECK(named(tags, "figure").empty());
  CHECK(named(tags, "table").empty());
  const std::string text = body_text(page);
  for (const char* words :
       {"Pre-trip stock report", "Nothing to order now.", "Nothing is short.",
        "Nothing is in any bin.", "No part is called for.", "None beside the one at the head."}) {
    INFO(words);
    CHECK(text.find(words) != std::string::npos);
  }
  bare.trip = advice::TripView{};
  CHECK(named(elements_of(report_html(bare)), "svg").size() == 1);
  bare.frontier.by_mass = {{0, 1, 0}};
  CHECK_FALSE(named(elements_of(report_html(bare)), "svg").empty());
}

TEST_CASE("hostile names stay text, wherever they stand") {
  const std::string hostile =
      "\"><script>alert('x')</script><!-- & &amp; </style></title> \x1b[31m \xE2\x80\xAE \xC3";
  const std::string seen = "<script>alert('x')</script><!-- & &amp; </style></title>";
  auto full = everything();
  full.title = full.trip->name = full.trip->legs[0].route = full.trip->stops[0].place = hostile;
  full.trip->stops[0].sold = full.trip->orders[0].name = full.trip->orders[0].where = hostile;
  full.rigs = {hostile};
  full.carry.window.conditions = {{hostile, std::nullopt}};
  full.carry.notes = {hostile};
  full.use[0].meter = hostile;
  auto& carried = full.carry.lines[0];
  carried.part = carried.name = carried.reason = carried.stock.bins[0].bin = hostile;
  full.reorder.lines[0].supplier_name = full.reorder.lines[0].name = hostile;
  full.now.down[0].getting_by = full.now.due[0].detail = full.now.orders[0].number = hostile;
  full.uncovered[0].name = full.worked_round[0].workaround = hostile;
  full.packing[0].bin_name = full.packing[0].batch = full.packing[0].remark = hostile;
  full.assumptions[0].name = hostile;
  full.cautions[0].second = hostile;
  full.frontier.by_money[1].changes.front().part = hostile;
  const std::string page = report_html(full);
  const auto tags = elements_of(page);
  CHECK(named(tags, "script").empty());
  CHECK(page.find("<!--") == std::string::npos);
  CHECK(named(tags, "style").size() == 1);
  CHECK(named(tags, "title").at(0).text.find(seen) != std::string::npos);
  CHECK(count_of(named(tags, "body").at(0).text, seen) > 20);
  CHECK(page.find('\x1b') == std::string::npos);
  CHECK(page.find("\xE2\x80\xAE") == std::string::npos);
}

TEST_CASE(
    "the paper of the HTML report is the one asked for, and the same input gives the same bytes") {
  const auto full = everything();
  CHECK(count_of(report_html(full), "size: A4 portrait") == 1);
  CHECK(count_of(report_html(full, Paper::letter), "size: letter portrait") == 1);
  CHECK(count_of(report_html(full, Paper::letter), "A4") == 0);
  CHECK(report_html(full) == report_html(full));
}

TEST_CASE("the demand picture shows what is short or doubtful, worst first, within a page") {
  auto answer = no_carry();
  CHECK_FALSE(demand_figure(answer));
  answer.lines = {pump()};  // enough aboard and sure
  CHECK_FALSE(demand_figure(answer));
  for (int i = 0; i < 30; ++i) {
    auto line = fuse();
    line.part = "part-" + std::to_string(i);
    line.name.clear();
    line.chance_aboard = 0.99 - 0.01 * i;
    answer.lines.push_back(line);
  }
  auto unsure = axle();
  unsure.chance_aboard = 0.5;  // nothing advised, yet often missed
  answer.lines.push_back(unsure);
  const auto figure = demand_figure(answer);
  REQUIRE(figure);
  std::vector<std::string> names;
  for (const Tag& words : named(elements_of(figure->picture.text()), "text")) {
    if (words.attributes.at("class") == "name") {
      names.push_back(words.text);
    }
  }
  REQUIRE(names.size() == kMostRows);
  CHECK(names[0] == "axle: Trailer axle");
  CHECK(names[1] == "part-29");
  CHECK(names[24] == "part-6");
  CHECK(says(figure->told, "25 of 32 parts"));
  CHECK(says(figure->told, "6 more that fall short are left out"));
  CHECK(says(figure->told, "99 % or more: 1 part."));
  CHECK(figure->data.rows().size() == 32);
}

TEST_CASE("the demand picture puts bars and marks where the axis says") {
  auto answer = no_carry();
  answer.lines = {fuse()};  // 0.99 expected, 1 aboard, 4 to carry: the axis runs to 4
  const auto tags = elements_of(demand_figure(answer)->picture.text());
  std::vector<std::string> bars;
  for (const Tag& bar : named(tags, "rect")) {
    bars.push_back(bar.attributes.at("width"));
  }
  CHECK(bars == std::vector<std::string>{"5.00%", "24.80%"});  // the legend's, and 0.9921875 / 4
  std::vector<std::string> marks;
  for (const Tag& mark : named(tags, "svg")) {
    if (mark.attributes.count("x") != 0) {
      marks.push_back(mark.attributes.at("x"));
    }
  }
  REQUIRE(marks.size() == 4);
  CHECK(marks[2] == "100.00%");
  CHECK(marks[3] == "25.00%");
}

TEST_CASE("the frontier's lines go along before they go up, in order of the amount") {
  advice::Frontier two;
  two.by_money = {{10, 0.5, 1, {{"b", "", 0, 1}}}, {0, 0.25, 2}};
  const auto figures = frontier_figures(two);
  REQUIRE(figures.size() == 1);
  CHECK(figures[0].data.rows()[0].cells.back() == "as it stands");
  std::vector<std::vector<std::string>> course;
  for (const Tag& line : named(elements_of(figures[0].picture.text()), "line")) {
    if (line.attributes.at("class") == "course") {
      course.push_back({line.attributes.at("x1"), line.attributes.at("y1"),
                        line.attributes.at("x2"), line.attributes.at("y2")});
    }
  }
  // The panel is 130 high below 32: a quarter stands at 129.5, a half at 97.
  REQUIRE(course.size() == 2);
  CHECK(course[0] == std::vector<std::string>{"0.00%", "129.5", "100.00%", "129.5"});
  CHECK(course[1] == std::vector<std::string>{"100.00%", "129.5", "100.00%", "97.0"});
  CHECK(says(figures[0].told, "From 25 % with 0.00 added (2 days without) to 50 % with 10.00"));
}

TEST_CASE("the frontier in text has a dozen rows that name all that was added") {
  auto full = sample::report(1);
  for (int i = 0; i < 40; ++i) {
    full.frontier.by_money.push_back(
        {10.0 * i, 0.5 + 0.01 * i, 4 - 0.1 * i, {{"kit-" + std::to_string(i), "", 0, 1}}});
  }
  const std::string text = report_text(full);
  check_lines(text);
  CHECK(says(text, "kit-0 "));
  CHECK(says(text, "kit-39 "));
  CHECK(count_of(text, "kit-") == 40);
  CHECK(says(text, "0.00 50 %"));
  CHECK(says(text, "390.00 89 %"));
  CHECK_FALSE(says(text, "380.00 88 %"));
  CHECK(count_of(report_html(full), "kit-") == 40);
}

TEST_CASE("the CSV of the report has a line a part and a line a place in a bin") {
  auto full = everything();
  full.packing[0].remark = "say \"when\", twice";
  const std::string csv = report_csv(full);
  const auto lines = sample::lines_of(csv);
  REQUIRE(lines.size() == 1 + full.carry.lines.size() + full.packing.size());
  CHECK(lines[0] ==
        "kind,part,name,bin,bin_name,bin_aboard,batch,pieces,carry,short,severity,demand_mean,"
        "chance_no_shortage_aboard,chance_no_shortage,remark");
  CHECK(lines[1] ==
        "carry,fuse-15a-1,Blade fuse 15 A,,,,,1,4,3,stranded,0.9921875,0.75,0.96875,"
        "cheap beside a day without");
  CHECK(lines[10] ==
        "pack,fuse-15a-1,Blade fuse 15 A,bin-1,A bin,yes,b7,1,,,,,,,\"say \"\"when\"\", twice\"");
  CHECK(count_of(csv, ",no,b7,") == 3);  // bin-3 stays behind
}
