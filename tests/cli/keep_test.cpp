// Keep safe: journal, verify, backup.

#include <catch2/catch.hpp>

#include "scenes.hpp"

using namespace shearpin::test;

TEST_CASE("journal lists entries, newest first, and can be asked for less") {
  const Sandbox box;
  make_camper(box);
  box.ok("fail fridge-fuse --on 2026-03-01 --who ann --note \"in the rain\"");
  const Json all = box.json("journal --all").at("entries");
  REQUIRE(all.size() > 20);
  CHECK(box.json("journal").at("entries").size() == 20);
  CHECK(box.json("journal --last 3").at("entries").size() == 3);
  const Json& newest = all.at(0);
  CHECK(newest.at("kind") == "fail");
  CHECK(newest.at("happened") == "2026-03-01");
  CHECK(newest.at("who") == "ann");
  CHECK(newest.at("note") == "in the rain");
  CHECK(newest.at("reverses").is_null());
  for (std::size_t i = 1; i < all.size(); ++i) {
    CHECK(all.at(i - 1).at("entry").get<long long>() > all.at(i).at("entry").get<long long>());
  }
  CHECK(box.json("journal --from 2026-02-01 --to 2026-02-02 --all").at("entries").size() == 2);
  CHECK(holds(box.ok("journal"), "in the rain"));
  box.refused("journal --last many", 3, {"many"});
}

TEST_CASE("verify finds a sound ledger sound") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(box.ok("verify"), "The ledger is sound."));
  const Json json = box.json("verify --check");
  CHECK(json.at("sound") == true);
  CHECK(json.at("findings").empty());
  CHECK(json.at("checks").size() > 5);
}

TEST_CASE("verify finds a balance that does not add up, and says so") {
  const Sandbox box;
  make_camper(box);
  Sandbox::sql(box.ledger(),
               "DROP TRIGGER IF EXISTS movement_no_update; PRAGMA writable_schema = ON; "
               "DELETE FROM sqlite_schema WHERE type = 'trigger'; PRAGMA writable_schema = OFF;");
  const Ran ran = box("verify");
  CHECK(ran.code == 4);
  CHECK(holds(ran.out, "WRONG"));
  CHECK(box("verify --check").code == 10);
}

TEST_CASE("The file itself refuses to change what was written") {
  const Sandbox box;
  make_camper(box);
  const std::string before = box.dump();
  for (const char* sql : {"DELETE FROM entry", "UPDATE entry SET note = 'x'",
                          "DELETE FROM movement", "UPDATE movement SET quantity = 99"}) {
    INFO(sql);
    CHECK_THROWS(Sandbox::sql(box.ledger(), sql));
  }
  CHECK((box.dump() == before));
}

TEST_CASE("backup makes a copy that works, and never overwrites") {
  const Sandbox box;
  make_camper(box);
  const std::string told = box.ok("backup copy.db");
  CHECK(holds(told, "copy.db"));
  CHECK((Sandbox::dump(box.path("copy.db")) == box.dump()));
  CHECK(box.ok("part list --ledger copy.db") == box.ok("part list"));
  box.ok("use fuse-15 --ledger copy.db");
  CHECK(box.ok("part list --ledger copy.db") == box.ok("part list"));
  const std::string copied = read_file(box.path("copy.db"));
  box.refused("backup copy.db", 4, {"copy.db", "already"});
  CHECK(read_file(box.path("copy.db")) == copied);
  box.refused("backup no/such/folder/copy.db", 4, {"no/such/folder/copy.db"});
  box.refused("backup", 2, {"FILE"});
}
