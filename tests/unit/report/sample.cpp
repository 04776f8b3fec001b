#include "sample.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "base/text.hpp"

namespace shearpin::report::sample {
namespace {

/// P(k) of 0.5, 0.25, ... with the last two alike, so that they add up to 1 exactly.
std::vector<double> halving(int entries) {
  std::vector<double> chances;
  double rest = 1;
  for (int k = 0; k + 1 < entries; ++k) {
    rest /= 2;
    chances.push_back(rest);
  }
  chances.push_back(rest);
  return chances;
}

std::string numbered(const std::string& word, int number) {
  return word + "-" + std::to_string(number);
}

}  // namespace

Date day() { return parse_date("2026-05-25", Date{}); }

std::string long_name() {
  return "暖房の点火器 gas-free igniter with caf\u0065\u0301-coloured lead, unbreakablewordof"
         "fortycolumnsandmoreallinone";
}

advice::CarryLine fuse() {
  advice::CarryLine line;
  line.part = "fuse-15a";
  line.name = "Blade fuse 15 A";
  line.class_key = "blade-fuse";
  line.severity = domain::Severity::stranded;
  line.positions = {"l05", "l21"};
  line.stock.aboard = 1;
  line.stock.ashore = 2;
  line.stock.on_order = 5;
  line.stock.expired = 1;
  line.stock.bins = {{"cab-box", 1, true}, {"shed", 2, false}};
  line.stock.first_end = parse_date("2026-05-30", day());
  line.demand.total = halving(8);
  line.demand.mean = 0.9921875;
  line.demand.mean_fitted = 0.9921875;
  line.demand.units = 2;
  line.target = 0.9;
  line.level_target = 3;
  line.level_worth = 4;
  line.carry = 4;
  line.decided_by = advice::DecidedBy::worth;
  line.chance_aboard = 0.75;
  line.chance_carry = 0.96875;
  line.days_without_aboard = 1.25;
  line.days_without_carry = 0.125;
  line.carry_at_median = 1;
  line.share_learnt = 0.45;
  line.failures = 3;
  line.price = Money{40};
  line.mass_g = 1.5;
  line.reason = "cheap beside a day without";
  line.safety_note = "fuses";
  return line;
}

advice::CarryLine pump() {
  advice::CarryLine line;
  line.part = "pump-12v";
  line.name = "Water pump";
  line.severity = domain::Severity::uninhabitable;
  line.positions = {"w01"};
  line.stock.aboard = 1;
  line.stock.bins = {{"locker-2", 1, true}};
  line.demand.total = {0.97, 0.03};
  line.demand.mean = 0.03;
  line.demand.units = 1;
  line.target = 0.97;
  line.level_target = line.carry = line.carry_at_median = 1;
  line.chance_aboard = line.chance_carry = 1;
  line.reason = "97 % sure, uninhabitable";
  return line;
}

advice::CarryLine axle() {
  advice::CarryLine line;
  line.part = "axle";
  line.name = "Trailer axle";
  line.demand.total = {0.9996, 0.0004};
  line.chance_aboard = line.chance_carry = 0.9996;
  line.target = 0.9;
  line.price = Money{90'000};
  line.reason = "seldom needed, not worth its place";
  return line;
}

advice::CarryAnswer carry() {
  advice::CarryAnswer answer = no_carry();
  answer.lines = {fuse(), pump(), axle()};
  answer.readiness_aboard = 0.72;
  answer.readiness_carry = 0.96;
  answer.mass_aboard_g = 2'900;
  answer.mass_carry_g = 2'904.5;
  answer.volume_aboard_ml = 4'000;
  answer.volume_carry_ml = 4'001;
  answer.cost_to_buy = Money{120};
  answer.unpriced = {"pump-12v"};
  answer.unweighed = {"pump-12v", "axle"};
  answer.notes = {"1 piece of fuse-15a is out of date"};
  return answer;
}

advice::CarryAnswer no_carry() {
  advice::CarryAnswer answer;
  answer.as_of = day();
  answer.window.start = day();
  answer.window.days = 14;
  answer.window.conditions = {{"dust", 5}, {"frost", std::nullopt}};
  return answer;
}

advice::ReorderLine fuse_order() {
  advice::ReorderLine line;
  line.part = "fuse-15a";
  line.name = "Blade fuse 15 A";
  line.severity = domain::Severity::stranded;
  line.on_hand = 3;
  line.owed = 1;
  line.position = 2;
  line.level = 4;
  line.reorder_point = 3;
  line.decided_by = advice::DecidedBy::worth;
  line.target = 0.99;
  line.chance_now = 0.9375;
  line.order_pieces = 5;
  line.order_packs = 1;
  line.pack = 5;
  line.supplier = "north-post";
  line.supplier_name = "North Post Parts";
  line.lead_median = 6;
  line.lead_planning = 16.2;
  line.arrives_by = parse_date("2026-06-11", day());
  line.cost = Money{200};
  line.reason = "cheap beside a day without";
  line.safety_note = "fuses";
  return line;
}

advice::ReorderLine filter_coming() {
  advice::ReorderLine line;
  line.part = "filter";
  line.name = "Air filter";
  line.on_hand = 1;
  line.on_order = 2;
  line.position = 3;
  line.level = 2;
  line.reorder_point = 1;
  line.target = 0.9;
  return line;
}

advice::ReorderAnswer reorder() {
  advice::ReorderAnswer answer;
  answer.as_of = day();
  answer.review_days = 30;
  answer.cost = Money{200};
  advice::ReorderLine quiet;
  quiet.part = "hose";
  quiet.on_hand = quiet.position = 2;
  quiet.level = 1;
  answer.lines = {fuse_order(), filter_coming(), quiet};
  return answer;
}

advice::NowAnswer now() {
  advice::NowAnswer answer;
  answer.as_of = day();
  advice::DownLine down;
  down.position = "heater-igniter";
  down.name = "Heater igniter";
  down.rig = "truck";
  down.unit = 2;
  down.state = domain::PlaceState::workaround;
  down.since = parse_date("2026-05-20", day());
  down.severity = domain::Severity::uninhabitable;
  down.getting_by = "electric blanket on shore power";
  down.part = "igniter";
  down.aboard = 1;
  down.safety_note = "fuel-fired-heating";
  answer.down = {down};
  advice::DueLine due;
  due.what = "co-alarm";
  due.name = "Carbon monoxide alarm";
  due.due = parse_date("2026-05-22", day());
  due.days_over = 3;
  due.detail = "last passed 2026-02-21";
  due.safety_note = "alarms";
  answer.due = {due};
  answer.reorder = {fuse_order()};
  advice::OpenOrderLine order;
  order.number = "o48";
  order.part = "filter";
  order.name = "Air filter";
  order.supplier = "north-post";
  order.quantity = 2;
  order.ordered = parse_date("2026-05-18", day());
  order.chance_in_week = 0.61;
  order.days_waited = 7;
  answer.orders = {order};
  return answer;
}

advice::RateAnswer rate() {
  advice::RateAnswer answer;
  answer.as_of = day();
  answer.part = "fuse-15a";
  answer.name = "Blade fuse 15 A";
  answer.class_key = "blade-fuse";
  answer.unit = "days";
  answer.belief_source = "common practice, no source";
  answer.prior = answer.class_prior = {1095, 182, 6574, 1.2, 0.35};
  answer.life.scale = {600, 1400, 3300};
  answer.life.mtbf = {550, 1300, 3100};
  answer.life.shape = {0.9, 1.15, 1.5};
  answer.life.share_learnt = 0.45;
  answer.life.failures = 3;
  answer.life.exposure = 4320;
  answer.constant_rate = {3 / 4320.0, 0.8177 / 4320, 7.7537 / 4320};
  answer.prior_p = 0.012;
  for (int i = 1; i <= 20; ++i) {
    advice::RecordLine line;
    line.position = numbered("lamp", i);
    line.kind = i % 4 == 0 ? "failed" : "alive";
    line.exit = 200 + i;
    answer.records.push_back(line);
  }
  answer.records.back().kind = "interval";
  answer.records.back().lower = 100;
  answer.records.back().remark = "found on a test";
  return answer;
}

advice::ExplainAnswer explain() {
  advice::ExplainAnswer answer;
  answer.rate = rate();
  answer.carry = fuse();
  answer.window = no_carry().window;
  answer.reorder = fuse_order();
  answer.lead.supplier_key = "north-post";
  answer.lead.prior = {6, 3, 14};
  answer.lead.completed = {4, 6, 9};
  answer.lead.open = {2};
  answer.lead.planning_days = 16.2;
  answer.lead.mean_days = 7.1;
  answer.lead_demand = halving(5);
  answer.protection_demand = halving(10);
  for (int n = 0; n < 8; ++n) {
    advice::WorthRow row;
    row.n = n;
    row.chance = 0.5 + 0.06 * n;
    row.days_without = 4.0 / (1 << n);
    row.cost_of_days = 10 * row.days_without;
    row.cost_of_holding = 1.5 * n;
    answer.worth.push_back(row);
  }
  answer.cost_of_day = 150;
  answer.holding_of_one = 0.004;
  answer.exposure_ahead = 28;
  answer.review_days = 30;
  answer.conditions = {"dust: counts 1.5 times for 5 days"};
  return answer;
}

advice::StockReport report(int parts) {
  advice::StockReport full;
  full.title = "Pre-trip stock report";
  full.as_of = day();
  full.rigs = {"Truck", "Trailer"};
  full.use = {{"truck-km", "km", 1200, true}, {"heater-h", "h", 84, false}};
  full.carry = no_carry();
  full.reorder = {};
  full.reorder.as_of = full.now.as_of = day();
  for (int i = 1; i <= parts; ++i) {
    for (advice::CarryLine line : {fuse(), pump(), axle()}) {
      line.part = numbered(line.part, i);
      line.name += i % 3 == 0 ? " " + long_name() : "";
      line.demand.mean_consumed = 0.25;
      full.carry.lines.push_back(line);
      full.packing.push_back({numbered("bin", i % 4), "A bin", line.part, line.name, "b7", i,
                              i % 4 != 3, "load this"});
      full.assumptions.push_back(
          {line.part, line.name, "days", 182, 1095, 6574, 1, 4320, 0.2, i % 5 == 0});
    }
    advice::ReorderLine order = fuse_order();
    order.part = numbered(order.part, i);
    full.reorder.lines.push_back(order);
    advice::ExposureLine bare;
    bare.position = numbered("place", i);
    bare.name = i % 2 == 0 ? long_name() : "Place";
    bare.part = "fuse-15a";
    bare.severity = domain::Severity::stranded;
    bare.chance_fails = 0.02;
    full.uncovered.push_back(bare);
    bare.workaround = "walk";
    full.worked_round.push_back(bare);
    const advice::NowAnswer today = now();
    full.now.down.push_back(today.down.front());
    full.now.due.push_back(today.due.front());
    full.now.orders.push_back(today.orders.front());
    full.cautions.emplace_back(numbered("note", i),
                               "Keep clear of what is hot, sharp or live. " + long_name());
  }
  return full;
}

advice::TripView trip() {
  const auto date = [](const char* text) { return parse_date(text, day()); };
  advice::TripView trip;
  trip.key = "high-loop";
  trip.name = "High loop";
  trip.from = date("2026-06-01");
  trip.to = date("2026-06-20");
  trip.legs = {{date("2026-06-01"), date("2026-06-07"), "Valley road to the ford", true},
               {date("2026-06-08"), date("2026-06-20"), "Over the plateau", false}};
  trip.stops = {{date("2026-06-07"), "Ford", true, "fuel, fuses"},
                {date("2026-06-14"), "Hut", false, ""}};
  trip.orders = {{"fuse-15a", "Blade fuse 15 A", date("2026-05-26"), "Ford", date("2026-06-06")}};
  return trip;
}

advice::Frontier frontier() {
  return {{{0, 0.72, 4.5},
           {1.2, 0.81, 3.0, {{"fuse-15a", "", 0, 1}}},
           {45.2, 0.9, 0.75, {{"pump-12v", "", 0, 1}}},
           {120.5, 0.96, 0.25, {{"igniter", "", 0, 1}}}},
          {{0, 0.72, 4.5},
           {1.5, 0.81, 3.0, {{"fuse-15a", "", 0, 1}}},
           {1400, 0.9, 0.75, {{"pump-12v", "", 0, 1}}}}};
}

std::vector<std::string> lines_of(const std::string& text) {
  REQUIRE_FALSE(text.empty());
  REQUIRE(text.back() == '\n');
  auto lines = split(text, '\n');
  lines.pop_back();
  return lines;
}

void check_lines(const std::string& text) {
  for (std::string line : lines_of(text)) {
    if (!line.empty() && line.front() == '\f') {
      line.erase(0, 1);
    }
    INFO(line);
    CHECK(display_width(line) <= 80);
    CHECK((line.empty() || line.back() != ' '));
    CHECK(std::all_of(line.begin(), line.end(), [](char c) {
      const auto byte = static_cast<unsigned char>(c);
      return byte >= 0x20 && byte != 0x7f;
    }));
  }
}

std::string flat(const std::string& text) {
  std::string flattened;
  for (const char c : text) {
    const bool space = c == ' ' || c == '\n' || c == '\f';
    if (!space) {
      flattened += c;
    } else if (!flattened.empty() && flattened.back() != ' ') {
      flattened += ' ';
    }
  }
  return flattened;
}

bool says(const std::string& text, const std::string& words) {
  return flat(text).find(words) != std::string::npos;
}

}  // namespace shearpin::report::sample
