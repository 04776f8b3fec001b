#include "report/answers.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "sample.hpp"

using namespace shearpin;
using namespace shearpin::report;
using namespace shearpin::report::sample;
using nlohmann::json;

TEST_CASE("reorder says how many, in packs, from whom, by when, at what cost and why") {
  const std::string text = reorder_text(reorder());
  check_lines(text);
  CHECK(says(text, "Order now"));
  CHECK(says(text, "fuse-15a: Blade fuse 15 A 5 1 of 5 2026-06-11 2.00"));
  CHECK(says(text, "from North Post Parts: usually 6 days, plan 16 days"));
  CHECK(says(text, "3 on hand, 1 owed; order at 3, up to 4"));
  CHECK(says(text, "because: cheap beside a day without"));
  CHECK(says(text, "To order costs 2.00 where prices are known."));
  CHECK(says(text, "Next, once ordered: `shearpin order fuse-15a 5 --supplier north-post`."));
}

TEST_CASE("reorder lists what is on its way, and counts what needs nothing") {
  const std::string text = reorder_text(reorder());
  CHECK(says(text, "Already on order, and enough"));
  CHECK(says(text, "filter: Air filter 2 1 1 2"));
  CHECK(says(text, "1 other part needs nothing now."));
}

TEST_CASE("reorder with nothing to order says so") {
  auto answer = reorder();
  answer.lines.erase(answer.lines.begin());
  const std::string text = reorder_text(answer);
  check_lines(text);
  CHECK(says(text, "Nothing to order now."));
  CHECK_FALSE(says(text, "To order costs"));
  CHECK(says(text, "1 part needs nothing now."));
  CHECK(says(text, "Next: `shearpin carry --days 14`"));
}

TEST_CASE("reorder of an empty ledger says how to begin") {
  advice::ReorderAnswer answer;
  answer.as_of = day();
  const std::string text = reorder_text(answer);
  check_lines(text);
  CHECK(says(text, "nothing to order"));
  CHECK(says(text, "Next: `shearpin part add`"));
}

TEST_CASE("a supplier and a cost nobody named are said to be unknown") {
  auto answer = reorder();
  auto& line = answer.lines.front();
  line.supplier.clear();
  line.supplier_name.clear();
  line.cost.reset();
  line.pack = 1;
  answer.unpriced = {"fuse-15a"};
  const std::string text = reorder_text(answer);
  check_lines(text);
  CHECK(says(text, "no supplier named; plan 16 days"));
  CHECK(says(text, "not known"));
  CHECK(says(text, "singly"));
  CHECK(says(text, "Without a known price: fuse-15a."));
  CHECK(says(text, "--supplier SUPPLIER"));
}

TEST_CASE("reorder keeps within 80 columns whatever the names hold") {
  auto answer = reorder();
  answer.window = no_carry().window;
  for (auto& line : answer.lines) {
    line.part = std::string(40, 'k');
    line.name = line.supplier_name = line.reason = long_name();
    line.on_hand = line.order_pieces = 1'000'000;
    line.cost = Money{100'000'000'000};
  }
  check_lines(reorder_text(answer, {{"a", long_name()}}));
}

TEST_CASE("the JSON of reorder has its documented keys") {
  const json read = json::parse(reorder_json(reorder()));
  CHECK(read.at("schema") == 1);
  CHECK(read.at("as_of") == "2026-05-25");
  CHECK(read.at("window").is_null());
  CHECK(read.at("review_days") == 30);
  CHECK(read.at("cost") == 2.0);
  const json& first = read.at("parts").at(0);
  CHECK(first.at("order_pieces") == 5);
  CHECK(first.at("order_packs") == 1);
  CHECK(first.at("arrives_by") == "2026-06-11");
  CHECK(first.at("stock_position") == 2);
  CHECK(first.at("reorder_point") == 3);
  CHECK(first.at("level") == 4);
  CHECK(first.at("lead_planning_days") == 16.2);
  const json& second = read.at("parts").at(1);
  CHECK(second.at("arrives_by").is_null());
  CHECK(second.at("cost").is_null());
  CHECK(second.at("supplier").is_null());
}

TEST_CASE("the CSV of reorder leaves unknown values empty") {
  const auto lines = lines_of(reorder_csv(reorder()));
  REQUIRE(lines.size() == 4);
  CHECK(lines[0].rfind("part,name,severity,order_pieces,order_packs,pack,supplier,arrives_by,cost",
                       0) == 0);
  CHECK(lines[1].rfind("fuse-15a,Blade fuse 15 A,stranded,5,1,5,north-post,2026-06-11,2.00,", 0) ==
        0);
  CHECK(lines[2].rfind("filter,Air filter,degraded,0,0,1,,,,1,2,", 0) == 0);
}
