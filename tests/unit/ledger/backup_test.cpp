#include <catch2/catch.hpp>

#include <fstream>

#include "shearpin/base/error.hpp"
#include "world.hpp"

namespace shearpin::ledger {

TEST_CASE("A backup is a ledger with the same rows, and nothing else is left beside it") {
  World world;
  world.record(world.receive(world.p13, 5, world.b1, "2024-05-01"));
  const auto copy = world.file("copy.db");
  world.ledger.backup(copy);
  CHECK(dump(copy) == dump(world.path()));
  CHECK(Ledger::open(copy, Ledger::Mode::read).verify().findings.empty());
  std::size_t files = 0;
  for (const auto& entry : std::filesystem::directory_iterator(copy.parent_path())) {
    files += entry.is_regular_file() && entry.path().extension() != ".db-journal";
  }
  CHECK(files == 2);
  // A ledger opened for reading can be copied too.
  Ledger::open(copy, Ledger::Mode::read).backup(world.file("copy2.db"));
  CHECK(dump(world.file("copy2.db")) == dump(copy));
}

TEST_CASE("A backup never overwrites and explains where it cannot go") {
  World world;
  const auto taken = world.file("taken.db");
  std::ofstream(taken) << "precious";
  CHECK_THROWS_AS(world.ledger.backup(taken), LedgerError);
  std::string kept;
  std::ifstream(taken) >> kept;
  CHECK(kept == "precious");
  CHECK_THROWS_WITH(world.ledger.backup(world.file("no") / "such" / "copy.db"),
                    Catch::Matchers::Contains("copy.db"));
}

}  // namespace shearpin::ledger
