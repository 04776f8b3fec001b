#include "stocking/kit_branch.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <utility>

namespace shearpin::stocking {
namespace {

constexpr int kSteps = 8;
// Bounds are sums in another order than costs.
constexpr double kRounding = 1e-15;

/// What is left to decide at a node: some classes, of each some options.
struct Node {
  std::vector<std::size_t> open;    ///< classes
  std::vector<std::size_t> first;   ///< into options, by open class, and one past the last
  std::vector<std::size_t> option;  ///< of the choice
  double cost = 0;                  ///< of the classes decided
  std::vector<double> left;         ///< of every limit
  Multipliers price;
};

/// Everything about a class's options in one row of numbers.
std::vector<double> tables_of(const Choice& choice, std::size_t j) {
  std::vector<double> all;
  for (std::size_t o = choice.first[j]; o < choice.first[j + 1]; ++o) {
    all.push_back(static_cast<double>(choice.entry[o]));
    all.push_back(choice.cost[o]);
    all.insert(all.end(), choice.uses(o), choice.uses(o) + choice.rows);
  }
  return all;
}

/// By class, the first class that is alike in everything.
std::vector<std::size_t> first_alike(const Choice& choice) {
  std::map<std::vector<double>, std::size_t> seen;
  std::vector<std::size_t> first;
  for (std::size_t j = 0; j < choice.classes(); ++j) {
    first.push_back(seen.emplace(tables_of(choice, j), j).first->second);
  }
  return first;
}

class Search {
 public:
  /// ceiling: above the cost of any kit; stands in for the best cost until a kit is found.
  Search(const Choice& choice, double ceiling, double work)
      : choice_(choice),
        work_(work),
        work_left_(work),
        best_cost_(ceiling),
        picks_(choice.classes(), 0),
        alike_(first_alike(choice)) {}

  void offer(const Picks& picks) {
    const double cost = cost_of(choice_, picks);
    if (cost >= best_cost_ || !within_limits(choice_, uses_of(choice_, picks))) return;
    best_cost_ = cost;
    best_ = picks;
    found_ = true;
  }

  void run(Multipliers price) {
    Node root;
    root.left = choice_.limit;
    root.price = std::move(price);
    root.first.push_back(0);
    for (std::size_t j = 0; j < choice_.classes(); ++j) {
      root.open.push_back(j);
      for (std::size_t o = choice_.first[j]; o < choice_.first[j + 1]; ++o) {
        root.option.push_back(o);
      }
      root.first.push_back(root.option.size());
    }
    visit(root);
  }

  bool found() const { return found_; }
  const Picks& best() const { return best_; }
  bool exhausted() const { return work_left_ < 0; }
  double used() const { return work_ - work_left_; }

 private:
  double target() const { return best_cost_ - kRounding * std::fabs(best_cost_); }

  /// The relaxed choice of a node: bound, and limits' excess; picks go to picks_.
  double relax(const Node& node, const Multipliers& price, std::vector<double>& excess,
               double& cost) {
    work_left_ -= static_cast<double>(node.option.size());
    double bound = node.cost;
    cost = node.cost;
    for (std::size_t r = 0; r < choice_.rows; ++r) {
      excess[r] = -node.left[r];
      bound -= price[r] * (node.left[r] + kRounding * std::fabs(node.left[r]));
    }
    for (std::size_t i = 0; i < node.open.size(); ++i) {
      std::size_t best = node.option[node.first[i]];
      double least = priced(choice_, best, price);
      for (std::size_t k = node.first[i] + 1; k < node.first[i + 1]; ++k) {
        const double here = priced(choice_, node.option[k], price);
        if (here < least) {
          least = here;
          best = node.option[k];
        }
      }
      picks_[node.open[i]] = best;
      bound += least;
      cost += choice_.cost[best];
      for (std::size_t r = 0; r < choice_.rows; ++r) excess[r] += choice_.uses(best)[r];
    }
    return bound;
  }

  /// Moves the multipliers of the node up (Polyak's step towards the best cost known). The best
  /// bound; node.price is where it was reached.
  double ascend(Node& node) {
    std::vector<double> excess(choice_.rows);
    Multipliers price = node.price;
    double best = -std::numeric_limits<double>::infinity();
    double share = 1;
    for (int step = 0; step < kSteps; ++step) {
      double cost = 0;
      const double bound = relax(node, price, excess, cost);
      const bool fits =
          std::all_of(excess.begin(), excess.end(), [](double e) { return e <= kSumRounding; });
      if (fits && cost < best_cost_) offer(picks_);
      if (bound > best) {
        best = bound;
        node.price = price;
      } else {
        share /= 2;
      }
      if (best >= target()) return best;
      double square = 0;
      for (std::size_t r = 0; r < choice_.rows; ++r) {
        if (price[r] > 0 || excess[r] > 0) square += excess[r] * excess[r];
      }
      if (square <= 0) break;  // no better multipliers: the relaxed kit fits and is the best here
      const double length = share * (target() - bound) / square;
      for (std::size_t r = 0; r < choice_.rows; ++r) {
        price[r] = std::max(0.0, price[r] + length * excess[r]);
      }
    }
    return best;
  }

  /// Least use of every row over the options left, by open class.
  std::vector<double> least_of(const Node& node, std::vector<double>& spare) const {
    std::vector<double> least(node.open.size() * choice_.rows, std::numeric_limits<double>::max());
    spare = node.left;
    for (std::size_t i = 0; i < node.open.size(); ++i) {
      double* of = least.data() + i * choice_.rows;
      for (std::size_t k = node.first[i]; k < node.first[i + 1]; ++k) {
        const double* use = choice_.uses(node.option[k]);
        for (std::size_t r = 0; r < choice_.rows; ++r) of[r] = std::min(of[r], use[r]);
      }
      for (std::size_t r = 0; r < choice_.rows; ++r) spare[r] -= of[r];
    }
    return least;
  }

  /// Takes an option for good.
  void decide(Node& node, std::size_t of, std::size_t option) {
    picks_[of] = option;
    node.cost += choice_.cost[option];
    for (std::size_t r = 0; r < choice_.rows; ++r) node.left[r] -= choice_.uses(option)[r];
  }

  /// The node without the options that cannot lead below the target or do not fit; classes with one
  /// option left are decided. False: a class has none left.
  bool narrow(const Node& node, double bound, Node& result) {
    std::vector<double> spare;
    const std::vector<double> least = least_of(node, spare);
    for (const double s : spare) {
      if (s < -kSumRounding) return false;
    }
    work_left_ -= static_cast<double>(node.option.size());
    result.cost = node.cost;
    result.left = node.left;
    result.price = node.price;
    result.first.push_back(0);
    const double room = target() - bound;
    std::vector<double> worth;
    for (std::size_t i = 0; i < node.open.size(); ++i) {
      worth.clear();
      double lowest = std::numeric_limits<double>::infinity();
      for (std::size_t k = node.first[i]; k < node.first[i + 1]; ++k) {
        worth.push_back(priced(choice_, node.option[k], node.price));
        lowest = std::min(lowest, worth.back());
      }
      const std::size_t before = result.option.size();
      for (std::size_t k = node.first[i]; k < node.first[i + 1]; ++k) {
        if (worth[k - node.first[i]] - lowest >= room) continue;
        const double* use = choice_.uses(node.option[k]);
        bool fits = true;
        for (std::size_t r = 0; r < choice_.rows; ++r) {
          fits = fits && use[r] - least[i * choice_.rows + r] <= spare[r] + kSumRounding;
        }
        if (fits) result.option.push_back(node.option[k]);
      }
      const std::size_t kept = result.option.size() - before;
      if (kept == 0) return false;
      if (kept == 1) {
        decide(result, node.open[i], result.option.back());
        result.option.pop_back();
      } else {
        result.open.push_back(node.open[i]);
        result.first.push_back(result.option.size());
      }
    }
    return true;
  }

  /// The open class whose two best options are nearest: the one the relaxation cannot decide.
  std::size_t least_decided(const Node& node) const {
    std::size_t chosen = 0;
    double nearest = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < node.open.size(); ++i) {
      double least = std::numeric_limits<double>::infinity();
      double second = least;
      for (std::size_t k = node.first[i]; k < node.first[i + 1]; ++k) {
        const double here = priced(choice_, node.option[k], node.price);
        if (here < least) {
          second = std::exchange(least, here);
        } else {
          second = std::min(second, here);
        }
      }
      if (second - least < nearest) {
        nearest = second - least;
        chosen = i;
      }
    }
    return chosen;
  }

  /// Of classes that are alike in everything, only kits in which entries never rise along them are
  /// looked at: the others cost the same.
  bool keeps_order(std::size_t decided, std::size_t option, std::size_t other,
                   std::size_t other_option) const {
    if (alike_[other] != alike_[decided]) return true;
    return other > decided ? choice_.entry[other_option] <= choice_.entry[option]
                           : choice_.entry[other_option] >= choice_.entry[option];
  }

  /// The node with one more class decided; false: another has no option left.
  bool child(const Node& node, std::size_t without, std::size_t option, Node& result) {
    const std::size_t decided = node.open[without];
    result.cost = node.cost;
    result.left = node.left;
    result.price = node.price;
    result.first.push_back(0);
    for (std::size_t i = 0; i < node.open.size(); ++i) {
      if (i == without) continue;
      for (std::size_t k = node.first[i]; k < node.first[i + 1]; ++k) {
        if (keeps_order(decided, option, node.open[i], node.option[k])) {
          result.option.push_back(node.option[k]);
        }
      }
      if (result.option.size() == result.first.back()) return false;
      result.open.push_back(node.open[i]);
      result.first.push_back(result.option.size());
    }
    decide(result, decided, option);
    return true;
  }

  void visit(Node& node) {
    const double bound = ascend(node);
    if (bound >= target() || exhausted()) return;
    Node narrowed;
    if (!narrow(node, bound, narrowed)) return;
    if (narrowed.open.empty()) {
      offer(picks_);
      return;
    }
    branch(narrowed);
  }

  void branch(const Node& node) {
    const std::size_t i = least_decided(node);
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t k = node.first[i]; k < node.first[i + 1]; ++k) {
      order.emplace_back(priced(choice_, node.option[k], node.price), node.option[k]);
    }
    std::sort(order.begin(), order.end());
    for (const auto& [worth, option] : order) {
      Node next;
      if (child(node, i, option, next)) visit(next);
      if (exhausted()) return;
    }
  }

  const Choice& choice_;
  double work_;
  double work_left_;
  double best_cost_;
  bool found_ = false;
  Picks best_;
  Picks picks_;
  std::vector<std::size_t> alike_;  // by class
};

}  // namespace

Branched branch_and_bound(const Choice& choice, const Multipliers& price, double ceiling,
                          double work) {
  Search search(choice, ceiling, work);
  search.run(price);
  return {search.found(), search.best(), !search.exhausted(), search.used()};
}

}  // namespace shearpin::stocking
