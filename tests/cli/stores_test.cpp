// Stores: order, receive, move, count.

#include <catch2/catch.hpp>

#include "scenes.hpp"

using namespace shearpin::test;

TEST_CASE("order: what is on its way, from whom, and how long it takes") {
  const Sandbox box;
  make_camper(box);
  const std::string out = box.ok(
      "order belt 1 --supplier post --on 2026-03-01 --to locker --cost 36.50 --promised "
      "2026-03-20");
  CHECK(holds(out, "Ordered: 1 x belt Engine belt on 2026-03-01."));
  CHECK(holds(out, "shearpin receive belt 1"));
  box.ok("order fuse-15 --packs 2 --total 4.00 --number my-7 --on 2026-03-02");
  const Json orders = box.json("now --as-of 2026-03-05").at("orders");
  REQUIRE(orders.size() == 2);
  CHECK(orders.at(0).at("part") == "belt");
  CHECK(orders.at(0).at("supplier") == "post");
  CHECK(orders.at(0).at("pieces_to_come") == 1);
  CHECK(orders.at(1).at("number") == "my-7");
  CHECK(orders.at(1).at("pieces_to_come") == 10);
  box.refused("order belt", 2, {"N"});
  box.refused("order belt 0", 3, {"0"});
  box.refused("order belt 1000001", 3, {"1000001"});
  box.refused("order belt 1 --packs 1", 2, {"--packs"});
  box.refused("order belt 1 --cost 3 --total 3", 2, {"--cost", "--total"});
  box.refused("order belt 1 --supplier nobody-i-know", 3);
  box.refused("order fuse-10 1", 3, {"--supplier"});
  box.refused("order belt 1 --on 2999-01-01", 3, {"2999-01-01"});
}

TEST_CASE(
    "receive: a lot with cost, batch, dates, condition and age, an order is filled in parts") {
  const Sandbox box;
  make_camper(box);
  box.ok("order belt 3 --supplier post --on 2026-03-01 --number b-1");
  const std::string part = box.ok("receive belt 2 --into drawer --on 2026-03-15 --cost 36.50");
  CHECK(holds(part, "1 of order b-1 still to come"));
  box.ok("receive belt 1 --into drawer --on 2026-03-20 --order b-1 --total 36.50");
  CHECK(box.json("now").at("orders").empty());
  box.ok(
      "receive fuse-15 --packs 2 --into drawer --on 2026-03-16 --batch C9 --made 2025-10 --ends "
      "2035-10-01 --condition new");
  box.ok("receive belt 1 --into shed --on 2026-03-21 --condition worn --age 40000 --no-order");
  box.ok("receive belt 1 --into shed --on 2026-03-22 --condition repaired");
  CHECK(book(box, "fuse-15", "drawer") == 10);
  CHECK(book(box, "belt", "shed") == 2);
  CHECK(book(box, "fuse-15", "locker") == 5);
  box.ok("receive fuse-15 1 --on 2026-03-23");  // into the home bin
  CHECK(book(box, "fuse-15", "locker") == 6);
  const std::string stock = box.ok("export stock");
  CHECK(holds(stock, "C9,2025-10-01,2035-10-01,new"));
  CHECK(holds(stock, "worn,40000,"));
  CHECK(holds(stock, "repaired"));
  box.refused("receive belt 1", 2, {"--into"});
  box.refused("receive belt 1 --into drawer --order none-such", 3, {"none-such"});
  box.refused("receive belt 1 --into drawer --condition shiny", 3, {"shiny", "new"});
  box.refused("receive belt 1 --into drawer --made 2027-01-01 --on 2026-03-01", 3);
  box.refused("receive belt 1 --into nowhere-at-all", 3);
  box.refused("receive belt 0 --into drawer", 3);
  CHECK(holds(box.ok("verify"), "The ledger is sound."));
}

TEST_CASE("move: between bins, what is ashore does not help on the road") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(box.ok("move fuse-15 4 --from shed --to locker --on 2026-03-01"),
              "Moved: 4 x fuse-15 Blade fuse 15 A from shed to locker on 2026-03-01."));
  CHECK(book(box, "fuse-15", "locker") == 9);
  CHECK(book(box, "fuse-15", "shed") == 6);
  box.ok("move fuse-15 --packs 1 --from shed --to drawer --on 2026-03-02");
  CHECK(book(box, "fuse-15", "drawer") == 5);
  box.refused("move fuse-15 7 --from shed --to locker --on 2026-03-03", 3, {"1"});
  box.refused("move fuse-15 1 --from shed --to shed --on 2026-03-03", 3);
  box.refused("move fuse-15 1 --from shed", 2, {"--to"});
  box.refused("move fuse-15 1 --to shed", 2, {"--from"});
}

TEST_CASE("count: the difference to the book of that day is posted, with its reason") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(box.ok("count fuse-15 5 --in locker --on 2026-03-01"), "it agrees"));
  CHECK(holds(box.ok("count fuse-15 3 --in locker --on 2026-03-02 --why \"lent two\""),
              "3 (book 5, difference -2)"));
  CHECK(book(box, "fuse-15", "locker") == 3);
  CHECK(holds(box.ok("count fuse-15 4 --on 2026-03-03"), "difference +1"));
  CHECK(holds(box.ok("count fuse-15 0 --in locker --on 2026-03-04"), "difference -4"));
  CHECK(book(box, "fuse-15", "locker") == 0);
  CHECK(holds(box.ok("journal"), "lent two"));
  box.refused("count fuse-15 -1", 3, {"-1"});
  box.refused("count fuse-15 1000001", 3, {"1000001"});
  box.refused("count fuse-15", 2, {"N"});
  box.refused("count belt 1", 2, {"--in"});
  CHECK(holds(box.ok("verify"), "The ledger is sound."));
}

TEST_CASE("A back-dated entry may not take what a later one has used") {
  const Sandbox box;
  make_camper(box);
  box.ok("use fuse-15 5 --from locker --on 2026-06-01");
  box.refused("use fuse-15 1 --from locker --on 2026-03-01", 3);
  CHECK(book(box, "fuse-15", "locker") == 0);
}
