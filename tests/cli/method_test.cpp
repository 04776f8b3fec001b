// The worked example of docs/method.md is what the program prints, block by block and number by
// number, and the arithmetic said to be checked on paper is right.

#include <catch2/catch.hpp>
#include <cmath>
#include <sstream>

#include "sandbox.hpp"

using namespace shearpin::test;

namespace {

struct MethodStep {
  std::string command;
  std::vector<std::string> blocks;   // printed, in this order, with more between them
  std::vector<std::string> figures;  // named in the text after the blocks, in back quotes
};

std::vector<std::string> quoted_in(const std::string& line) {
  std::vector<std::string> found;
  for (auto at = line.find('`'); at != std::string::npos; at = line.find('`', at + 1)) {
    const auto end = line.find('`', at + 1);
    REQUIRE(end != std::string::npos);
    found.push_back(line.substr(at + 1, end - at - 1));
    at = end;
  }
  return found;
}

std::vector<MethodStep> worked_example() {
  std::istringstream method(read_file(std::string(SHEARPIN_SOURCE_DIR) + "/docs/method.md"));
  const std::string prompt = "    $ shearpin ";
  std::vector<MethodStep> steps;
  bool inside = false;
  bool in_block = false;
  for (std::string line; std::getline(method, line);) {
    if (line.rfind("## ", 0) == 0) {
      inside = line == "## One fuse, worked through";
    } else if (inside && line.rfind(prompt, 0) == 0) {
      steps.push_back({line.substr(prompt.size()), {}, {}});
      in_block = false;
    } else if (inside && line.rfind("    ", 0) == 0) {
      if (!in_block) {
        steps.back().blocks.emplace_back();
      }
      steps.back().blocks.back() += line.substr(4) + '\n';
      in_block = true;
    } else if (inside) {
      in_block = false;
      const auto figures = quoted_in(line);
      if (!figures.empty()) {
        REQUIRE_FALSE(steps.empty());
        steps.back().figures.insert(steps.back().figures.end(), figures.begin(), figures.end());
      }
    }
  }
  return steps;
}

}  // namespace

TEST_CASE("The worked example in docs/method.md is a real one") {
  const Sandbox box;
  const auto steps = worked_example();
  REQUIRE(steps.size() == 6);
  std::size_t blocks = 0;
  std::size_t figures = 0;
  for (const auto& step : steps) {
    const std::string out = box.ok(step.command);
    std::size_t from = 0;
    for (const auto& block : step.blocks) {
      INFO(step.command << "\nmust print, after the blocks before it:\n"
                        << block << "\nin\n"
                        << out);
      const auto at = out.find(block, from);
      REQUIRE(at != std::string::npos);
      from = at + block.size();
      ++blocks;
    }
    for (const auto& figure : step.figures) {
      INFO(step.command << " must print " << figure);
      CHECK(holds(out, figure));
      ++figures;
    }
  }
  CHECK(blocks == 7);
  CHECK(figures >= 4);
}

TEST_CASE("What docs/method.md says can be checked on paper is right") {
  const Sandbox box;
  for (const auto& step : worked_example()) {
    if (step.command.rfind("explain", 0) == 0) {
      break;
    }
    box.ok(step.command);
  }
  const Json steps = box.json("explain fuse-15 --days 30 --as-of 2024-01-01");
  const Json& rate = steps.at("rate");
  CHECK(rate.at("exposure") == 424 + 306);
  // Chi-square points of 2 and 4 degrees of freedom: NIST/SEMATECH e-Handbook, table 1.3.6.7.4.
  CHECK(rate.at("constant_rate").at("rate_low").get<double>() ==
        Approx(0.103 / 1460).epsilon(0.005));
  CHECK(rate.at("constant_rate").at("rate_high").get<double>() ==
        Approx(9.488 / 1460).epsilon(0.0005));
  CHECK(std::log(8000.0 / 1000) / 2.563 == Approx(0.811).margin(5e-4));
  const Json& worth = steps.at("worth");
  const auto figure = [&worth](std::size_t n, const char* key) {
    return worth.at(n).at(key).get<double>();
  };
  // A failure leaves half of the stretch on average: the rest is dead.
  CHECK(figure(0, "days_without") ==
        Approx((1 - figure(0, "chance_no_shortage")) * 15).epsilon(0.02));
  CHECK(figure(0, "cost_of_days") == Approx(10 * figure(0, "days_without")));
  CHECK(steps.at("holding_of_one").get<double>() ==
        Approx(0.40 * 0.6 * 30 / 365.25 + 0.001 * 2 * 30 / (365.25 / 12)));
  CHECK(figure(1, "cost_of_days") - figure(2, "cost_of_days") == Approx(0.04).margin(0.002));
  CHECK(figure(2, "cost_of_days") - figure(3, "cost_of_days") < 0.01);
  CHECK(steps.at("carry").at("carry") == 2);
  // A mean of rates is above the rate of the middle.
  CHECK(steps.at("carry").at("demand_mean").get<double>() > 30 / 1881.0);
}
