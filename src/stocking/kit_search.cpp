#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <random>
#include <utility>

#include "stocking/kit_choice.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kNoneYet = std::numeric_limits<double>::infinity();
// Bounds are sums in another order than costs.
constexpr double kOrderRounding = 1e-15;
// Steps of the multipliers at a node.
constexpr int kNodeSteps = 8;
// Shares of the dearest kit: the least weight of ties where the best costs nothing, and how far
// above the dearest a bound must be to show that there is no kit.
constexpr double kSmallestTie = 1e-15;
constexpr double kAboveAll = 1e-9;
// Bands above the root's bound that are searched, each so many times wider than the one before.
constexpr int kBands = 6;
constexpr double kWidening = 3;
constexpr double kBandShare = 0.3;
// Work on a better kit before the bands, which start from it.
constexpr double kStartWork = 3e6;
// Classes that are free at a time when the best kit is improved, and the work on each such try.
constexpr std::size_t kTryClasses = 50;
constexpr double kTryWork = 2e5;
constexpr unsigned kTrySeed = 20;

bool none_above(const std::vector<double>& sums, double most) {
  return std::all_of(sums.begin(), sums.end(), [&](double s) { return s <= most; });
}

/// How far sums stand above the limits.
double excess_of(const std::vector<double>& uses) {
  double sum = 0;
  for (const double use : uses) sum += std::max(0.0, use - 1);
  return sum;
}

/// The same after one option is taken instead of another.
double excess_after(const Choice& choice, const std::vector<double>& uses, std::size_t from,
                    std::size_t to) {
  double sum = 0;
  for (std::size_t r = 0; r < uses.size(); ++r) {
    sum += std::max(0.0, uses[r] + choice.uses(to)[r] - choice.uses(from)[r] - 1);
  }
  return sum;
}

/// Changes one class at a time, by the least priced cost for what is brought back, until the picks
/// are within the limits. False where no single change brings anything back any more.
bool repair(const Choice& choice, const Multipliers& price, Picks& picks, double& work) {
  std::vector<double> uses = uses_of(choice, picks);
  for (double now = excess_of(uses); now > kSumRounding;) {
    double best = kNoneYet;
    std::size_t of = 0, to = 0;
    for (std::size_t j = 0; j < choice.classes(); ++j) {
      const double worth = priced(choice, picks[j], price);
      for (std::size_t o = choice.first[j]; o < choice.first[j + 1]; ++o) {
        const double gained = now - excess_after(choice, uses, picks[j], o);
        if (gained <= kSumRounding * now) continue;
        const double rate = (priced(choice, o, price) - worth) / gained;
        if (rate < best) {
          best = rate;
          of = j;
          to = o;
        }
      }
    }
    work += static_cast<double>(choice.options());
    if (best == kNoneYet) return false;
    picks[of] = to;
    uses = uses_of(choice, picks);
    const double after = excess_of(uses);
    if (after >= now) return false;  // nothing but rounding was gained
    now = after;
  }
  return true;
}

/// What is left to decide: some classes, of each some options.
struct Node {
  std::vector<std::size_t> open;      // classes
  std::vector<std::size_t> first{0};  // into options, by open class, and one past the last
  std::vector<std::size_t> option;
  double cost = 0;           // of the classes decided
  std::vector<double> left;  // of every limit
  Multipliers price;
};

/// By class, the first class that is alike in everything.
std::vector<std::size_t> first_alike(const Choice& choice) {
  std::map<std::vector<double>, std::size_t> seen;
  std::vector<std::size_t> first;
  for (std::size_t j = 0; j < choice.classes(); ++j) {
    std::vector<double> all;
    for (std::size_t o = choice.first[j]; o < choice.first[j + 1]; ++o) {
      all.push_back(static_cast<double>(choice.entry[o]));
      all.push_back(choice.cost[o]);
      all.insert(all.end(), choice.uses(o), choice.uses(o) + choice.rows());
    }
    first.push_back(seen.emplace(std::move(all), j).first->second);
  }
  return first;
}

class Search {
 public:
  explicit Search(const Choice& choice)
      : choice_(choice), picks_(choice.classes(), 0), alike_(first_alike(choice)) {}

  bool found() const { return best_cost_ < kNoneYet; }
  double best_cost() const { return best_cost_; }
  const Picks& best() const { return best_; }
  double spent() const { return spent_; }

  /// Takes note of picks that are within the limits and the cheapest so far.
  void offer(const Picks& picks) {
    const double cost = cost_of(choice_, picks);
    if (cost >= best_cost_ || !none_above(uses_of(choice_, picks), 1 + kSumRounding)) return;
    best_cost_ = cost;
    best_ = picks;
  }

  /// Looks for cheaper picks that cost less than `ceiling`. True: to the end, before `work` was
  /// spent.
  bool below(double ceiling, const Multipliers& price, double work) {
    ceiling_ = ceiling;
    work_end_ = spent_ + work;
    visit(start(price, std::vector<bool>(choice_.classes(), true)));
    return spent_ <= work_end_;
  }

  /// Looks around the best picks: again and again a few classes at random (fixed seed) are free and
  /// all the others stay.
  void around_best(const Multipliers& price, double work) {
    std::mt19937_64 random(kTrySeed);
    ceiling_ = kNoneYet;
    for (const double end = spent_ + work; spent_ < end;) {
      spent_ += kTryWork / 10;  // however small the kit, it ends
      std::vector<bool> free(choice_.classes(), false);
      for (std::size_t i = 0; i < kTryClasses; ++i) free[random() % free.size()] = true;
      work_end_ = std::min(end, spent_ + kTryWork);
      visit(start(price, free));
    }
  }

 private:
  double target() const {
    const double cost = std::min(best_cost_, ceiling_);
    return cost - kOrderRounding * std::fabs(cost);
  }
  bool exhausted() const { return spent_ > work_end_; }
  void look_at(const Node& node) { spent_ += static_cast<double>(node.option.size()); }

  /// Takes an option for good.
  void decide(Node& node, std::size_t of, std::size_t option) {
    picks_[of] = option;
    node.cost += choice_.cost[option];
    for (std::size_t r = 0; r < choice_.rows(); ++r) node.left[r] -= choice_.uses(option)[r];
  }

  /// The free classes open, the others as in the best picks.
  Node start(const Multipliers& price, const std::vector<bool>& free) {
    Node node;
    node.left.assign(choice_.rows(), 1.0);
    node.price = price;
    for (std::size_t j = 0; j < choice_.classes(); ++j) {
      if (!free[j]) {
        decide(node, j, best_[j]);
        continue;
      }
      node.open.push_back(j);
      for (std::size_t o = choice_.first[j]; o < choice_.first[j + 1]; ++o) {
        node.option.push_back(o);
      }
      node.first.push_back(node.option.size());
    }
    spent_ += static_cast<double>(choice_.classes());
    return node;
  }

  /// The least priced options of a node, which go to picks_.
  struct Relaxed {
    double bound = 0, cost = 0;
    std::vector<double> excess;  // of the limits
  };

  void relax(const Node& node, const Multipliers& price, Relaxed& result) {
    look_at(node);
    auto& [bound, cost, excess] = result;
    bound = cost = node.cost;
    excess.resize(choice_.rows());
    for (std::size_t r = 0; r < choice_.rows(); ++r) {
      excess[r] = -node.left[r];
      bound -= price[r] * (node.left[r] + kOrderRounding * std::fabs(node.left[r]));
    }
    for (std::size_t i = 0; i < node.open.size(); ++i) {
      std::size_t best = 0;
      double least = kNoneYet;
      for (std::size_t k = node.first[i]; k < node.first[i + 1]; ++k) {
        const double here = priced(choice_, node.option[k], price);
        if (here < least) {
          least = here;
          best = node.option[k];
        }
      }
      picks_[node.open[i]] = best;
      bound += least;
      cost += choice_.cost[best];
      for (std::size_t r = 0; r < choice_.rows(); ++r) excess[r] += choice_.uses(best)[r];
    }
  }

  /// Moves the multipliers of the node up (Polyak's step towards the best cost known). The best
  /// bound; node.price is where it was reached.
  double ascend(Node& node) {
    Relaxed here;
    const auto& [bound, cost, excess] = here;
    Multipliers price = node.price;
    double best = -kNoneYet;
    double share = 1;
    for (int step = 0; step < kNodeSteps && best < target(); ++step) {
      relax(node, price, here);
      if (cost < best_cost_ && none_above(excess, kSumRounding)) offer(picks_);
      if (bound > best) {
        best = bound;
        node.price = price;
      } else {
        share /= 2;
      }
      double square = 0;
      for (std::size_t r = 0; r < choice_.rows(); ++r) {
        if (price[r] > 0 || excess[r] > 0) square += excess[r] * excess[r];
      }
      if (square <= 0) break;  // the relaxed kit fits and is the best here
      const double length = share * (target() - bound) / square;
      for (std::size_t r = 0; r < choice_.rows(); ++r) {
        price[r] = std::max(0.0, price[r] + length * excess[r]);
      }
    }
    return best;
  }

  /// By option of the node, its priced cost above the least of its class.
  std::vector<double> above_least(const Node& node) const {
    std::vector<double> above;
    for (std::size_t i = 0; i < node.open.size(); ++i) {
      double least = kNoneYet;
      for (std::size_t k = node.first[i]; k < node.first[i + 1]; ++k) {
        above.push_back(priced(choice_, node.option[k], node.price));
        least = std::min(least, above.back());
      }
      for (std::size_t k = node.first[i]; k < node.first[i + 1]; ++k) above[k] -= least;
    }
    return above;
  }

  /// The node with the options for which keep(i, k) holds; a class with one option left is decided.
  /// Nothing: a class has none.
  template <class Keep>
  std::optional<Node> kept(const Node& node, Keep keep) {
    look_at(node);
    Node result;
    result.option.reserve(node.option.size());
    result.cost = node.cost;
    result.left = node.left;
    result.price = node.price;
    for (std::size_t i = 0; i < node.open.size(); ++i) {
      for (std::size_t k = node.first[i]; k < node.first[i + 1]; ++k) {
        if (keep(i, k)) result.option.push_back(node.option[k]);
      }
      const std::size_t count = result.option.size() - result.first.back();
      if (count == 0) return {};
      if (count > 1) {
        result.open.push_back(node.open[i]);
        result.first.push_back(result.option.size());
        continue;
      }
      const std::size_t option = result.option.back();
      result.option.pop_back();
      decide(result, node.open[i], option);
    }
    return result;
  }

  /// Without the options that cannot lead below the target or do not fit beside the least of all
  /// others.
  std::optional<Node> narrowed(const Node& node, double bound) {
    const std::size_t rows = choice_.rows();
    std::vector<double> least;
    std::vector<double> spare = node.left;
    for (std::size_t i = 0; i < node.open.size(); ++i) {
      for (std::size_t r = 0; r < rows; ++r) {
        double of = kNoneYet;
        for (std::size_t k = node.first[i]; k < node.first[i + 1]; ++k)
          of = std::min(of, choice_.uses(node.option[k])[r]);
        least.push_back(of);
        spare[r] -= of;
      }
    }
    if (std::any_of(spare.begin(), spare.end(), [](double s) { return s < -kSumRounding; }))
      return {};
    const std::vector<double> above = above_least(node);
    const double room = target() - bound;
    return kept(node, [&](std::size_t i, std::size_t k) {
      if (above[k] >= room) return false;
      const double* use = choice_.uses(node.option[k]);
      for (std::size_t r = 0; r < rows; ++r) {
        if (use[r] - least[i * rows + r] > spare[r] + kSumRounding) return false;
      }
      return true;
    });
  }

  /// Of classes that are alike in everything, only kits in which entries never rise along them are
  /// looked at: the others cost the same.
  bool keeps_order(std::size_t decided, std::size_t option, std::size_t other,
                   std::size_t other_option) const {
    if (alike_[other] != alike_[decided]) return true;
    return other > decided ? choice_.entry[other_option] <= choice_.entry[option]
                           : choice_.entry[other_option] >= choice_.entry[option];
  }

  void visit(Node node) {
    const double bound = ascend(node);
    if (bound >= target() || exhausted()) return;
    const std::optional<Node> rest = narrowed(node, bound);
    if (!rest) return;
    if (rest->open.empty()) return offer(picks_);
    branch(*rest);
  }

  /// The open class whose two best options are nearest: the one that the prices cannot decide.
  static std::size_t least_decided(const Node& node, const std::vector<double>& above) {
    std::size_t chosen = 0;
    double nearest = kNoneYet;
    for (std::size_t i = 0; i < node.open.size(); ++i) {
      double least = kNoneYet, second = kNoneYet;
      for (std::size_t k = node.first[i]; k < node.first[i + 1]; ++k) {
        second = std::min(second, std::max(least, above[k]));
        least = std::min(least, above[k]);
      }
      if (second < nearest) {
        nearest = second;
        chosen = i;
      }
    }
    return chosen;
  }

  void branch(const Node& node) {
    const std::vector<double> above = above_least(node);
    const std::size_t chosen = least_decided(node, above);
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t k = node.first[chosen]; k < node.first[chosen + 1]; ++k) {
      order.emplace_back(above[k], node.option[k]);
    }
    std::sort(order.begin(), order.end());
    for (const auto& [worth, option] : order) {
      auto child = kept(node, [&, taken = option](std::size_t i, std::size_t k) {
        if (i == chosen) return node.option[k] == taken;
        return keeps_order(node.open[chosen], taken, node.open[i], node.option[k]);
      });
      if (child) visit(std::move(*child));
      if (exhausted()) return;
    }
  }

  const Choice& choice_;
  double spent_ = 0;
  double work_end_ = 0;
  double ceiling_ = 0;
  double best_cost_ = kNoneYet;
  Picks best_;                      // empty: none found
  Picks picks_;                     // of the node at hand
  std::vector<std::size_t> alike_;  // by class
};

double dearest(const Choice& choice) {
  double sum = 0;
  for (std::size_t j = 0; j < choice.classes(); ++j) {
    const auto first = choice.cost.begin() + static_cast<std::ptrdiff_t>(choice.first[j]);
    sum += *std::max_element(
        first, choice.cost.begin() + static_cast<std::ptrdiff_t>(choice.first[j + 1]));
  }
  return sum;
}

/// The options of these entries; the least priced one where an entry was dropped.
Picks nearest_to(const Choice& choice, const Multipliers& price, std::span<const long> entries) {
  Picks picks;
  for (std::size_t j = 0; j < entries.size(); ++j) {
    std::size_t best = choice.first[j];
    for (std::size_t o = best; o < choice.first[j + 1]; ++o) {
      const bool cheaper = priced(choice, o, price) < priced(choice, best, price);
      if (choice.entry[best] == entries[j]) break;
      if (cheaper || choice.entry[o] == entries[j]) best = o;
    }
    picks.push_back(best);
  }
  return picks;
}

/// Looks for kits close to the root's bound first and widens the band while there is none: most
/// options fall to their reduced costs while the band is narrow. A kit found in a band that was
/// searched to its end is the best of all.
void search_bands(Search& search, const Root& root, double top, double step, double work,
                  ChoiceResult& result) {
  result.bound = root.bound;
  if (search.found()) search.around_best(root.price, kStartWork);
  for (int band = kBands; band >= 0 && search.spent() < work && !result.settled; --band) {
    const double all = std::min(search.best_cost(), top + step);
    const double ceiling = root.bound + (all - root.bound) * std::pow(kWidening, -band);
    const double left = work - search.spent();
    if (search.below(ceiling, root.price, band > 0 ? left * kBandShare : left)) {
      result.settled = band == 0 || search.best_cost() <= ceiling;
      result.bound = std::max(result.bound, ceiling - step);
    } else if (band > 0) {
      // Too wide to end, and wider ones are no easier: what is left of the work goes into a better
      // kit first, then into the last band.
      band = 1;
      if (search.found()) search.around_best(root.price, (work - search.spent()) / 2);
    }
  }
}

}  // namespace

ChoiceResult cheapest(Choice choice, double work, std::span<const long> start) {
  ChoiceResult result;
  result.price.assign(choice.rows(), 0.0);
  if (!reduce(choice)) {
    result.settled = true;
    return result;
  }
  if (choice.classes() == 0) {
    result.found = result.settled = true;
    return result;
  }
  const double all = dearest(choice);
  const double scale = all > 0 ? all : 1;
  const double top = all + kAboveAll * scale;
  const Root root = root_multipliers(choice, top, result.work);
  if (root.bound > top) {
    result.settled = true;
    return result;
  }
  for (std::size_t r = 0; r < choice.rows(); ++r) result.price[choice.row[r]] = root.price[r];
  std::vector<Picks> starts = root.met;
  if (!start.empty()) starts.push_back(nearest_to(choice, root.price, start));
  Search untied(choice);
  for (Picks& picks : starts) {
    if (repair(choice, root.price, picks, result.work)) untied.offer(picks);
  }
  const std::vector<double> plain = choice.cost;
  const double step = std::max(kEqual * std::min(untied.best_cost(), all), kSmallestTie * scale);
  for (std::size_t o = 0; o < choice.options(); ++o) choice.cost[o] += step * choice.tie[o];
  Search search(choice);
  if (untied.found()) search.offer(untied.best());
  search_bands(search, root, top, step, work - result.work, result);
  result.work += search.spent();
  result.found = search.found();
  for (const std::size_t option : search.best()) {
    result.entry.push_back(choice.entry[option]);
    result.cost += plain[option];
  }
  if (result.found) {
    result.bound = result.settled ? result.cost : std::min(result.bound, result.cost);
  }
  return result;
}

}  // namespace shearpin::stocking
