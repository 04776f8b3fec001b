#include "stocking/kit_choice.hpp"

#include <algorithm>
#include <limits>
#include <numeric>
#include <tuple>

namespace shearpin::stocking {
namespace {

// What is left of every limit when all classes take their least of it; and that least, by class.
struct Least {
  std::vector<double> spare;  // by row
  std::vector<double> use;    // by class and row
};

Least least_of(const Choice& choice) {
  const std::size_t rows = choice.rows();
  // Sums in another order than a kit's own may differ in the last digits.
  Least least{std::vector<double>(rows, 1 + kSumRounding), {}};
  for (std::size_t j = 0; j < choice.classes(); ++j) {
    for (std::size_t r = 0; r < rows; ++r) {
      double of = std::numeric_limits<double>::infinity();
      for (std::size_t o = choice.first[j]; o < choice.first[j + 1]; ++o) {
        of = std::min(of, choice.uses(o)[r]);
      }
      least.use.push_back(of);
      least.spare[r] -= of;
    }
  }
  return least;
}

// The options of class j in an order in which none is beaten by a later one: whatever takes no more
// of any limit than one behind it beats that one.
std::vector<std::size_t> best_first(const Choice& choice, std::size_t j) {
  std::vector<std::size_t> order(choice.first[j + 1] - choice.first[j]);
  std::iota(order.begin(), order.end(), choice.first[j]);
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return std::tie(choice.cost[a], choice.tie[a]) < std::tie(choice.cost[b], choice.tie[b]);
  });
  return order;
}

bool takes_no_more(const Choice& choice, std::size_t a, std::size_t b) {
  for (std::size_t r = 0; r < choice.rows(); ++r) {
    if (choice.uses(a)[r] > choice.uses(b)[r]) return false;
  }
  return true;
}

bool fits_beside_least(const Choice& choice, std::size_t j, std::size_t option,
                       const Least& least) {
  for (std::size_t r = 0; r < choice.rows(); ++r) {
    if (choice.uses(option)[r] - least.use[j * choice.rows() + r] > least.spare[r]) return false;
  }
  return true;
}

// Rows in which the most of every class together passes the limit.
std::vector<std::size_t> binding_rows(const Choice& choice, const std::vector<bool>& keep) {
  std::vector<std::size_t> binding;
  for (std::size_t r = 0; r < choice.rows(); ++r) {
    double most = 0;
    for (std::size_t j = 0; j < choice.classes(); ++j) {
      double largest = 0;
      for (std::size_t o = choice.first[j]; o < choice.first[j + 1]; ++o) {
        if (keep[o]) largest = std::max(largest, choice.uses(o)[r]);
      }
      most += largest;
    }
    if (most > 1) binding.push_back(r);
  }
  return binding;
}

// The options and rows (by place) that are kept.
Choice filtered(const Choice& choice, const std::vector<bool>& keep,
                const std::vector<std::size_t>& rows) {
  Choice result;
  for (const std::size_t r : rows) result.row.push_back(choice.row[r]);
  result.first.push_back(0);
  for (std::size_t j = 0; j < choice.classes(); ++j) {
    for (std::size_t o = choice.first[j]; o < choice.first[j + 1]; ++o) {
      if (!keep[o]) continue;
      result.cost.push_back(choice.cost[o]);
      result.tie.push_back(choice.tie[o]);
      result.entry.push_back(choice.entry[o]);
      for (const std::size_t r : rows) result.use.push_back(choice.uses(o)[r]);
    }
    result.first.push_back(result.options());
  }
  return result;
}

long pieces_in(const KitPart& part, std::size_t n) {
  return part.pieces_of_entry.empty() ? static_cast<long>(n) : part.pieces_of_entry[n];
}

// Preference among equal kits: fewer pieces, then less of the first limit; less than 1 for a kit.
std::vector<double> ties_of(const KitProblem& problem) {
  double pieces = 2, use = 0;
  for (const KitPart& part : problem.parts) {
    long most = 0;
    for (std::size_t n = part.least; n < part.days.size(); ++n) {
      most = std::max(most, pieces_in(part, n));
    }
    pieces += static_cast<double>(most);
    if (!part.use.empty()) use += *std::max_element(part.use[0].begin(), part.use[0].end());
  }
  std::vector<double> ties;
  for (const KitPart& part : problem.parts) {
    for (std::size_t n = part.least; n < part.days.size(); ++n) {
      const double share = use > 0 ? part.use[0][n] / use : 0;
      ties.push_back((static_cast<double>(pieces_in(part, n)) + share) / pieces);
    }
  }
  return ties;
}

}  // namespace

double share_of(double use, double most) {
  if (use == 0) return 0;
  return most > 0 ? use / (most * (1 + kWithin)) : std::numeric_limits<double>::infinity();
}

Choice choice_of(const KitProblem& problem, const Figure& cost, const std::vector<Row>& rows) {
  Choice choice;
  for (std::size_t r = 0; r < rows.size(); ++r) choice.row.push_back(r);
  choice.tie = ties_of(problem);
  choice.first.push_back(0);
  for (const KitPart& part : problem.parts) {
    for (std::size_t n = part.least; n < part.days.size(); ++n) {
      choice.entry.push_back(static_cast<long>(n));
      choice.cost.push_back(cost(part, n));
      for (const Row& row : rows) choice.use.push_back(share_of(row.use(part, n), row.most));
    }
    choice.first.push_back(choice.options());
  }
  return choice;
}

double cost_of(const Choice& choice, const Picks& picks) {
  double sum = 0;
  for (const std::size_t option : picks) sum += choice.cost[option];
  return sum;
}

std::vector<double> uses_of(const Choice& choice, const Picks& picks) {
  std::vector<double> sums(choice.rows(), 0.0);
  for (const std::size_t option : picks) {
    for (std::size_t r = 0; r < choice.rows(); ++r) sums[r] += choice.uses(option)[r];
  }
  return sums;
}

bool reduce(Choice& choice) {
  for (std::size_t before = 0; before != choice.options();) {
    before = choice.options();
    const Least least = least_of(choice);
    if (std::any_of(least.spare.begin(), least.spare.end(), [](double s) { return s < 0; })) {
      return false;
    }
    std::vector<bool> keep(choice.options(), false);
    for (std::size_t j = 0; j < choice.classes(); ++j) {
      std::vector<std::size_t> kept;
      for (const std::size_t o : best_first(choice, j)) {
        const bool beaten = std::any_of(kept.begin(), kept.end(), [&](std::size_t better) {
          return takes_no_more(choice, better, o);
        });
        if (beaten || !fits_beside_least(choice, j, o, least)) continue;
        kept.push_back(o);
        keep[o] = true;
      }
      if (kept.empty()) return false;
    }
    choice = filtered(choice, keep, binding_rows(choice, keep));
  }
  return true;
}

}  // namespace shearpin::stocking
