// What every output keeps to: 80 columns, the same bytes twice, no colour code off a terminal.

#include <catch2/catch.hpp>
#include <sstream>

#include "scenes.hpp"

using namespace shearpin::test;

namespace {

// Columns a line takes: code points that are not continuation bytes; the scenes hold no wide ones.
// A form feed between pages takes none.
std::size_t columns(const std::string& line) {
  std::size_t count = 0;
  for (const char c : line) {
    const bool continues = (static_cast<unsigned char>(c) & 0xC0U) == 0x80U;
    count += continues || c == '\f' ? 0U : 1U;
  }
  return count;
}

void check_text(const std::string& text) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    INFO("too wide or untidy: [" << line << ']');
    CHECK(columns(line) <= 80);
    CHECK((line.empty() || line.back() != ' '));
    CHECK(line.find('\x1b') == std::string::npos);
    CHECK(line.find('\t') == std::string::npos);
  }
  CHECK((text.empty() || text.back() == '\n'));
}

}  // namespace

TEST_CASE("Every text answer on the demo fits 80 columns") {
  const Sandbox box;
  make_demo(box);
  const std::vector<std::string> lines{"now",
                                       "reorder",
                                       "reorder --days 38",
                                       "carry " + kDemoTrip,
                                       "report " + kDemoTrip,
                                       "report --paper letter " + kDemoTrip,
                                       "rate p43",
                                       "rate p13 --all",
                                       "rate p25",
                                       "explain p13 " + kDemoTrip,
                                       "explain p43 --all " + kDemoTrip,
                                       "explain p16",
                                       "history l21",
                                       "history p13 --all",
                                       "find fuse",
                                       "fits l21",
                                       "fits p26",
                                       "verify",
                                       "journal --all",
                                       "policy show",
                                       "condition list",
                                       "rig list",
                                       "class list",
                                       "part list",
                                       "position list",
                                       "meter list",
                                       "bin list",
                                       "supplier list",
                                       "rig show truck",
                                       "class show glow",
                                       "part show p25",
                                       "position show l05",
                                       "meter show truck-km",
                                       "bin show b1",
                                       "supplier show s4"};
  for (const auto& line : lines) {
    const Ran ran = box(line + " --as-of " + kDemoDay);
    INFO("shearpin " << line << '\n' << ran.err);
    CHECK((ran.code == 0 || ran.code == 3));
    check_text(ran.out);
  }
}

TEST_CASE("What a writing command says fits 80 columns, and so do errors and hints") {
  const Sandbox box;
  make_demo(box);
  for (const char* line : {"fail \"frige fuse\" --cause overload",
                           "fail l05",
                           "fail l11/2",
                           "renew t23 --keep b3",
                           "use p23 2 --at l03",
                           "lose p44 2",
                           "scrap p12 1 --cause spoiled",
                           "test l12 pass",
                           "test l14 fail --reading \"6 minutes\"",
                           "order p30 1",
                           "receive p30 1",
                           "move p04 1 --from b7 --to b2",
                           "count p12 5",
                           "stay 2 --at \"Tarrow Lake\"",
                           "condition add heat --from 2026-07-01",
                           "meter read truck-km 300000",
                           "part set p13 --price 0.5",
                           "bin retire b6",
                           "undo",
                           "fail fuse",
                           "fail dishwasher",
                           "use p13 999",
                           "undo 300",
                           "fail l21 --on 2030-01-01",
                           "fail l21 --colour red",
                           "fial",
                           "carry --days x",
                           "part add x --class no-such",
                           "now --ledger nowhere/at/all.db"}) {
    const Ran ran = box(line);
    INFO("shearpin " << line);
    check_text(ran.out);
    check_text(ran.err);
  }
}

TEST_CASE("Every help page fits 80 columns and has an example or says enough") {
  const Sandbox box;
  const std::string all = box.ok("--help");
  check_text(all);
  CHECK(box.ok("help") == all);
  for (const char* command :
       {"init",   "rig",     "class",     "part",    "position", "meter",   "bin",     "supplier",
        "import", "export",  "fit",       "fail",    "renew",    "use",     "lose",    "scrap",
        "test",   "stay",    "condition", "undo",    "order",    "receive", "move",    "count",
        "now",    "reorder", "carry",     "report",  "rate",     "explain", "history", "find",
        "fits",   "verify",  "backup",    "journal", "policy"}) {
    INFO(command);
    CHECK(holds(all, std::string(" ") + command + " "));
    const std::string help = box.ok(std::string("help ") + command);
    check_text(help);
    CHECK(box.ok(std::string(command) + " --help") == help);
    CHECK(holds(help, std::string("Usage: shearpin ") + command));
  }
  CHECK(holds(box.ok("--version"), "shearpin "));
}

TEST_CASE("The same input gives the same bytes twice") {
  const Sandbox box;
  make_demo(box);
  const std::vector<std::string> lines{"carry --format json --as-of " + kDemoDay + " " + kDemoTrip,
                                       "report --format json --as-of " + kDemoDay + " " + kDemoTrip,
                                       "report --as-of " + kDemoDay + " " + kDemoTrip,
                                       "report --format html --as-of " + kDemoDay + " " + kDemoTrip,
                                       "report --format csv --as-of " + kDemoDay + " " + kDemoTrip,
                                       "reorder --format json --as-of " + kDemoDay};
  for (const auto& line : lines) {
    INFO(line);
    CHECK((box.ok(line) == box.ok(line)));
  }
}

TEST_CASE("Colour settings change nothing off a terminal") {
  Sandbox box;
  make_camper(box);
  box.set("TERM", "xterm-256color");
  const std::string plain = box.ok("now --as-of 2026-07-01");
  box.set("NO_COLOR", "1");
  CHECK(box.ok("now --as-of 2026-07-01") == plain);
  box.set("LC_ALL", "C");
  CHECK(box.ok("now --as-of 2026-07-01") == plain);
}

TEST_CASE("Off a terminal nothing is asked: what would be a question is a refusal") {
  const Sandbox box;
  make_camper(box);
  // Standard input is empty here; a program that asked would wait or loop.
  box.refused("use fuse", 3, {"give the key of one"});
}

TEST_CASE("A likely double entry is only a hint on standard error") {
  const Sandbox box;
  make_camper(box);
  box.ok("fail lamps/1 --on 2026-03-01");
  const Ran ran = box("fail lamps/1 --on 2026-03-01");
  CHECK(ran.code == 0);
  CHECK(holds(ran.err, "hint:"));
  CHECK(holds(ran.err, "undo"));
}

TEST_CASE("Text in other scripts is kept and lines up") {
  const Sandbox box;
  box.ok("init --rig camper --name \"Küchenwagen 旅行車\"");
  box.ok("part add hose --name \"Schlauch 6 mm — grün\"");
  CHECK(box.json("rig list").at("items").at(0).at("name") == "Küchenwagen 旅行車");
  CHECK(box.json("part show hose").at("name") == "Schlauch 6 mm — grün");
  CHECK(box.json("find grün").at("items").size() == 1);
}

TEST_CASE("What is recorded is said to be recorded, whatever becomes of its receipt") {
  for (const std::string out : {"/dev/full", "closed"}) {
    const Sandbox box;
    make_camper(box);
    const auto newest = newest_entry(box);
    const auto number = std::to_string(newest + 1);
    INFO(out);
    for (const char* line : {"use fuse-15 1", "rig add x", "meter read km 63000",
                             "policy set target-degraded 0.9", "undo"}) {
      const auto before = newest_entry(box);
      const Ran ran = box.run(split_words(line), out);
      INFO(line << ": " << ran.err);
      CHECK(ran.code == 0);
      CHECK(holds(ran.err, "recorded as entry " + std::to_string(before + 1)));
      CHECK(holds(ran.err, "could not be printed"));
      CHECK_FALSE(holds(ran.err, "othing was written"));
      CHECK(newest_entry(box) == before + 1);
    }
    for (const char* line : {"now", "--help", "--version", "fail --help", "report --days 3",
                             "export parts", "use fuse-15 1 --dry-run"}) {
      const Ran ran = box.run(split_words(line), out);
      INFO(line << ": " << ran.err);
      CHECK(ran.code == 1);
      CHECK(holds(ran.err, "could not be written"));
    }
  }
}

TEST_CASE("A receipt in a format that there is not is refused before anything is recorded") {
  const Sandbox box;
  make_camper(box);
  box.refused("use fuse-15 1 --format csv", 2, {"json"});
}
