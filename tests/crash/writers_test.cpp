// Two programs that write at the same time: both are kept, or one is told why not.

#include <sqlite3.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <chrono>
#include <future>
#include <thread>

#include "scenes.hpp"

using namespace shearpin::test;

namespace {

const std::vector<std::string> kWriting{"rig add x",
                                        "part set belt --price 3",
                                        "fail fridge-fuse --left-dead",
                                        "fit lamps/1 --from outside",
                                        "renew lamps --from outside",
                                        "use fuse-15 1",
                                        "lose fuse-15 1",
                                        "scrap fuse-15 1 --cause spoiled",
                                        "test fridge-fuse pass",
                                        "stay 1",
                                        "condition add heat --from 2026-01-01",
                                        "undo",
                                        "order belt 1",
                                        "receive belt 1 --into locker",
                                        "move fuse-15 1 --from shed --to locker",
                                        "count fuse-15 60 --in locker",
                                        "policy set target-degraded 0.9",
                                        "meter read km 63000",
                                        "part substitute fuse-10 --for fuse-15",
                                        "trip leg june --from 2030-06-04 --to 2030-06-06",
                                        "trip stop june Ford --on 2030-06-02 --parcels",
                                        "import parts.csv"};

class Camper {
 public:
  Camper() {
    make_camper(box);
    box.ok("trip add june --from 2030-06-01 --to 2030-06-03");
    box.write("parts.csv", "key,class,name\nhose,hose-washer,Hose washer\n");
    whole_ = read_file(box.ledger());
  }
  void put_back() const { box.write("data/shearpin/ledger.db", whole_); }

  // Both started while a third program holds the file, so that both have read the same when it
  // lets go.
  std::pair<Ran, Ran> together(const std::string& one, const std::string& other) const {
    sqlite3* lock = nullptr;
    REQUIRE(sqlite3_open(box.ledger().c_str(), &lock) == SQLITE_OK);
    REQUIRE(sqlite3_exec(lock, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr) == SQLITE_OK);
    auto first = std::async(std::launch::async, [&] { return box(one); });
    auto second = std::async(std::launch::async, [&] { return box(other); });
    std::this_thread::sleep_for(std::chrono::milliseconds(150));
    sqlite3_exec(lock, "ROLLBACK", nullptr, nullptr, nullptr);
    sqlite3_close(lock);
    return {first.get(), second.get()};
  }

  // What the ledger holds, apart from times and the numbers of entries.
  std::string state() const {
    std::string text =
        box("trip show june --format json").out + box.ok("policy show --format json");
    box.ok("export --into state");
    std::vector<std::filesystem::path> files{std::filesystem::directory_iterator(box.path("state")),
                                             {}};
    std::sort(files.begin(), files.end());
    for (const auto& file : files) {
      text += read_file(file);
    }
    std::filesystem::remove_all(box.path("state"));
    return text;
  }

  std::string state_after(const std::string& one, const std::string& other) const {
    put_back();
    const int code = box(one).code * 100 + box(other).code;
    return std::to_string(code) + state();
  }

  Sandbox box;

 private:
  std::string whole_;
};

}  // namespace

TEST_CASE("Two legs told at once are both kept, and so are two counts") {
  const Camper camper;
  const auto [one, other] = camper.together("trip leg june --from 2030-06-04 --to 2030-06-05",
                                            "trip leg june --from 2030-06-06 --to 2030-06-07");
  CHECK(one.code == 0);
  CHECK(other.code == 0);
  CHECK(camper.box.json("trip show june").dump().find("2030-06-05") != std::string::npos);
  CHECK(camper.box.json("trip show june").dump().find("2030-06-07") != std::string::npos);

  const auto [count, again] =
      camper.together("count fuse-15 60 --in locker", "count fuse-15 60 --in locker");
  CHECK(count.code == 0);
  CHECK(again.code == 0);
  CHECK(
      camper.box.number("SELECT sum(quantity) FROM balance WHERE kind = 'bin' AND place = (SELECT "
                        "id FROM bin WHERE key = 'locker') AND lot IN (SELECT lot.id FROM lot JOIN "
                        "part ON part.id = lot.part WHERE part.key = 'fuse-15')") == 60);
}

TEST_CASE("Any two writing commands at once end as one after the other") {
  const Camper camper;
  for (std::size_t i = 0; i < kWriting.size(); ++i) {
    for (std::size_t k = i; k < kWriting.size(); ++k) {
      const auto& one = kWriting[i];
      const auto& other = kWriting[k];
      INFO(one << " and " << other);
      camper.put_back();
      const auto [first, second] = camper.together(one, other);
      INFO(first.err << second.err);
      CHECK(first.code != 1);
      CHECK(second.code != 1);
      const std::string state = camper.state();
      const auto ended_as = [&](const Ran& a, const Ran& b, const std::string& sequence) {
        return std::to_string(a.code * 100 + b.code) + state == sequence;
      };
      CHECK((ended_as(first, second, camper.state_after(one, other)) ||
             ended_as(second, first, camper.state_after(other, one))));
    }
  }
  CHECK(camper.box("verify").code == 0);
}
