// The HTML report as it comes out of a printer.

#include <algorithm>
#include <catch2/catch.hpp>

#include "browser.hpp"
#include "scenes.hpp"

using namespace shearpin::test;

namespace {

// Margins in html_style.cpp are 14 mm at the sides; a point is 1/72 inch.
constexpr double kMargin = 14 / 25.4 * 72;

void check_pages(const std::vector<Page>& pages, double width, double height) {
  CHECK(pages.size() >= 5);
  CHECK(pages.size() <= 13);
  for (std::size_t i = 0; i < pages.size(); ++i) {
    const Page& page = pages[i];
    INFO("page " << i + 1);
    CHECK(page.width == Approx(width).margin(1));
    CHECK(page.height == Approx(height).margin(1));
    CHECK(page.words.size() > 20);
    const std::string text = text_of(page);
    CHECK(holds(text, "as of 2026-05-25, page " + std::to_string(i + 1) + " of " +
                          std::to_string(pages.size())));
    CHECK(holds(text, "Stock report for 38 days without resupply from 2026-05-25"));
    for (const Word& word : page.words) {
      INFO(word.text);
      CHECK(word.left >= kMargin - 2);
      CHECK(word.right <= page.width - kMargin + 2);
      CHECK(word.bottom <= page.height);
    }
  }
}

}  // namespace

TEST_CASE("The demo's report prints on A4 and Letter, whole, numbered and within its margins") {
  if (!printing_there()) {
    return;
  }
  const Sandbox box;
  const std::string a4 = demo_report(box);
  const std::string letter =
      box.ok("report --format html --paper letter --as-of " + kDemoDay + " " + kDemoTrip);
  const Json report = box.json("report --as-of " + kDemoDay + " " + kDemoTrip);
  // ISO 216: 210 by 297 mm; ANSI/ASME Y14.1: 8.5 by 11 inches.
  const std::vector<std::tuple<std::string, double, double>> papers{
      {a4, 210 / 25.4 * 72, 297 / 25.4 * 72}, {letter, 8.5 * 72, 11 * 72.0}};
  for (const auto& [html, width, height] : papers) {
    const auto page = box.write("report.html", html);
    const auto console = console_of_printing(box, page, box.path("report.pdf"));
    CHECK(console == std::vector<std::string>{});
    const auto pages = pages_of(box, box.path("report.pdf"));
    check_pages(pages, width, height);
    std::string all;
    for (const Page& one : pages) {
      all += text_of(one) + " ";
    }
    for (const Json& line : report.at("packing")) {
      INFO(line.dump());
      CHECK(holds(all,
                  line.at("part").get<std::string>() + ": " + line.at("name").get<std::string>()));
    }
    for (const Json& caution : report.at("cautions")) {
      CHECK(holds(all, caution.at("text").get<std::string>().substr(0, 40)));
    }
  }
}

TEST_CASE("The check of the console hears what a page says and what is refused to it") {
  if (!printing_there()) {
    return;
  }
  const Sandbox box;
  const auto talking =
      box.write("talking.html", "<body>a<script>console.log('heard')</script></body>");
  auto console = console_of_printing(box, talking, box.path("a.pdf"));
  REQUIRE(console.size() == 1);
  CHECK(holds(console.front(), "heard"));
  const auto asking = box.write(
      "asking-out.html",
      "<head><meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'\"></head>"
      "<body><img src=\"x.png\"></body>");
  console = console_of_printing(box, asking, box.path("b.pdf"));
  CHECK_FALSE(console.empty());
}

TEST_CASE("A camper's small report prints on few pages, an empty ledger's on two at most") {
  if (!printing_there()) {
    return;
  }
  const Sandbox box;
  box.ok("init");
  const auto empty = box.write("empty.html", box.ok("report --format html --days 3"));
  CHECK(console_of_printing(box, empty, box.path("empty.pdf")).empty());
  CHECK(pages_of(box, box.path("empty.pdf")).size() <= 2);
  const Sandbox camper;
  make_camper(camper);
  const auto small =
      camper.write("small.html", camper.ok("report --format html --days 30 --as-of 2026-07-01"));
  CHECK(console_of_printing(camper, small, camper.path("small.pdf")).empty());
  CHECK(pages_of(camper, camper.path("small.pdf")).size() <= 3);
}
