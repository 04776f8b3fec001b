// Opening: what there may be at the path instead of a ledger.

#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <fstream>

#include "shearpin/base/error.hpp"
#include "world.hpp"

namespace shearpin::ledger {
namespace {

using Catch::Matchers::Contains;
using Mode = Ledger::Mode;

/// Runs `work` in a process that may not write what root may; its exit status.
template <class Work>
int as_nobody(Work work) {
  const pid_t child = ::fork();
  if (child == 0) {
    constexpr uid_t kNobody = 65534;
    if (::geteuid() == 0 && (::setgid(kNobody) != 0 || ::setuid(kNobody) != 0)) ::_exit(77);
    int status = 99;
    try {
      status = work();
    } catch (...) {
    }
    ::_exit(status);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  return WIFEXITED(status) ? WEXITSTATUS(status) : 98;
}

}  // namespace

TEST_CASE("A missing ledger is explained with the way to make one") {
  Folder folder;
  CHECK_THROWS_AS(Ledger::open(folder / "none.db", Mode::read), LedgerError);
  CHECK_THROWS_WITH(Ledger::open(folder / "none.db", Mode::write),
                    Contains("none.db") && Contains("shearpin init"));
  CHECK_FALSE(std::filesystem::exists(folder / "none.db"));
}

TEST_CASE("A folder, a text file, an empty file and another database are no ledgers") {
  Folder folder;
  CHECK_THROWS_WITH(Ledger::open(folder.path(), Mode::read), Contains("this is a folder"));
  std::ofstream(folder / "notes.txt") << std::string(5000, 'x');
  CHECK_THROWS_WITH(Ledger::open(folder / "notes.txt", Mode::read),
                    Contains("not a ledger") && Contains("notes.txt"));
  std::ofstream(folder / "empty.db").flush();
  CHECK_THROWS_WITH(Ledger::open(folder / "empty.db", Mode::write), Contains("not a ledger"));
  std::ofstream(folder / "other.db").flush();
  REQUIRE(RawFile(folder / "other.db").run("CREATE TABLE t (x)") == "");
  CHECK_THROWS_WITH(Ledger::open(folder / "other.db", Mode::write), Contains("not a ledger"));
  REQUIRE(RawFile(folder / "other.db").rows("SELECT name FROM sqlite_schema").size() == 1);
}

TEST_CASE("A newer ledger is refused with both numbers") {
  Folder folder;
  Ledger::create(folder / "ledger.db");
  REQUIRE(RawFile(folder / "ledger.db").run("PRAGMA user_version = 7") == "");
  CHECK_THROWS_WITH(Ledger::open(folder / "ledger.db", Mode::read),
                    Contains("schema 7") && Contains("schemas 1 to 1"));
}

TEST_CASE("Making a ledger makes its folders and never overwrites") {
  Folder folder;
  const auto path = folder / "a" / "b" / "ledger.db";
  Ledger::create(path);
  CHECK(Ledger::open(path, Mode::read).catalogue().rigs.empty());
  CHECK_THROWS_WITH(Ledger::create(path), Contains("something here already"));
  std::ofstream(folder / "notes.txt") << "x";
  CHECK_THROWS_AS(Ledger::create(folder / "notes.txt"), LedgerError);
  CHECK_THROWS_AS(Ledger::create(folder.path()), LedgerError);
  CHECK_THROWS_AS(Ledger::create(folder / "notes.txt" / "ledger.db"), LedgerError);
  // What an interrupted init leaves is taken over.
  std::ofstream(folder / "empty.db").flush();
  Ledger::create(folder / "empty.db");
}

TEST_CASE("Odd file names are names") {
  Folder folder;
  const auto here = std::filesystem::current_path();
  std::filesystem::current_path(folder.path());
  for (const std::string name : {"file:x", "file:x?mode=memory", "a b", ":memory:", "ключ.db"}) {
    Ledger::create(name);
    CHECK(std::filesystem::is_regular_file(folder.path() / name));
    CHECK(Ledger::open(name, Mode::read).path() == name);
  }
  std::filesystem::current_path(here);
}

TEST_CASE("A closed ledger is one file with an empty journal at most") {
  Folder folder;
  { Ledger::create(folder / "ledger.db"); }
  for (const auto& entry : std::filesystem::directory_iterator(folder.path())) {
    CHECK((entry.path().filename() == "ledger.db" || entry.file_size() == 0));
  }
}

TEST_CASE("Where nothing may be written, reading works and writing says why not") {
  Folder folder;
  const auto path = folder / "ledger.db";
  { Ledger::create(path); }
  std::filesystem::remove(path.string() + "-journal");
  namespace fs = std::filesystem;
  fs::permissions(path, fs::perms::owner_read | fs::perms::group_read | fs::perms::others_read);
  fs::permissions(folder.path(), fs::perms::owner_read | fs::perms::owner_exec |
                                     fs::perms::group_read | fs::perms::group_exec |
                                     fs::perms::others_read | fs::perms::others_exec);
  const int read = as_nobody([&] {
    const Ledger ledger = Ledger::open(path, Mode::read);
    return ledger.catalogue().rigs.empty() && ledger.verify().findings.empty() ? 0 : 1;
  });
  const int write = as_nobody([&] {
    try {
      Ledger::open(path, Mode::write);
    } catch (const LedgerError& refusal) {
      return std::string(refusal.what()).find("can be read but not written") == std::string::npos;
    }
    return true;
  });
  const int make = as_nobody([&] {
    try {
      Ledger::create(folder / "new.db");
    } catch (const LedgerError&) {
      return 0;
    }
    return 1;
  });
  fs::permissions(folder.path(), fs::perms::owner_all);
  CHECK(read == 0);
  CHECK(write == 0);
  CHECK(make == 0);
}

TEST_CASE("A ledger opened for reading writes nothing") {
  World world;
  Ledger reader = Ledger::open(world.path(), Mode::read);
  CHECK_THROWS_AS(
      reader.begin(stamp_on("2026-05-25")).record(world.reading(world.km, 5, "2024-05-01")),
      LedgerError);
}

TEST_CASE("A second writer waits, then is told that the ledger is busy") {
  World world;
  Ledger other = Ledger::open(world.path(), Mode::write);
  Ledger::Transaction first = world.ledger.begin(stamp_on("2026-05-25"));
  first.record(world.reading(world.km, 5, "2024-05-01"));
  CHECK_THROWS_WITH(other.begin(stamp_on("2026-05-25")),
                    Contains("another program", Catch::CaseSensitive::No));
  // Reading goes on meanwhile, without what is not committed.
  CHECK(other.snapshot(day("2026-05-25")).readings.empty());
  first.commit();
  CHECK(other.snapshot(day("2026-05-25")).readings.size() == 1);
}

TEST_CASE("An open ledger can be moved") {
  World world;
  Ledger moved = std::move(world.ledger);
  CHECK(moved.catalogue().rigs.size() == 1);
  world.ledger = std::move(moved);
  world.record(world.reading(world.km, 5, "2024-05-01"));
}

TEST_CASE("Others read the ledger while more is written than the cache holds") {
  World world;
  Ledger::Transaction transaction = world.ledger.begin(stamp_on(World::kToday));
  domain::EntryDraft stay = world.draft(domain::EntryKind::stay, "2024-05-01");
  stay.stays.push_back({1, ""});
  stay.note.assign(4000, 'x');
  constexpr int kEntries = 40'000;  // 160 MB; the cache of a writer is 128 MiB
  for (int i = 0; i < kEntries; ++i) transaction.record(stay);
  RawFile other(world.path());
  CHECK(other.one("SELECT count(*) FROM stay") == "0");
}

}  // namespace shearpin::ledger
