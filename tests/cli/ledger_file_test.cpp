// The ledger file that is not as it should be: exit 4, a reason, a way on, and nothing harmed.

#include <sched.h>
#include <sqlite3.h>
#include <sys/mount.h>
#include <unistd.h>

#include <catch2/catch.hpp>

#include "scenes.hpp"

using namespace shearpin::test;

namespace fs = std::filesystem;

namespace {

// Lines that ask and lines that write, one of each sort that opens the ledger.
const std::vector<std::string> kAsking{
    "now",       "part list",      "carry --days 3", "reorder",     "report --days 3",
    "rate belt", "explain belt",   "history belt",   "find belt",   "fits belt",
    "verify",    "backup copy.db", "journal",        "policy show", "export parts"};
const std::vector<std::string> kWriting{"rig add x",
                                        "part set belt --price 3",
                                        "fail fridge-fuse",
                                        "fit lamps",
                                        "renew lamps",
                                        "use fuse-15",
                                        "lose fuse-15",
                                        "scrap fuse-15",
                                        "test fridge-fuse pass",
                                        "stay 1",
                                        "condition add heat --from 2026-01-01",
                                        "undo",
                                        "order belt 1",
                                        "receive belt 1 --into locker",
                                        "move fuse-15 1 --from shed --to locker",
                                        "count fuse-15 1",
                                        "policy set target-degraded 0.9",
                                        "meter read km 99999",
                                        "part substitute fuse-10 --for fuse-15"};

std::vector<std::string> all_lines() {
  auto lines = kAsking;
  lines.insert(lines.end(), kWriting.begin(), kWriting.end());
  return lines;
}

// A folder seen read-only, as a disk that was mounted so: permissions do not bind the superuser.
class ReadOnlyFolder {
 public:
  explicit ReadOnlyFolder(fs::path folder) : folder_(std::move(folder)) {
    // In a name space of this process alone: nothing is left mounted however it ends.
    bound_ = ::unshare(CLONE_NEWNS) == 0 &&
             ::mount(nullptr, "/", nullptr, MS_REC | MS_PRIVATE, nullptr) == 0 &&
             ::mount(folder_.c_str(), folder_.c_str(), nullptr, MS_BIND, nullptr) == 0;
    ready_ = bound_ && ::mount(nullptr, folder_.c_str(), nullptr, MS_BIND | MS_REMOUNT | MS_RDONLY,
                               nullptr) == 0;
    if (!ready_ && ::geteuid() != 0) {
      fs::permissions(folder_, fs::perms::owner_read | fs::perms::owner_exec);
      closed_ = ready_ = true;
    }
  }
  ~ReadOnlyFolder() {
    if (bound_) {
      ::umount(folder_.c_str());
    }
    if (closed_) {
      fs::permissions(folder_, fs::perms::owner_all);
    }
  }
  ReadOnlyFolder(const ReadOnlyFolder&) = delete;
  ReadOnlyFolder& operator=(const ReadOnlyFolder&) = delete;
  bool ready() const { return ready_; }

 private:
  fs::path folder_;
  bool bound_ = false, closed_ = false, ready_ = false;
};

}  // namespace

TEST_CASE("Without a ledger every command says how to make one, with an example") {
  const Sandbox box;
  box.write("parts.csv", "key\nx\n");
  auto lines = all_lines();
  lines.insert(lines.end(), {"", "import parts.csv", "export --into tables"});
  for (const auto& line : lines) {
    box.refused(line, 4, {"no ledger at", "shearpin init --rig"});
  }
  CHECK_FALSE(fs::exists(box.path("data")));
}

TEST_CASE("A missing folder is a missing ledger") {
  const Sandbox box;
  box.refused("now --ledger no/such/folder/ledger.db", 4, {"no/such/folder/ledger.db"});
  CHECK_FALSE(fs::exists(box.path("no")));
}

TEST_CASE("A file that is no ledger is left as it is") {
  const Sandbox box;
  const std::string diary(5000, 'x');
  box.write("diary.txt", diary);
  box.write("short.txt", "hello\n");
  box.write("empty.db", "");
  Sandbox::sql(box.path("other.db"), "CREATE TABLE t (x); INSERT INTO t VALUES (1);");
  const std::string other = read_file(box.path("other.db"));
  for (const auto& line : all_lines()) {
    for (const char* file : {"diary.txt", "short.txt", "empty.db", "other.db"}) {
      INFO(line << " on " << file);
      const Ran ran = box(line + " --ledger " + file);
      CHECK(ran.code == 4);
      CHECK(ran.out.empty());
      CHECK(holds(ran.err, file));
    }
  }
  CHECK((read_file(box.path("diary.txt")) == diary));
  CHECK((read_file(box.path("other.db")) == other));
  CHECK(fs::file_size(box.path("empty.db")) == 0);
}

TEST_CASE("A folder in place of the ledger") {
  const Sandbox box;
  fs::create_directories(box.path("here"));
  box.refused("now --ledger here", 4, {"here", "folder"});
  box.refused("init --ledger here", 4, {"here"});
}

TEST_CASE("A ledger of a newer program is not touched") {
  const Sandbox box;
  make_camper(box);
  Sandbox::sql(box.ledger(), "PRAGMA user_version = 999;");
  for (const auto& line : all_lines()) {
    INFO(line);
    box.refused(line, 4, {"schema 999", "newer program"});
  }
}

TEST_CASE("A cut-off ledger gives exit 4 or an answer, never a crash") {
  const Sandbox box;
  make_camper(box);
  const std::string whole = read_file(box.ledger());
  for (const std::size_t keep : {std::size_t{50}, std::size_t{100}, std::size_t{4096},
                                 std::size_t{20000}, whole.size() / 2, whole.size() - 1}) {
    box.write("cut.db", whole.substr(0, keep));
    const Ran ran = box("now --ledger cut.db");
    INFO(keep << ": " << ran.code << ' ' << ran.err);
    CHECK((ran.code == 0 || ran.code == 4));
  }
}

TEST_CASE("On a read-only disk every question is answered and every entry refused") {
  const Sandbox box;
  make_camper(box);
  std::map<std::string, Ran> before;
  for (const auto& line : kAsking) {
    if (line.rfind("backup", 0) != 0) {
      before[line] = box(line);
    }
  }
  const ReadOnlyFolder closed(box.ledger().parent_path());
  if (!closed.ready()) {
    WARN(
        "SKIPPED: no folder can be made read-only here (a container without mount rights, run as "
        "the superuser whom permissions do not bind)");
    return;
  }
  for (const auto& [line, ran] : before) {
    INFO(line);
    const Ran again = box(line);
    INFO(again.err);
    CHECK(again.code == ran.code);
    CHECK((again.out == ran.out));
  }
  for (const auto& line : kWriting) {
    INFO(line);
    box.refused(line, 4, {"can be read but not written"});
  }
  box.refused("init --ledger " + (box.ledger().parent_path() / "other.db").string(), 4,
              {"other.db"});
  CHECK_FALSE(fs::exists(box.ledger().parent_path() / "other.db"));
}

TEST_CASE("A ledger that another program is writing is not waited for without end") {
  const Sandbox box;
  make_camper(box);
  sqlite3* other = nullptr;
  REQUIRE(sqlite3_open(box.ledger().c_str(), &other) == SQLITE_OK);
  REQUIRE(sqlite3_exec(other, "BEGIN EXCLUSIVE", nullptr, nullptr, nullptr) == SQLITE_OK);
  const Ran ran = box("use fuse-15");
  CHECK(ran.code == 4);
  CHECK(ran.out.empty());
  sqlite3_exec(other, "ROLLBACK", nullptr, nullptr, nullptr);
  sqlite3_close(other);
  box.ok("use fuse-15");
}
