#include "stocking/kit_start.hpp"

#include <algorithm>
#include <limits>
#include <random>
#include <tuple>
#include <utility>

namespace shearpin::stocking {
namespace {

constexpr std::size_t kNearest = 300;
constexpr int kMostRounds = 60;
constexpr int kShaken = 3;
constexpr unsigned kStartSeed = 20;
constexpr double kTiny = 1e-300;

/// One class taking another option.
struct Move {
  std::size_t of = 0;  // class
  std::size_t to = 0;  // option
};

double above_limits(const Choice& choice, const std::vector<double>& uses) {
  double sum = 0;
  for (std::size_t r = 0; r < choice.rows; ++r)
    sum += std::max(0.0, uses[r] - choice.limit[r] * (1 + kSumRounding));
  return sum;
}

// above_limits after a move.
double above_after(const Choice& choice, const std::vector<double>& uses, std::size_t from,
                   std::size_t to) {
  double sum = 0;
  for (std::size_t r = 0; r < choice.rows; ++r) {
    const double after = uses[r] + choice.uses(to)[r] - choice.uses(from)[r];
    sum += std::max(0.0, after - choice.limit[r]);
  }
  return sum;
}

void apply(const Choice& choice, const Move& move, Picks& picks, std::vector<double>& uses) {
  picks[move.of] = move.to;
  uses = uses_of(choice, picks);
}

// The single change that lowers the cost most for the priced room it takes.
bool better_single(const Choice& choice, const Multipliers& price, Picks& picks,
                   std::vector<double>& uses, double& work) {
  double best = 0;
  Move move;
  for (std::size_t j = 0; j < choice.classes(); ++j) {
    const std::size_t from = picks[j];
    for (std::size_t o = choice.first[j]; o < choice.first[j + 1]; ++o) {
      const double gain = choice.cost[from] - choice.cost[o];
      if (gain <= 0 || above_after(choice, uses, from, o) > 0) continue;
      double room = kTiny;
      for (std::size_t r = 0; r < choice.rows; ++r) {
        room += price[r] * std::max(0.0, choice.uses(o)[r] - choice.uses(from)[r]);
      }
      if (gain / room > best) {
        best = gain / room;
        move = {j, o};
      }
    }
  }
  work += static_cast<double>(choice.options());
  if (best <= 0) return false;
  apply(choice, move, picks, uses);
  return true;
}

// The changes whose priced cost is nearest to that of the picks, nearest first. Of changes that are
// alike (parts with the same tables) two are enough, else they would crowd out all others.
std::vector<Move> nearest_moves(const Choice& choice, const Multipliers& price,
                                const Picks& picks) {
  struct Priced {
    double worth;  // priced change
    double cost;   // change of cost
    Move move;
  };
  std::vector<Priced> all;
  for (std::size_t j = 0; j < choice.classes(); ++j) {
    const double now = priced(choice, picks[j], price);
    for (std::size_t o = choice.first[j]; o < choice.first[j + 1]; ++o) {
      if (o == picks[j]) continue;
      all.push_back(
          {priced(choice, o, price) - now, choice.cost[o] - choice.cost[picks[j]], {j, o}});
    }
  }
  std::sort(all.begin(), all.end(), [](const Priced& a, const Priced& b) {
    return std::tie(a.worth, a.cost, a.move.to) < std::tie(b.worth, b.cost, b.move.to);
  });
  std::vector<Move> moves;
  for (std::size_t i = 0; i < all.size() && moves.size() < kNearest; ++i) {
    const bool third = i >= 2 && std::tie(all[i].worth, all[i].cost) ==
                                     std::tie(all[i - 2].worth, all[i - 2].cost);
    if (!third) moves.push_back(all[i].move);
  }
  return moves;
}

bool fits_after_both(const Choice& choice, const std::vector<double>& uses, const Picks& picks,
                     const Move& a, const Move& b) {
  for (std::size_t r = 0; r < choice.rows; ++r) {
    const double change = choice.uses(a.to)[r] - choice.uses(picks[a.of])[r] +
                          choice.uses(b.to)[r] - choice.uses(picks[b.of])[r];
    if (uses[r] + change > choice.limit[r]) return false;
  }
  return true;
}

bool better_pair(const Choice& choice, const Multipliers& price, Picks& picks,
                 std::vector<double>& uses, double& work) {
  const std::vector<Move> moves = nearest_moves(choice, price, picks);
  double best = 0;
  std::pair<Move, Move> pair;
  for (std::size_t a = 0; a < moves.size(); ++a) {
    const double gain_a = choice.cost[picks[moves[a].of]] - choice.cost[moves[a].to];
    for (std::size_t b = 0; b < a; ++b) {
      const double gain = gain_a + choice.cost[picks[moves[b].of]] - choice.cost[moves[b].to];
      if (gain <= best || moves[a].of == moves[b].of) continue;
      if (!fits_after_both(choice, uses, picks, moves[a], moves[b])) continue;
      best = gain;
      pair = {moves[a], moves[b]};
    }
  }
  work +=
      static_cast<double>(choice.options()) + static_cast<double>(moves.size() * moves.size()) / 2;
  // A gain below rounding could go round in circles.
  if (best <= 1e-12 * cost_of(choice, picks)) return false;
  apply(choice, pair.first, picks, uses);
  apply(choice, pair.second, picks, uses);
  return true;
}

}  // namespace

bool repair(const Choice& choice, const Multipliers& price, Picks& picks, double& work) {
  std::vector<double> uses = uses_of(choice, picks);
  for (double above = above_limits(choice, uses); above > 0;) {
    double best = std::numeric_limits<double>::infinity();
    Move move;
    for (std::size_t j = 0; j < choice.classes(); ++j) {
      const std::size_t from = picks[j];
      const double now = priced(choice, from, price);
      for (std::size_t o = choice.first[j]; o < choice.first[j + 1]; ++o) {
        const double gained = above - above_after(choice, uses, from, o);
        if (gained <= 1e-12 * above) continue;
        const double rate = (priced(choice, o, price) - now) / gained;
        if (rate < best) {
          best = rate;
          move = {j, o};
        }
      }
    }
    work += static_cast<double>(choice.options());
    if (best == std::numeric_limits<double>::infinity()) return false;
    apply(choice, move, picks, uses);
    const double after = above_limits(choice, uses);
    if (after >= above) return false;  // nothing but rounding was gained
    above = after;
  }
  return true;
}

void improve(const Choice& choice, const Multipliers& price, Picks& picks, double& work) {
  std::vector<double> uses = uses_of(choice, picks);
  for (int round = 0; round < kMostRounds; ++round) {
    while (better_single(choice, price, picks, uses, work)) {
    }
    if (!better_pair(choice, price, picks, uses, work)) return;
  }
}

void shake(const Choice& choice, const Multipliers& price, Picks& picks, double work_allowed,
           double& work) {
  std::mt19937_64 random(kStartSeed);
  const double end = work + work_allowed;
  std::vector<Move> moves = nearest_moves(choice, price, picks);
  if (moves.empty()) return;
  double least = cost_of(choice, picks);
  while (work < end) {
    Picks shaken = picks;
    for (int i = 0; i < kShaken; ++i) {
      const Move& move = moves[random() % moves.size()];
      shaken[move.of] = move.to;
    }
    work += static_cast<double>(choice.classes());
    if (!repair(choice, price, shaken, work)) continue;
    improve(choice, price, shaken, work);
    const double cost = cost_of(choice, shaken);
    if (cost >= least) continue;
    least = cost;
    picks = std::move(shaken);
    moves = nearest_moves(choice, price, picks);
  }
}

}  // namespace shearpin::stocking
