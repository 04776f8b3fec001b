// Files that the program writes where a person says: never over what must not be lost.

#include <sys/stat.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <fstream>
#include <future>

#include "scenes.hpp"

using namespace shearpin::test;

namespace fs = std::filesystem;

namespace {

std::size_t files_in(const fs::path& folder) {
  return static_cast<std::size_t>(
      std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}

}  // namespace

TEST_CASE("A report is never written over the ledger, its journal, or another name of it") {
  const Sandbox box;
  make_camper(box);
  const std::string ledger = box.ledger().string();
  fs::create_hard_link(ledger, box.path("hard.db"));
  fs::create_symlink(ledger, box.path("soft.db"));
  fs::create_directory_symlink(box.ledger().parent_path(), box.path("folder"));
  const std::string before = read_file(ledger);
  for (const std::string& name :
       {ledger, ledger + "-journal", std::string("hard.db"), std::string("soft.db"),
        std::string("folder/ledger.db"), std::string("folder/ledger.db-journal"),
        std::string("folder/./ledger.db-wal")}) {
    box.refused("report --days 3 -o " + name, 3, {"belongs to the ledger", "-o report.txt"});
  }
  CHECK((read_file(ledger) == before));
}

TEST_CASE("A report replaces a file whole, keeps its permissions, and touches no other") {
  const Sandbox box;
  make_camper(box);
  box.write("out/report.txt", "old");
  box.write("out/report.txt.part", "somebody else's");
  fs::create_symlink(box.path("precious.txt"), box.path("out/report.html.part"));
  box.write("precious.txt", "precious");
  REQUIRE(::chmod(box.path("out/report.txt").c_str(), 0640) == 0);
  box.ok("report --days 3 -o out/report.txt");
  CHECK(holds(read_file(box.path("out/report.txt")), "Pre-trip stock report"));
  CHECK((fs::status(box.path("out/report.txt")).permissions() & fs::perms::mask) ==
        fs::perms(0640));
  CHECK(read_file(box.path("out/report.txt.part")) == "somebody else's");
  box.ok("report --days 3 --format html -o out/report.html");
  CHECK(read_file(box.path("precious.txt")) == "precious");
  CHECK(files_in(box.path("out")) == 4);
}

TEST_CASE("A symlink is followed to its target, and stays one") {
  const Sandbox box;
  make_camper(box);
  box.write("far/kept.txt", "old");
  fs::create_symlink("far/kept.txt", box.path("link.txt"));
  fs::create_symlink("far/new.txt", box.path("dangling.txt"));
  box.ok("report --days 3 -o link.txt");
  box.ok("report --days 3 -o dangling.txt");
  CHECK(fs::is_symlink(box.path("link.txt")));
  CHECK(fs::is_symlink(box.path("dangling.txt")));
  CHECK(holds(read_file(box.path("far/kept.txt")), "Pre-trip stock report"));
  CHECK(holds(read_file(box.path("far/new.txt")), "Pre-trip stock report"));
  fs::create_symlink("round.txt", box.path("round.txt"));
  box.refused("report --days 3 -o round.txt", 3, {"round.txt"});
}

TEST_CASE("What is no plain file is written to, not replaced") {
  const Sandbox box;
  make_camper(box);
  REQUIRE(::mkfifo(box.path("pipe").c_str(), 0600) == 0);
  auto reader = std::async(std::launch::async, [&] { return read_file(box.path("pipe")); });
  box.ok("report --days 3 -o pipe");
  CHECK(holds(reader.get(), "Pre-trip stock report"));
  CHECK(fs::is_fifo(box.path("pipe")));
  box.ok("report --days 3 -o /dev/null");
  CHECK(fs::is_character_file("/dev/null"));
  box.refused("report --days 3 -o /dev/full", 3, {"/dev/full"});
}

TEST_CASE("Where no file can be written the person is told, and nothing is left behind") {
  const Sandbox box;
  make_camper(box);
  const auto before = files_in(box.folder());
  const std::string long_name(300, 'x');
  for (const std::string& name :
       {std::string("no/such/report.txt"), long_name, std::string("data"), std::string("\"\"")}) {
    box.refused("report --days 3 -o " + name, 3, {"report.txt"});
  }
  box.refused("backup \"\"", 3, {"backup", "file name"});
  CHECK(box("backup " + long_name).code == 4);
  box.write("taken", "x");
  for (const std::string& name :
       {std::string("\"\""), std::string("taken"), std::string("taken/under"), long_name}) {
    box.refused("export --into " + name, 3, {"--into"});
  }
  fs::remove(box.path("taken"));
  CHECK(files_in(box.folder()) == before);
}

TEST_CASE("A new ledger and its copies are for their owner alone") {
  const Sandbox box;
  make_camper(box);
  box.ok("backup copy.db");
  for (const auto& file : {box.ledger(), box.path("copy.db")}) {
    CHECK((fs::status(file).permissions() & (fs::perms::group_all | fs::perms::others_all)) ==
          fs::perms::none);
  }
}
