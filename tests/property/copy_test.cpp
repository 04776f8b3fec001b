// A ledger recorded again from its drafts exports the same bytes and answers every question with
// the same JSON, as the same file and as one in which every number is another.

#include <catch2/catch.hpp>
#include <set>

#include "cli/scenes.hpp"
#include "unit/ledger/copy.hpp"
#include "unit/ledger/scribbler.hpp"

using namespace shearpin;
using ledger::Ledger;
using test::Sandbox;

namespace {

const std::vector<std::string> kQuestions = {"now",
                                             "reorder",
                                             "weak --days 30",
                                             "carry --days 45",
                                             "report --days 30",
                                             "carry --days 45 --max-mass 30kg",
                                             "explain p20",
                                             "rate p20",
                                             "compare p20 p21",
                                             "replay",
                                             "history l21",
                                             "policy show",
                                             "trip list",
                                             "part list",
                                             "position show l21",
                                             "journal --all"};

/// The answer without what is new in every ledger: names of entries, which sort by time.
std::string answer(const Sandbox& box, const std::string& question) {
  test::Json json = box.json(question);
  if (json.contains("entries")) {
    for (auto& entry : json["entries"]) entry.erase("uuid");
  }
  return json.dump();
}

std::map<std::string, std::string> exported(const Sandbox& box) {
  box.ok("export --into tables");
  std::map<std::string, std::string> files;
  for (const auto& file : std::filesystem::directory_iterator(box.path("tables"))) {
    files[file.path().filename()] = test::read_file(file.path());
  }
  REQUIRE(files.size() > 5);
  return files;
}

void copy(const Sandbox& from, const Sandbox& to) {
  const auto original = Ledger::open(from.ledger(), Ledger::Mode::read);
  Ledger made = std::filesystem::exists(to.ledger())
                    ? Ledger::open(to.ledger(), Ledger::Mode::write)
                    : Ledger::create(to.ledger());
  ledger::record_again(original, made);
}

/// A ledger whose next things of every kind are not the first: they were taken back.
void use_numbers_up(const Sandbox& box) {
  box.ok("init --on 2020-01-01 --rig gone-rig");
  for (const char* line : {"meter add gone-km --rig gone-rig --unit km", "bin add gone-bin",
                           "supplier add gone-shop", "part add gone-part --class drive-belt",
                           "position add gone-place --part gone-part --rig gone-rig",
                           "order gone-part 3 --supplier gone-shop",
                           "receive gone-part 2 --into gone-bin", "fit gone-place"}) {
    box.ok(line);
  }
  auto made = Ledger::open(box.ledger(), Ledger::Mode::write);
  auto transaction = made.begin(ledger::stamp_on("2026-05-25"));
  while (const auto newest = made.newest_live()) transaction.undo(*newest);
  transaction.commit();
}

}  // namespace

TEST_CASE("The demo recorded again from its drafts exports and answers the same") {
  const Sandbox box, again, renumbered;
  test::make_demo(box);
  copy(box, again);
  use_numbers_up(renumbered);
  copy(box, renumbered);
  const auto tables = exported(box);
  CHECK(exported(again) == tables);
  CHECK(exported(renumbered) == tables);
  for (const auto& question : kQuestions) {
    INFO(question);
    CHECK(answer(again, question) == answer(box, question));
  }
  CHECK(test::holds(renumbered.ok("verify"), "The ledger is sound."));
}

TEST_CASE("Random ledgers with every kind of entry export and answer the same") {
  const auto seed = GENERATE(11u, 12u, 13u);
  INFO("seed " << seed);
  const Sandbox box, again, renumbered;
  {
    ledger::World world;
    ledger::Scribbler scribbler(world, seed);
    while (scribbler.kinds.size() < ledger::Scribbler::kEveryKind && scribbler.written < 600) {
      scribbler.step();
    }
    scribbler.commit();
    std::filesystem::create_directories(box.ledger().parent_path());
    std::filesystem::copy_file(world.path(), box.ledger());
  }
  copy(box, again);
  use_numbers_up(renumbered);
  copy(box, renumbered);
  const auto tables = exported(box);
  CHECK(exported(again) == tables);
  CHECK(exported(renumbered) == tables);
  for (const char* question :
       {"now", "reorder", "carry --days 30", "report --days 30", "explain p25", "history l05",
        "part list", "trip list", "policy show", "journal --all"}) {
    INFO(question);
    CHECK(answer(again, question) == answer(box, question));
  }
}
