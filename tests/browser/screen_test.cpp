// The HTML report on a phone's and a desktop's screen.

#include <catch2/catch.hpp>

#include "browser.hpp"
#include "scenes.hpp"

using namespace shearpin::test;

namespace {

// Width of the page's content beside that of the window; what sticks out of it other than inside a
// box that scrolls; the tables of which some is hidden.
const char* const kFit =
    "({window: page.documentElement.clientWidth, content: page.documentElement.scrollWidth,"
    " out: [...page.body.querySelectorAll('*')].filter(e => !e.closest('.scroll') &&"
    "  e.getBoundingClientRect().right > page.documentElement.clientWidth + 0.5)"
    "  .map(e => e.tagName + ' ' + e.textContent.slice(0, 40)),"
    " scrolled: [...page.querySelectorAll('section > .scroll')]"
    "  .filter(e => e.scrollWidth > e.clientWidth)"
    "  .map(e => e.querySelector('caption').textContent)})";

}  // namespace

TEST_CASE("The demo's report fits a phone and a desktop") {
  if (!browser_there()) {
    return;
  }
  const Sandbox box;
  const std::string html = demo_report(box);
  for (const int width : {320, 390, 1280}) {
    const Json fit = asked(box, html, width, kFit);
    INFO(width << " pixels: " << fit.dump(1));
    CHECK(fit.at("window") == width);
    CHECK(fit.at("content") == fit.at("window"));
    CHECK(fit.at("out").empty());
    if (width == 390) {
      CHECK(fit.at("scrolled") ==
            Json::array({"Pieces that run out or are in doubt", "Lives believed"}));
    } else if (width > 390) {
      CHECK(fit.at("scrolled").empty());
    }
  }
}

TEST_CASE("The check of the width sees what is too wide") {
  if (!browser_there()) {
    return;
  }
  const Sandbox box;
  const Json fit = asked(box, "<body><div style='width:500px'>wide</div></body>", 390, kFit);
  CHECK(fit.at("content") > fit.at("window"));
  CHECK(fit.at("out").size() == 1);
}

TEST_CASE("The report needs no colour, and its letters stand out from the paper") {
  if (!browser_there()) {
    return;
  }
  const Sandbox box;
  const std::string html = demo_report(box);
  // Every colour in use that is no grey, and every colour of letters.
  const Json colours = asked(
      box, html, 1280,
      "(() => { const all = [...page.body.querySelectorAll('*')].map(e => [e, "
      "page.defaultView.getComputedStyle(e)]); const parts = c => (c.match(/[0-9.]+/g) || [])"
      ".slice(0, 3).map(Number); const grey = c => { const [r, g, b] = parts(c); return r === g && "
      "g === b; }; const used = ['color', 'backgroundColor', 'borderBottomColor', 'fill', "
      "'stroke'];"
      "return {coloured: all.filter(([e, s]) => used.some(u => s[u].startsWith('rgb') && "
      "!grey(s[u]))).length, lightest: Math.max(...all.filter(([e]) => e.closest('svg') === null)"
      ".map(([e, s]) => parts(s.color)[0])), letters: Math.max(...all.filter(([e]) => e.tagName "
      "=== "
      "'text').map(([e, s]) => parts(s.fill)[0])), looked: all.length}; })()");
  INFO(colours.dump());
  CHECK(colours.at("looked") > 1000);
  CHECK(colours.at("coloured") == 0);
  // Web Content Accessibility Guidelines 2.1, 1.4.3: a contrast of 4.5 to 1 on white, which is
  // #767676 (118) or darker.
  CHECK(colours.at("lightest") <= 118);
  CHECK(colours.at("letters") <= 118);
}

TEST_CASE("Boxes to tick are empty squares large enough for a pen") {
  if (!browser_there()) {
    return;
  }
  const Sandbox box;
  const std::string html = demo_report(box);
  const Json boxes = asked(
      box, html, 1280,
      "[...page.querySelectorAll('.box')].map(e => { const r = e.getBoundingClientRect(); return "
      "{text: e.textContent, wide: r.width, high: r.height, line: "
      "parseFloat(page.defaultView.getComputedStyle(e).borderTopWidth)}; })");
  const Json report = box.json("report --as-of " + kDemoDay + " " + kDemoTrip);
  CHECK(boxes.size() == report.at("packing").size());
  for (const Json& one : boxes) {
    CHECK(one.at("text") == "");
    CHECK(one.at("wide") == one.at("high"));
    CHECK(one.at("wide").get<double>() >= 14);
    CHECK(one.at("line").get<double>() >= 1);
  }
}

TEST_CASE("The letters of pictures are as large on a phone as on a desktop, and do not overlap") {
  if (!browser_there()) {
    return;
  }
  const Sandbox box;
  const std::string html = demo_report(box);
  for (const int width : {390, 1280}) {
    const Json picture = asked(
        box, html, width,
        "(() => { const words = [...page.querySelectorAll('svg text')].map(e => ({t: "
        "e.textContent, "
        "r: e.getBoundingClientRect()})); const over = []; words.forEach((a, i) => words.slice(i + "
        "1)"
        ".forEach(b => { if (a.r.left < b.r.right && b.r.left < a.r.right && a.r.top + 2 < "
        "b.r.bottom "
        "&& b.r.top + 2 < a.r.bottom) over.push(a.t + ' / ' + b.t); })); return {over, count: "
        "words.length, least: Math.min(...words.map(w => w.r.height))}; })()");
    INFO(width << ": " << picture.dump(1));
    CHECK(picture.at("count") > 40);
    CHECK(picture.at("over").empty());
    CHECK(picture.at("least").get<double>() > 10);
  }
}

TEST_CASE("Names that try to be a page stay names") {
  if (!browser_there()) {
    return;
  }
  const Sandbox box;
  make_camper(box);
  const std::string name =
      "</title></style><script>document.title='x'</script><img src=x onerror=y>";
  box.ok("part set fuse-15 --name \"" + name + "\"");
  box.ok("rig set camper --name \"" + std::string(200, 'W') + "\"");
  const std::string html = box.ok("report --format html --days 30 --as-of 2026-07-01");
  const Json seen = asked(box, html, 390,
                          "({scripts: page.scripts.length, images: page.images.length, title: "
                          "page.title, named: page.body.textContent.includes(" +
                              Json(name).dump() +
                              "), wide: page.documentElement.scrollWidth - "
                              "page.documentElement.clientWidth})");
  INFO(seen.dump(1));
  CHECK(seen.at("scripts") == 0);
  CHECK(seen.at("images") == 0);
  CHECK(seen.at("title") == "Stock report for 30 days without resupply from 2026-07-01");
  CHECK(seen.at("named") == true);
  CHECK(seen.at("wide") == 0);
}
