#include "stocking/kit_choice.hpp"

#include <algorithm>
#include <limits>

namespace shearpin::stocking {
namespace {

// What is left of every row's limit when all classes take their least.
std::vector<double> spare_above_least(const Choice& choice, const std::vector<double>& least) {
  std::vector<double> spare = choice.limit;
  for (std::size_t j = 0; j < choice.classes(); ++j) {
    for (std::size_t r = 0; r < choice.rows; ++r) spare[r] -= least[j * choice.rows + r];
  }
  // Sums in another order than a kit's own may differ in the last digits.
  for (std::size_t r = 0; r < choice.rows; ++r) spare[r] += kSumRounding * choice.limit[r];
  return spare;
}

bool fits_beside_least(const Choice& choice, std::size_t option, const double* least,
                       const std::vector<double>& spare) {
  for (std::size_t r = 0; r < choice.rows; ++r) {
    if (choice.uses(option)[r] - least[r] > spare[r]) return false;
  }
  return true;
}

// a is at least as good as b in everything, and better or preferred in something.
bool beats(const Choice& choice, std::size_t a, std::size_t b) {
  if (choice.cost[a] > choice.cost[b]) return false;
  for (std::size_t r = 0; r < choice.rows; ++r) {
    if (choice.uses(a)[r] > choice.uses(b)[r]) return false;
  }
  return choice.cost[a] < choice.cost[b] || choice.tie[a] < choice.tie[b] ||
         (a < b && choice.tie[a] == choice.tie[b]);
}

bool is_beaten(const Choice& choice, std::size_t j, std::size_t option) {
  for (std::size_t other = choice.first[j]; other < choice.first[j + 1]; ++other) {
    if (other != option && beats(choice, other, option)) return true;
  }
  return false;
}

// Rows in which even the most of every class is within the limit.
std::vector<bool> binding_rows(const Choice& choice) {
  std::vector<double> most(choice.rows, 0.0);
  for (std::size_t j = 0; j < choice.classes(); ++j) {
    for (std::size_t r = 0; r < choice.rows; ++r) {
      double largest = 0;
      for (std::size_t o = choice.first[j]; o < choice.first[j + 1]; ++o) {
        largest = std::max(largest, choice.uses(o)[r]);
      }
      most[r] += largest;
    }
  }
  std::vector<bool> binding(choice.rows);
  for (std::size_t r = 0; r < choice.rows; ++r) binding[r] = most[r] > choice.limit[r];
  return binding;
}

void keep_rows(Choice& choice, const std::vector<bool>& keep) {
  std::vector<double> use;
  std::vector<double> limit;
  std::vector<std::size_t> row;
  for (std::size_t r = 0; r < choice.rows; ++r) {
    if (!keep[r]) continue;
    limit.push_back(choice.limit[r]);
    row.push_back(choice.row[r]);
  }
  for (std::size_t o = 0; o < choice.options(); ++o) {
    for (std::size_t r = 0; r < choice.rows; ++r) {
      if (keep[r]) use.push_back(choice.uses(o)[r]);
    }
  }
  choice.rows = limit.size();
  choice.limit = std::move(limit);
  choice.row = std::move(row);
  choice.use = std::move(use);
}

}  // namespace

double cost_of(const Choice& choice, const Picks& picks) {
  double sum = 0;
  for (const std::size_t option : picks) sum += choice.cost[option];
  return sum;
}

std::vector<double> uses_of(const Choice& choice, const Picks& picks) {
  std::vector<double> sums(choice.rows, 0.0);
  for (const std::size_t option : picks) {
    for (std::size_t r = 0; r < choice.rows; ++r) sums[r] += choice.uses(option)[r];
  }
  return sums;
}

bool within_limits(const Choice& choice, std::span<const double> uses) {
  for (std::size_t r = 0; r < choice.rows; ++r) {
    if (uses[r] > choice.limit[r] * (1 + kSumRounding)) return false;
  }
  return true;
}

std::vector<double> least_uses(const Choice& choice) {
  std::vector<double> least(choice.classes() * choice.rows, std::numeric_limits<double>::max());
  for (std::size_t j = 0; j < choice.classes(); ++j) {
    for (std::size_t o = choice.first[j]; o < choice.first[j + 1]; ++o) {
      for (std::size_t r = 0; r < choice.rows; ++r) {
        double& entry = least[j * choice.rows + r];
        entry = std::min(entry, choice.uses(o)[r]);
      }
    }
  }
  return least;
}

void add_surrogate_row(Choice& choice, const Choice& other, std::span<const double> price,
                       double most) {
  double limit = most;
  for (std::size_t r = 0; r < other.rows; ++r) limit += price[r] * other.limit[r];
  std::vector<double> use;
  for (std::size_t o = 0; o < choice.options(); ++o) {
    double sum = other.cost[o];
    for (std::size_t r = 0; r < other.rows; ++r) sum += price[r] * other.uses(o)[r];
    use.insert(use.end(), choice.uses(o), choice.uses(o) + choice.rows);
    use.push_back(sum);
  }
  choice.use = std::move(use);
  choice.limit.push_back(limit);
  choice.row.push_back(choice.rows);
  ++choice.rows;
}

Choice filtered(const Choice& choice, const std::vector<bool>& keep) {
  Choice result;
  result.rows = choice.rows;
  result.limit = choice.limit;
  result.row = choice.row;
  result.first.push_back(0);
  for (std::size_t j = 0; j < choice.classes(); ++j) {
    for (std::size_t o = choice.first[j]; o < choice.first[j + 1]; ++o) {
      if (!keep[o]) continue;
      result.cost.push_back(choice.cost[o]);
      result.tie.push_back(choice.tie[o]);
      result.entry.push_back(choice.entry[o]);
      result.use.insert(result.use.end(), choice.uses(o), choice.uses(o) + choice.rows);
    }
    result.first.push_back(result.cost.size());
  }
  return result;
}

bool reduce(Choice& choice) {
  for (std::size_t before = 0; before != choice.options();) {
    before = choice.options();
    const std::vector<double> least = least_uses(choice);
    const std::vector<double> spare = spare_above_least(choice, least);
    if (std::any_of(spare.begin(), spare.end(), [](double s) { return s < 0; })) return false;
    std::vector<bool> keep(choice.options());
    for (std::size_t j = 0; j < choice.classes(); ++j) {
      bool any = false;
      for (std::size_t o = choice.first[j]; o < choice.first[j + 1]; ++o) {
        keep[o] = fits_beside_least(choice, o, least.data() + j * choice.rows, spare) &&
                  !is_beaten(choice, j, o);
        any = any || keep[o];
      }
      if (!any) return false;
    }
    choice = filtered(choice, keep);
    keep_rows(choice, binding_rows(choice));
  }
  return true;
}

}  // namespace shearpin::stocking
