// --dry-run shows and writes nothing, whatever the command.

#include <catch2/catch.hpp>

#include "scenes.hpp"

using namespace shearpin::test;

TEST_CASE("A command with --dry-run writes nothing, whichever it is") {
  const Sandbox box;
  make_camper(box);
  box.ok("order belt 2 --on 2026-03-01");
  box.write("parts.csv", "key,name\nhose,Hose\n");
  const std::string before = box.dump();
  const std::string bytes = read_file(box.ledger());
  for (const char* line : {
           "rig add trailer",
           "rig set camper --name x",
           "rig retire camper",
           "class add c --life 4y --life-low 2y --life-high 9y --shape 1.5 --basis days --severity "
           "degraded --resupply anywhere",
           "class set drive-belt --severity nuisance",
           "class retire drive-belt",
           "part add x",
           "part set belt --price 9",
           "part retire belt",
           "part substitute fuse-10 --for fuse-15",
           "position add x --part belt",
           "position set lamps --units 4",
           "position retire lamps",
           "meter add x --unit h",
           "meter set km --usual 9/day",
           "meter retire km",
           "meter read km 70000",
           "bin add x",
           "bin set drawer --ashore",
           "bin retire drawer",
           "supplier add x --how parcel",
           "supplier set post --name x",
           "supplier retire post",
           "import parts.csv",
           "fit lamps/1 --on 2026-01-01",
           "fail fridge-fuse",
           "fail lamps --left-dead",
           "renew fridge-fuse --keep drawer",
           "use fuse-15 2",
           "lose fuse-15 1",
           "lose lamps/2",
           "scrap fuse-15 1",
           "test fridge-fuse pass",
           "test fridge-fuse fail",
           "stay 2",
           "condition add heat --from 2026-04-01",
           "undo",
           "order belt 1",
           "receive belt 1 --into drawer",
           "move fuse-15 1 --from shed --to locker",
           "count fuse-15 1 --in locker",
           "policy set target-degraded 0.95",
           "backup copy.db",
       }) {
    INFO(line);
    const Ran ran = box(std::string(line) + " --dry-run");
    INFO(ran.out << ran.err);
    if (std::string(line).rfind("fit lamps", 0) == 0) {
      CHECK(ran.code == 3);  // all three are in place
    } else {
      CHECK(ran.code == 0);
      CHECK(holds(ran.out, "Would"));
    }
    CHECK((box.dump() == before));
  }
  CHECK((read_file(box.ledger()) == bytes));
  CHECK_FALSE(std::filesystem::exists(box.path("copy.db")));
}

TEST_CASE("init --dry-run makes no file") {
  const Sandbox box;
  CHECK(holds(box.ok("init --rig camper --dry-run"), "Would make"));
  CHECK_FALSE(std::filesystem::exists(box.ledger()));
}

TEST_CASE("In JSON a dry run says that nothing was recorded") {
  const Sandbox box;
  make_camper(box);
  CHECK(box.json("fail fridge-fuse --dry-run").at("recorded") == false);
  CHECK(box.json("undo --dry-run").at("recorded") == false);
}
