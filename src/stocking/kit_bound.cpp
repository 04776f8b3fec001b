#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "stocking/kit_choice.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kBoundRounding = 1e-14;
constexpr int kMostColumns = 400;
constexpr std::size_t kMetKept = 3;

/// Revised simplex on the master with an explicit inverse: minimise cost of the columns in use,
/// sums equal to the right-hand side. Starts from one slack a row and a costly kit that uses
/// nothing.
class Master {
 public:
  Master(std::size_t rows, double costly)
      : size_(rows + 1), inverse_(size_ * size_, 0.0), level_(size_, 1.0) {
    basic_cost_.assign(size_, 0.0);
    basic_cost_.back() = costly;
    for (std::size_t i = 0; i < size_; ++i) inverse_[i * size_ + i] = 1;
  }

  /// One dual a row, the last that of "one kit in all".
  std::vector<double> duals() const {
    std::vector<double> dual(size_, 0.0);
    for (std::size_t i = 0; i < size_; ++i) {
      for (std::size_t k = 0; k < size_; ++k) dual[k] += basic_cost_[i] * inverse_[i * size_ + k];
    }
    return dual;
  }

  /// Brings a column in; false where rounding leaves nothing to pivot on.
  bool enter(const std::vector<double>& column, double cost) {
    std::vector<double> step(size_, 0.0);
    for (std::size_t i = 0; i < size_; ++i) {
      for (std::size_t k = 0; k < size_; ++k) step[i] += inverse_[i * size_ + k] * column[k];
    }
    std::size_t leaving = size_;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < size_; ++i) {
      if (step[i] > 1e-11 && level_[i] / step[i] < least) {
        least = level_[i] / step[i];
        leaving = i;
      }
    }
    if (leaving == size_) return false;
    pivot(leaving, step);
    basic_cost_[leaving] = cost;
    return true;
  }

 private:
  void pivot(std::size_t leaving, const std::vector<double>& step) {
    for (std::size_t k = 0; k < size_; ++k) inverse_[leaving * size_ + k] /= step[leaving];
    level_[leaving] /= step[leaving];
    for (std::size_t i = 0; i < size_; ++i) {
      if (i == leaving || step[i] == 0) continue;
      for (std::size_t k = 0; k < size_; ++k) {
        inverse_[i * size_ + k] -= step[i] * inverse_[leaving * size_ + k];
      }
      level_[i] = std::max(0.0, level_[i] - step[i] * level_[leaving]);
    }
  }

  std::size_t size_;
  std::vector<double> inverse_;
  std::vector<double> level_;
  std::vector<double> basic_cost_;
};

// A slack whose price would be below 0 comes in first. True when one did.
bool enter_slack(Master& master, const std::vector<double>& dual, double tolerance) {
  for (std::size_t r = 0; r + 1 < dual.size(); ++r) {
    if (dual[r] <= tolerance) continue;
    std::vector<double> column(dual.size(), 0.0);
    column[r] = 1;
    return master.enter(column, 0);
  }
  return false;
}

bool enter_kit(Master& master, const Choice& choice, const Picks& picks) {
  std::vector<double> column = uses_of(choice, picks);
  column.push_back(1);
  return master.enter(column, cost_of(choice, picks));
}

struct Relaxed {
  double bound = 0;  // sum of the least priced options - multipliers x limits
  Picks picks;       // the least priced option of every class, the first of equals
};

Relaxed relaxed(const Choice& choice, const Multipliers& price) {
  Relaxed result;
  for (std::size_t j = 0; j < choice.classes(); ++j) {
    std::size_t best = choice.first[j];
    double least = priced(choice, best, price);
    for (std::size_t o = best + 1; o < choice.first[j + 1]; ++o) {
      const double here = priced(choice, o, price);
      if (here < least) {
        least = here;
        best = o;
      }
    }
    result.picks.push_back(best);
    result.bound += least;
  }
  // The sums may be off in the last digits; a bound must not be above the truth.
  for (const double of : price) result.bound -= of * (1 + kBoundRounding);
  return result;
}

}  // namespace

Root root_multipliers(const Choice& choice, double hopeless, double& work) {
  Root root;
  root.price.assign(choice.rows(), 0.0);
  root.bound = -std::numeric_limits<double>::infinity();
  Master master(choice.rows(), 10 * hopeless + 1);
  const double tolerance = 1e-12 * (hopeless + 1e-300);
  int slacks = 0;
  for (int column = 0; column < kMostColumns;) {
    const std::vector<double> dual = master.duals();
    if (slacks < kMostColumns && enter_slack(master, dual, tolerance)) {
      ++slacks;
      continue;
    }
    Multipliers price(choice.rows());
    for (std::size_t r = 0; r < price.size(); ++r) price[r] = std::max(0.0, -dual[r]);
    const Relaxed here = relaxed(choice, price);
    work += static_cast<double>(choice.options());
    if (root.met.size() == kMetKept) root.met.erase(root.met.begin());
    root.met.push_back(here.picks);
    if (here.bound > root.bound) {
      root.bound = here.bound;
      root.price = price;
    }
    const double value = std::accumulate(dual.begin(), dual.end(), 0.0);
    const bool closed = value - root.bound <= 1e-10 * std::fabs(value);
    if (root.bound > hopeless || closed || !enter_kit(master, choice, here.picks)) break;
    ++column;
  }
  return root;
}

}  // namespace shearpin::stocking
