// docs/trip-by-hand.md: its column "tool" is what the program prints, its column "by hand" is
// worked out here anew from what the ledger and the plan hold, and both agree with a fine
// integration of the model that shares nothing with the program's.

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <map>
#include <sstream>

#include "scenes.hpp"

using namespace shearpin::test;

namespace {

using Row = std::vector<std::string>;

/// Tables of the page by the first word of their heads, rows alone; of one head all in a row.
std::map<std::string, std::vector<Row>> tables_of_page() {
  std::istringstream page(read_file(std::string(SHEARPIN_SOURCE_DIR) + "/docs/trip-by-hand.md"));
  std::map<std::string, std::vector<Row>> tables;
  std::string head;
  for (std::string line; std::getline(page, line);) {
    if (line.rfind("| ", 0) != 0) {
      head = line.rfind("|-", 0) == 0 ? head : "";
      continue;
    }
    Row row;
    for (std::size_t at = 2; at < line.size();) {
      const auto end = line.find(" |", at);
      REQUIRE(end != std::string::npos);
      row.push_back(line.substr(at, end - at));
      at = end + 3;
    }
    if (head.empty()) {
      head = row.front();
    } else {
      tables[head].push_back(row);
    }
  }
  return tables;
}

/// The number written with as many decimals as `text` has is `text`.
bool written_as(double value, const std::string& text) {
  const auto point = text.find('.');
  const auto decimals = point == std::string::npos ? 0 : text.size() - point - 1;
  const double half = 0.5 * std::pow(10.0, -static_cast<double>(decimals));
  return std::fabs(std::stod(text) - value) <= half * (1 + 1e-6);
}

bool is_day(const std::string& text) { return text.size() == 10 && text[4] == '-'; }

/// What the three commands of the page print.
struct Answers {
  Json explain, rate, reorder, trip;
};

Answers ask(const Sandbox& box) {
  return {box.json("explain p42 --trip marrow-2026 --as-of 2026-05-25"),
          box.json("rate p42 --as-of 2026-06-08"),
          box.json("reorder p42 --trip marrow-2026 --as-of 2026-05-25"),
          box.json("trip show marrow-2026")};
}

/// `explain carry.trip.receipts.0.day`: a value in an answer.
const Json& value_at(const Answers& answers, const std::string& where) {
  const auto blank = where.find(' ');
  const std::string command = where.substr(0, blank);
  const Json* at = command == "explain" ? &answers.explain
                   : command == "rate"  ? &answers.rate
                                        : &answers.reorder;
  std::istringstream path(where.substr(blank + 1));
  for (std::string key; std::getline(path, key, '.');) {
    at = at->is_array() ? &at->at(std::stoul(key)) : &at->at(key);
  }
  return *at;
}

/// The plug of the page as the hand sees it.
class Hand {
 public:
  explicit Hand(const Answers& answers) : answers_(answers) {
    const Json& rate = answers.explain.at("rate");
    for (const auto& record : rate.at("records")) {
      lives.push_back(record.at("exit").get<double>());
    }
    const Json& belief = rate.at("belief");
    median = belief.at("life_median");
    shape = belief.at("shape_median");
    width = std::log(belief.at("life_high").get<double>() / belief.at("life_low").get<double>()) /
            2.563;  // of a bell, from its 10 % to its 90 % point in standard deviations
    departure_age = answers.rate.at("records").at(1).at("exit");
    read_legs();
    for (int k = -1; k <= 5; ++k) {
      Life life;
      life.s = median * std::exp(k * width / 2);
      life.belief = std::exp(-k * k / 8.0);
      for (const double age : lives) {
        life.exponent += std::pow(age / life.s, shape);
      }
      life.weight = life.belief * std::exp(-life.exponent);
      points.push_back(life);
    }
    double sum = 0;
    for (const auto& life : points) {
      sum += life.weight;
    }
    for (auto& life : points) {
      life.product = life.weight;
      life.weight /= sum;
    }
  }

  struct Life {
    double s = 0, belief = 0, exponent = 0, product = 0, weight = 0;
  };
  struct Leg {
    int days = 0, until = 0;
    double planned = 0, count = 1, counted = 0;
  };

  /// Chance that the plug now fitted fails between x and y hours after the departure.
  double fails(const Life& life, double x, double y) const {
    const auto alive = [&](double age) {
      return std::exp(std::pow(lives[1] / life.s, shape) - std::pow(age / life.s, shape));
    };
    return alive(departure_age + x) - alive(departure_age + y);
  }
  double fails(double x, double y) const {
    return mean([&](const Life& life) { return fails(life, x, y); });
  }
  double mean(const std::function<double(const Life&)>& of) const {
    double sum = 0;
    for (const auto& life : points) {
      sum += life.weight * of(life);
    }
    return sum;
  }
  /// Hours that count up to the evening of a day.
  double hours(int day) const {
    double sum = 0;
    int from = 0;
    for (const auto& leg : legs) {
      sum += leg.counted * std::clamp(day - from, 0, leg.days) / leg.days;
      from = leg.until;
    }
    return sum;
  }
  double fails_in_days(int from, int to) const { return fails(hours(from), hours(to)); }

  std::vector<double> lives;
  double median = 0, shape = 0, width = 0, departure_age = 0;
  std::vector<Leg> legs;
  std::vector<Life> points;

 private:
  void read_legs() {
    const auto words = answers_.explain.at("conditions").get<std::vector<std::string>>();
    const auto factor = [&](const std::string& name) {
      for (const auto& word : words) {
        if (word.rfind(name + " for", 0) == 0) {
          return std::stod(word.substr(word.find("counts ") + 7));
        }
      }
      return 0.0;
    };
    for (const auto& planned : answers_.trip.at("legs")) {
      Leg leg;
      const auto day = [&planned](const char* key) {
        return std::stoi(planned.at(key).get<std::string>().substr(8)) +
               (planned.at(key).get<std::string>().substr(5, 2) == "07" ? 30 : 0);
      };
      leg.days = day("to") - day("from") + 1;
      leg.until = day("to") - 7;  // the departure is on 8 June
      leg.planned = planned.at("use").at("generator-h");
      for (const auto& condition : planned.at("conditions")) {
        leg.count *= factor(condition);
      }
      leg.counted = leg.planned * leg.count;
      legs.push_back(leg);
    }
  }

  const Answers& answers_;
};

/// The column "by hand" of the steps, and the days of it as they must be.
std::map<std::string, double> by_hand(const Hand& hand, const Answers& answers) {
  std::map<std::string, double> found;
  found["hours that count, all legs"] = hand.hours(38);
  found["planned lead time, days"] = answers.explain.at("lead").at("planning_days");
  found["first record, hours"] = hand.lives[0];
  found["second record, hours"] = hand.lives[1];
  found["width of the belief u"] = hand.width;
  const double middle = hand.mean([](const auto& life) { return std::log(life.s); });
  const double spread =
      hand.mean([&](const auto& life) { return std::pow(std::log(life.s) - middle, 2); });
  found["middle of the life"] = std::exp(middle);
  found["learnt from the record"] = 1 - spread / (hand.width * hand.width);
  found["age at the departure, hours"] = hand.departure_age;
  found["none wanted in the first interval"] = 1 - hand.fails_in_days(0, 3);
  found["one wanted in the second"] = hand.fails_in_days(3, 17);
  found["one wanted in the third"] = hand.fails_in_days(15, 38);
  found["none fails on the whole trip"] = 1 - hand.fails_in_days(0, 38);
  const auto above = [&](std::size_t interval, std::size_t n) {
    double sum = 0;
    const auto pmf = answers.explain.at("carry").at("trip").at("interval_demand").at(interval);
    for (std::size_t k = n + 1; k < pmf.size(); ++k) {
      sum += pmf.at(k).get<double>();
    }
    return sum;
  };
  found["n = 0, not below"] = 1 - above(1, 0) - above(2, 0);
  found["n = 0, not above"] = 1 - std::max(above(1, 0), above(2, 0));
  found["n = 1, not below"] = 1 - above(1, 1) - above(2, 1);
  found["n = 1, not above"] = 1 - std::max(above(1, 1), above(2, 1));
  found["chance wanted"] = 0.7;  // of a nuisance: commands "policy show", model of the method
  found["level by the target"] = 0;
  double days = 0;
  const std::array<std::array<int, 3>, 5> stretches{
      {{3, 3, 12}, {3, 12, 17}, {15, 17, 26}, {15, 26, 31}, {15, 31, 38}}};
  for (const auto& [since, from, to] : stretches) {
    days += (to - from) * (hand.fails_in_days(since, from) + hand.fails_in_days(since, to)) / 2;
  }
  found["days without, n = 0"] = days;
  found["cost of a day without"] = 1;
  found["holding one plug"] = 5.00 * 0.6 * 38 / 365.25 + 0.045 * 2.00 * 38 / 30.4375;
  found["in all, n = 0"] = days;
  found["level by worth"] = 1;
  found["carry, the larger of the two"] = 1;
  found["aboard"] = 0;
  found["to buy"] = 1;
  return found;
}

}  // namespace

TEST_CASE("The trip by hand: what the page says the tool prints, it prints") {
  const Sandbox box;
  make_demo(box);
  const Answers answers = ask(box);
  const auto rows = tables_of_page().at("step");
  CHECK(rows.size() > 40);
  std::size_t compared = 0;
  for (const auto& row : rows) {
    INFO(row.at(0) << ": " << row.at(2) << " at " << row.at(3));
    REQUIRE(row.size() == 4);
    if (row[3] == "-") {
      CHECK(row[2] == "-");
      continue;
    }
    const Json& value = value_at(answers, row[3]);
    ++compared;
    if (is_day(row[2])) {
      CHECK(value == row[2]);
    } else {
      CHECK(written_as(value.get<double>(), row[2]));
    }
  }
  CHECK(compared >= 36);
}

TEST_CASE("The trip by hand: the hand's own figures, worked out anew") {
  const Sandbox box;
  make_demo(box);
  const Answers answers = ask(box);
  const Hand hand(answers);
  const auto tables = tables_of_page();
  const auto expected = by_hand(hand, answers);
  std::size_t compared = 0;
  for (const auto& row : tables.at("step")) {
    INFO(row.at(0) << ": " << row.at(1));
    if (row[1] == "-") {
      CHECK(expected.count(row[0]) == 0);
    } else if (is_day(row[1])) {
      CHECK(row[1] == row[2]);
    } else {
      REQUIRE(expected.count(row[0]) == 1);
      CHECK(written_as(expected.at(row[0]), row[1]));
      ++compared;
    }
  }
  CHECK(compared == expected.size());

  const auto& legs = tables.at("leg");
  REQUIRE(legs.size() == hand.legs.size());
  const Json& by_leg = answers.explain.at("carry").at("trip").at("exposure_by_leg");
  for (std::size_t i = 0; i < legs.size(); ++i) {
    INFO("leg " << legs[i].at(0));
    CHECK(legs[i].at(1) == std::to_string(hand.legs[i].days));
    CHECK(legs[i].at(2) == std::to_string(hand.legs[i].until));
    CHECK(written_as(hand.legs[i].planned, legs[i].at(3)));
    CHECK(written_as(hand.legs[i].count, legs[i].at(4)));
    CHECK(written_as(hand.legs[i].counted, legs[i].at(5)));
    CHECK(by_leg.at(i).get<double>() == Approx(hand.legs[i].counted).margin(1e-9));
  }

  const auto& lives = tables.at("life s");
  REQUIRE(lives.size() == hand.points.size());
  for (std::size_t i = 0; i < lives.size(); ++i) {
    const auto& life = hand.points[i];
    INFO("life " << lives[i].at(0));
    CHECK(written_as(life.s, lives[i].at(0)));
    CHECK(written_as(life.belief, lives[i].at(1)));
    CHECK(written_as(life.exponent, lives[i].at(2)));
    CHECK(written_as(life.product, lives[i].at(3)));
    CHECK(written_as(life.weight, lives[i].at(4)));
    CHECK(written_as(hand.fails(life, hand.hours(3), hand.hours(17)), lives[i].at(5)));
    CHECK(written_as(hand.fails(life, hand.hours(15), hand.hours(38)), lives[i].at(6)));
  }

  for (const auto& row : tables.at("from day")) {
    INFO("from day " << row.at(0));
    const int from = std::stoi(row.at(0)), to = std::stoi(row.at(1));
    const int since = from < 17 ? 3 : 15;
    const double start = hand.fails_in_days(since, from), end = hand.fails_in_days(since, to);
    CHECK(written_as(start, row.at(2)));
    CHECK(written_as(end, row.at(3)));
    CHECK(written_as((to - from) * (start + end) / 2, row.at(4)));
  }
}

namespace {

/// The model on a fine grid of pairs (s, b) and of hours: renewal density by the trapezoid rule.
class FineModel {
 public:
  explicit FineModel(const Hand& hand) : hand_(hand) {
    constexpr int kScales = 120, kShapes = 60;
    for (int i = 0; i < kScales; ++i) {
      const double z = -3 + 9 * (i + 0.5) / kScales;
      for (int j = 0; j < kShapes; ++j) {
        const double y = -4.5 + 9 * (j + 0.5) / kShapes;
        Node node{hand.median * std::exp(z * hand.width), hand.shape * std::exp(0.35 * y), 0};
        double exponent = (z * z + y * y) / 2;
        for (const double age : hand.lives) {
          exponent += std::pow(age / node.s, node.b);
        }
        node.weight = std::exp(-exponent);
        sum_ += node.weight;
        if (node.weight > 1e-7) {
          nodes_.push_back(node);
        }
      }
    }
  }

  /// P(none fails) in (x, y] hours after the departure, with what fails before put right.
  double none(double x, double y) const {
    double all = 0;
    for (const auto& node : nodes_) {
      all += node.weight / sum_ * none_under(node, x, y);
    }
    return all;
  }
  double share_learnt() const {
    double mean = 0, square = 0;
    for (const auto& node : nodes_) {
      mean += node.weight / sum_ * std::log(node.s);
      square += node.weight / sum_ * std::pow(std::log(node.s), 2);
    }
    return 1 - (square - mean * mean) / (hand_.width * hand_.width);
  }

 private:
  struct Node {
    double s, b, weight;
  };

  // No failure of the plug now fitted until y; or one at u before x, density m(u), and no failure
  // of the one then put in until y.
  double none_under(const Node& node, double x, double y) const {
    const double now = hand_.lives[1], start = hand_.departure_age - now;
    const auto hazard = [&](double age) { return std::pow(age / node.s, node.b); };
    const double first = std::exp(hazard(now) - hazard(now + start + y));
    constexpr int kSteps = 40;
    const double step = (start + x) / kSteps;
    std::array<double, kSteps + 1> renewals{};
    for (int i = 0; i <= kSteps; ++i) {
      const double at = i * step;
      double m = density(node, now + at) * std::exp(hazard(now) - hazard(now + at));
      for (int j = 0; j < i; ++j) {
        const double age = at - j * step;
        m += (j == 0 ? 0.5 : 1.0) * step * renewals[static_cast<std::size_t>(j)] *
             density(node, age) * std::exp(-hazard(age));
      }
      renewals[static_cast<std::size_t>(i)] = m;
    }
    double later = 0;
    for (int i = 0; i <= kSteps; ++i) {
      later += (i == 0 || i == kSteps ? 0.5 : 1.0) * step * renewals[static_cast<std::size_t>(i)] *
               std::exp(-hazard(start + y - i * step));
    }
    return first + later;
  }
  static double density(const Node& node, double age) {
    return node.b / node.s * std::pow(age / node.s, node.b - 1);
  }

  const Hand& hand_;
  double sum_ = 0;
  std::vector<Node> nodes_;
};

}  // namespace

TEST_CASE("The trip by hand: the tool agrees with a fine integration made here") {
  const Sandbox box;
  make_demo(box);
  const Answers answers = ask(box);
  const Hand hand(answers);
  const FineModel model(hand);
  const Json& carry = answers.explain.at("carry");
  const auto none_wanted = [&](std::size_t interval) {
    return carry.at("trip").at("interval_demand").at(interval).at(0).get<double>();
  };
  CHECK(none_wanted(0) == Approx(1).margin(1e-9));
  CHECK(none_wanted(1) == Approx(model.none(hand.hours(3), hand.hours(17))).margin(1e-4));
  CHECK(none_wanted(2) == Approx(model.none(hand.hours(15), hand.hours(38))).margin(1e-4));
  const double none = model.none(0, hand.hours(38));
  CHECK(carry.at("demand").at(0).get<double>() == Approx(none).margin(1e-4));
  // Without a plug aboard no shortage is no failure at all: what the histories must come to.
  CHECK(carry.at("chance_no_shortage_aboard").get<double>() ==
        Approx(none).margin(4 * carry.at("trip").at("error_aboard").get<double>()));
  CHECK(answers.explain.at("rate").at("share_learnt").get<double>() ==
        Approx(model.share_learnt()).margin(1e-3));
  double days = 0;
  for (int day = 3; day < 38; ++day) {  // a trapezoid a day
    const double since = hand.hours(day < 17 ? 3 : 15);
    days += 1 - (model.none(since, hand.hours(day)) + model.none(since, hand.hours(day + 1))) / 2;
  }
  CHECK(answers.explain.at("worth").at(0).at("days_without").get<double>() ==
        Approx(days).margin(0.005));
}
