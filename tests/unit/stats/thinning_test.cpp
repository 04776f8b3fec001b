// Fewer nodes with the same sums.

#include <catch2/catch.hpp>
#include <cmath>

#include "stats/coarsening.hpp"

using namespace shearpin::stats;

namespace {

constexpr double kExposure = 200;  // in scales of t = 0
constexpr double kDigits = 17;

double expected(double t) { return 1 + kExposure * std::exp(-t); }

Grid laid(double sd, double shape, double lives) {
  Grid grid;
  const double step = row_step(sd, shape, lives, kDigits);
  for (double t = -7.5 * sd; t < 7.5 * sd; t += step) {
    grid.t.push_back(t);
    grid.weight.push_back(step * std::exp(-0.5 * t * t / (sd * sd)));
    grid.total += grid.weight.back();
  }
  grid.rows.push_back({0, shape, step, 0, grid.t.size(), sd, kDigits});
  return grid;
}

// Of no failure in a stretch, of a count with its bell at `most`, and the mean of t.
std::array<double, 3> sums(const Grid& grid, double shape, double most) {
  std::array<double, 3> out{};
  for (std::size_t i = 0; i < grid.t.size(); ++i) {
    const double count = kExposure * std::exp(-grid.t[i]);
    const double share = grid.weight[i] / grid.total;
    out[0] += share * std::exp(-std::exp(-shape * grid.t[i]));
    out[1] += share * 0.5 * std::erfc((count - most) / std::sqrt(2 * count) * shape);
    out[2] += share * grid.t[i];
  }
  return out;
}

}  // namespace

TEST_CASE("A coarsened row gives the same sums with fewer nodes") {
  for (const double sd : {0.1, 0.6, 2.0}) {
    for (const double shape : {0.7, 1.0, 4.0}) {
      for (const double lives : {500.0, 3000.0}) {
        GridPlan plan;
        plan.lives = lives;
        const Grid grid = laid(sd, shape, lives);
        const Grid less = coarsened(grid, plan, [](double t, double) { return expected(t); });
        CAPTURE(sd, shape, lives, grid.t.size(), less.t.size());
        CHECK(less.total == Approx(grid.total).epsilon(1e-7));
        for (const double most : {1.0, 20.0, 200.0, 400.0}) {
          const auto before = sums(grid, shape, most);
          const auto after = sums(less, shape, most);
          for (std::size_t i = 0; i < before.size(); ++i) {
            CHECK(after[i] == Approx(before[i]).margin(2e-7));
          }
        }
        CHECK(less.t.size() <= grid.t.size());
        if (sd > 1 && lives > 1000) CHECK(10 * less.t.size() < 8 * grid.t.size());
      }
    }
  }
}

TEST_CASE("Rows come out in their own order, each with its own nodes") {
  GridPlan plan;
  plan.lives = 1000;
  Grid grid = laid(1, 1, 1000);
  const std::size_t half = grid.t.size() / 2;
  GridRow first = grid.rows.front();
  GridRow second = first;
  first.first = half;
  first.count = grid.t.size() - half;
  second.count = half;
  grid.rows = {first, second};  // as laying leaves them: not in the order of their nodes
  const Grid less = coarsened(grid, plan, [](double t, double) { return expected(t); });
  REQUIRE(less.rows.size() == 2);
  CHECK(less.rows[0].first == 0);
  CHECK(less.rows[1].first == less.rows[0].count);
  CHECK(less.t.front() == grid.t[half]);
  CHECK(less.t[less.rows[1].first] == grid.t[0]);
}

TEST_CASE("What is laid for few failures stays as it is") {
  GridPlan plan;
  plan.lives = 2;
  const Grid grid = laid(0.8, 1, 2);
  const Grid same = coarsened(grid, plan, [](double, double) { return 2.0; });
  CHECK(same.t == grid.t);
  CHECK(same.weight == grid.weight);
}
