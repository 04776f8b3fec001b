// The built program ended in the middle of every writing command: at each step that changes a file,
// with what was written kept (the program was killed) and with what was never synced taken back
// (the power failed). Afterwards the ledger is sound and holds all of the command or nothing of it.

#include <algorithm>
#include <catch2/catch.hpp>
#include <csignal>

#include "scenes.hpp"

using namespace shearpin::test;

namespace fs = std::filesystem;

namespace {

const std::vector<std::string> kCommands{"rig add x",
                                         "part set belt --price 3",
                                         "position set lamps --severity nuisance",
                                         "fail fridge-fuse --cause overload",
                                         "fail lamps --left-dead",
                                         "fail fan-belt --repaired",
                                         "renew fan-belt --with belt --keep locker",
                                         "use fuse-15 2",
                                         "lose fuse-15",
                                         "scrap fuse-15 --cause spoiled",
                                         "test fridge-fuse pass",
                                         "stay 2",
                                         "condition add heat --from 2026-01-01",
                                         "undo",
                                         "order belt 1 --supplier post",
                                         "receive belt 1 --into locker",
                                         "move fuse-15 1 --from shed --to locker",
                                         "count fuse-15 1 --in locker",
                                         "policy set target-degraded 0.9",
                                         "meter read km 99999",
                                         "part substitute fuse-10 --for fuse-15",
                                         "import parts.csv",
                                         "backup copy.db"};

const char* const kMore =
    "key,class,name,price\nhose,hose-washer,Hose washer,0.2\nthin,hose-washer,Thin washer,0.8\n";

// A camper's ledger, put back before every run.
class Yard {
 public:
  Yard() {
    make_camper(box);
    box.ok("receive belt 1 --into locker --on 2026-07-02");
    box.write("parts.csv", kMore);
    whole_ = read_file(box.ledger());
    before_ = box.dump();
  }

  void put_back() const {
    box.write("data/shearpin/ledger.db", whole_);
    fs::remove(box.path("data/shearpin/ledger.db-journal"));
    fs::remove(box.path("copy.db"));
  }

  // Steps of a command that runs to its end, and the ledger it leaves.
  long steps_of(const std::string& line, std::string& after) {
    put_back();
    load({{"FAULT_COUNT", box.path("steps.txt").string()}});
    const Ran ran = box(line);
    unload();
    INFO(line << '\n' << ran.out << ran.err);
    REQUIRE(ran.code == 0);
    after = box.dump();
    return std::stol(read_file(box.path("steps.txt")));
  }

  Ran with_fault(const std::string& line, const std::map<std::string, std::string>& faults) {
    put_back();
    load(faults);
    const Ran ran = box(line);
    unload();
    return ran;
  }

  const std::string& before() const { return before_; }

  Sandbox box;

 private:
  void load(const std::map<std::string, std::string>& faults) {
    box.set("LD_PRELOAD", SHEARPIN_FAULTS);
    for (const auto& [name, value] : faults) {
      box.set(name, value);
    }
  }
  void unload() {
    for (const char* name :
         {"LD_PRELOAD", "FAULT_COUNT", "FAULT_KILL", "FAULT_LOSE", "FAULT_FULL", "FAULT_SYNC"}) {
      box.set(name, "");
    }
  }

  std::string whole_, before_;
};

// Rows of a dump: what two runs of one command share, whose times and names of entries differ.
long long rows(const std::string& dump) {
  return static_cast<long long>(std::count(dump.begin(), dump.end(), '\n'));
}

// The dump in which all of the command stands; the same number of rows tells it from half of it.
bool all_of_it(const std::string& dump, const std::string& after, const std::string& before) {
  return dump != before && rows(dump) == rows(after);
}

void check_sound(const Sandbox& box) {
  const Ran verified = box("verify");
  INFO(verified.out << verified.err);
  CHECK(verified.code == 0);
}

void end_at_every_step(bool power_fails) {
  Yard yard;
  for (const auto& line : kCommands) {
    std::string after;
    const long steps = yard.steps_of(line, after);
    INFO(line << (power_fails ? ", power off" : ", killed") << ", steps " << steps);
    CHECK(steps >= (line == "backup copy.db" ? 2 : 5));
    for (long at = 1; at <= steps + 1; ++at) {
      INFO("at step " << at);
      std::map<std::string, std::string> faults{{"FAULT_KILL", std::to_string(at)}};
      if (power_fails) {
        faults["FAULT_LOSE"] = "1";
      }
      const Ran ran = yard.with_fault(line, faults);
      CHECK(ran.code == 1000 + SIGKILL);
      check_sound(yard.box);
      const std::string dump = yard.box.dump();
      const bool nothing = dump == yard.before();
      const bool everything = all_of_it(dump, after, yard.before());
      CHECK((nothing || everything || after == yard.before()));
      // Told, so it must be there, whatever the power does afterwards.
      if (at == steps + 1) {
        CHECK(!ran.out.empty());
        CHECK((everything || after == yard.before()));
      }
    }
  }
}

}  // namespace

TEST_CASE("Killed at any step, a command has happened whole or not at all") {
  end_at_every_step(false);
}

TEST_CASE("With the power gone at any step, a command has happened whole or not at all") {
  end_at_every_step(true);
}

TEST_CASE("A backup that was cut short is no file of its name") {
  Yard yard;
  std::string after;
  const long steps = yard.steps_of("backup copy.db", after);
  const std::string whole = Sandbox::dump(yard.box.path("copy.db"));
  for (long at = 1; at <= steps; ++at) {
    INFO("at step " << at << " of " << steps);
    yard.with_fault("backup copy.db", {{"FAULT_KILL", std::to_string(at)}, {"FAULT_LOSE", "1"}});
    const fs::path copy = yard.box.path("copy.db");
    CHECK((!fs::exists(copy) || Sandbox::dump(copy) == whole));
  }
}

TEST_CASE("On a full disk a command says so and changes nothing") {
  Yard yard;
  for (const auto& line : kCommands) {
    std::string after;
    const long steps = yard.steps_of(line, after);
    int refusals = 0;
    for (long from = 1; from <= steps; ++from) {
      INFO(line << ", disk full from step " << from << " of " << steps);
      const Ran ran = yard.with_fault(line, {{"FAULT_FULL", std::to_string(from)}});
      INFO(ran.out << ran.err);
      check_sound(yard.box);
      if (ran.code == 0) {  // what was left to write needed no more room
        continue;
      }
      ++refusals;
      CHECK(ran.code == 4);
      CHECK(ran.out.empty());
      CHECK(holds(ran.err, "disk is full"));
      CHECK((yard.box.dump() == yard.before()));
      CHECK_FALSE(fs::exists(yard.box.path("copy.db")));
    }
    INFO(line);
    CHECK(refusals > 0);
  }
}

TEST_CASE("init makes a whole ledger or none, wherever it ends, and can be repeated") {
  Yard yard;
  const std::string line = "init --rig camper --ledger new/folder/ledger.db";
  const fs::path made = yard.box.path("new/folder/ledger.db");
  std::string after;
  const long steps = yard.steps_of(line, after);
  const auto classes = [&] {
    return yard.box.json("class list --ledger new/folder/ledger.db").at("items").size();
  };
  const auto whole = classes();
  REQUIRE(whole > 100);
  CHECK(steps > 10);
  for (const char* fault : {"FAULT_KILL", "FAULT_FULL"}) {
    for (long at = 1; at <= steps; ++at) {
      INFO(fault << " at step " << at << " of " << steps);
      fs::remove_all(yard.box.path("new"));
      const Ran ran = yard.with_fault(line, {{fault, std::to_string(at)}, {"FAULT_LOSE", "1"}});
      CHECK((ran.code == 0 || !ran.err.empty() || ran.code == 1000 + SIGKILL));
      const bool there = fs::exists(made);
      CHECK((there || ran.code != 0));
      if (!there && at % 16 != 0 && at < steps - 3) {
        continue;  // nothing was made; making it again every time would only take longer
      }
      if (!there) {
        yard.box.ok(line);
      }
      CHECK(classes() == whole);
      CHECK(yard.box("verify --ledger new/folder/ledger.db").code == 0);
    }
  }
}

TEST_CASE("A disk that fails at the very end is not said to have kept nothing") {
  Yard yard;
  std::string after;
  const std::string line = "use fuse-15 2";
  const long steps = yard.steps_of(line, after);
  int unsure = 0;
  for (long at = 1; at <= steps; ++at) {
    const Ran ran = yard.with_fault(line, {{"FAULT_SYNC", std::to_string(at)}});
    INFO("at step " << at << " of " << steps << ": " << ran.err);
    check_sound(yard.box);
    if (ran.code == 0) {
      CHECK(all_of_it(yard.box.dump(), after, yard.before()));
      continue;
    }
    CHECK(ran.code == 4);
    const bool kept = yard.box.dump() != yard.before();
    const bool says_nothing_written = holds(ran.err, "Nothing was written");
    CHECK_FALSE((kept && says_nothing_written));
    if (holds(ran.err, "cannot tell whether entry")) {
      CHECK(holds(ran.err, "shearpin journal"));
      ++unsure;
    }
  }
  CHECK(unsure > 0);
}

TEST_CASE("Tables of which the disk takes only some are not said to be written") {
  Yard yard;
  const std::string line = "export --into tables";
  std::string after;
  const long steps = yard.steps_of(line, after);
  REQUIRE(steps > 10);
  for (const long from : {1L, steps / 2, steps - 4}) {
    INFO("disk full from step " << from << " of " << steps);
    fs::remove_all(yard.box.path("tables"));
    const Ran ran = yard.with_fault(line, {{"FAULT_FULL", std::to_string(from)}});
    INFO(ran.out << ran.err);
    CHECK(ran.code == 3);
    CHECK(ran.out.empty());
    CHECK(holds(ran.err, "cannot be written"));
    CHECK_FALSE(holds(ran.err, "were written"));
  }
}
