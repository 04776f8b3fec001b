#include "advice/kit_view.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

#include "shearpin/stocking/kit.hpp"
#include "shearpin/stocking/kit_frontier.hpp"

namespace shearpin::advice {
namespace {

/// What is asked for "a little more" of.
constexpr double kMoreGrams = 5000;
constexpr double kMoreMillilitres = 5000;
constexpr double kMoreMoney = 50;
/// Pieces past the advised level that a risk cap may call for.
constexpr std::int64_t kPastAdvised = 3;
constexpr std::size_t kLeaveShown = 8;
/// Share of a limit that leaving something behind must free to be told.
constexpr double kWorthLeaving = 0.005;
/// Pieces aboard past the advised level that a kit looks at; beyond, a box of a thousand fuses
/// would be a table of its own, and no piece more of it makes a difference.
constexpr std::int64_t kPastNeed = 100;

/// Pieces aboard as the kit counts them.
std::int64_t held(const CarryLine& line) {
  return std::min<std::int64_t>(line.stock.aboard, line.carry + kPastNeed);
}

double at(const std::vector<double>& values, std::int64_t n) {
  const auto i = static_cast<std::size_t>(n);
  return i < values.size() ? values[i] : 0.0;
}

double chance_at(const KitTable& table, std::int64_t n) {
  return table.chances[std::min(static_cast<std::size_t>(n), table.chances.size() - 1)];
}

/// What one piece takes: its own figure or its class's; nothing where nobody knows.
struct Piece {
  double grams = 0, millilitres = 0, price = 0;
};

/// One of the limits given, and how a piece counts against it.
struct Limit {
  std::string what, unit;
  double most = 0;
  double more = 0;
  double Piece::*of = &Piece::grams;
  stocking::Counted counted = stocking::Counted::all_aboard;
  bool bought = false;  ///< pieces ashore are free
};

std::vector<Limit> limits_of(const KitLimits& asked) {
  using stocking::Counted;
  std::vector<Limit> limits;
  const auto add = [&](const std::optional<double>& most, const char* what, const char* unit,
                       double more, double Piece::*of, Counted counted, bool bought) {
    if (most) {
      limits.push_back({what, unit, *most, more, of, counted, bought});
    }
  };
  add(asked.max_mass_g, "mass aboard", "g", kMoreGrams, &Piece::grams, Counted::all_aboard, false);
  add(asked.add_mass_g, "mass added", "g", kMoreGrams, &Piece::grams, Counted::added, false);
  add(asked.max_volume_ml, "volume aboard", "ml", kMoreMillilitres, &Piece::millilitres,
      Counted::all_aboard, false);
  add(asked.add_volume_ml, "volume added", "ml", kMoreMillilitres, &Piece::millilitres,
      Counted::added, false);
  add(asked.max_cost, "worth aboard", "money", kMoreMoney, &Piece::price, Counted::all_aboard,
      false);
  add(asked.add_cost, "money spent", "money", kMoreMoney, &Piece::price, Counted::added, true);
  return limits;
}

class KitMaker {
 public:
  KitMaker(const Analyst& analyst, const std::vector<KitTable>& tables)
      : analyst_(analyst), tables_(tables) {
    for (const auto& table : tables) {
      pieces_.push_back(piece_of(table));
    }
  }

  KitView view(const KitLimits& asked) {
    KitView view;
    view.asked = asked;
    limits_ = limits_of(asked);
    build(asked);
    add_safety_short(view);
    auto answer = stocking::best_kit(problem_);
    if (!answer.plan && !asked.max_risk.empty()) {
      past_advised_ = kPastAdvised;  // the caps may want more than is advised
      build(asked);
      answer = stocking::best_kit(problem_);
    }
    view.undecided = answer.undecided;
    if (!answer.plan) {
      add_conflicts(answer, view);
      return view;
    }
    keep_what_fits(problem_.limits, *answer.plan);
    describe(*answer.plan, view);
    add_leave_first(answer.plan->pieces, view);
    add_more(answer.plan->pieces, view);
    return view;
  }

  Frontier frontier() {
    Frontier result;
    limits_ = {{"money spent", "money", 1e12, 0, &Piece::price, stocking::Counted::added, true},
               {"mass aboard", "g", 1e12, 0, &Piece::grams, stocking::Counted::added, false}};
    build({});
    result.by_money = steps(0);
    result.by_mass = steps(1);
    return result;
  }

 private:
  Piece piece_of(const KitTable& table) const {
    Piece piece;
    piece.grams = table.line.mass_g.value_or(0);
    piece.price = table.line.price ? table.line.price->major() : 0;
    piece.millilitres = outside(table.line) ? 0 : table.line.volume_ml.value_or(0);
    return piece;
  }

  /// Carried outside (wheels on their carriers): it takes no room in the boxes.
  bool outside(const CarryLine& line) const {
    const auto& part = analyst_.catalogue().at(line.id);
    if (part.home_bin && analyst_.catalogue().at(*part.home_bin).outside_volume) {
      return true;
    }
    for (const auto& stock : analyst_.snapshot().stock) {
      if (stock.part == line.id && analyst_.catalogue().at(stock.bin).outside_volume) {
        return true;
      }
    }
    return false;
  }

  std::int64_t free_pieces(const CarryLine& line, const Limit& limit) const {
    if (limit.counted == stocking::Counted::all_aboard) {
      return 0;
    }
    return held(line) + (limit.bought ? line.stock.ashore : 0);
  }

  /// A part counts for a risk cap where some position of that severity or worse has no way round.
  bool at_risk(const CarryLine& line, domain::Severity severity) const {
    for (const auto& caller : analyst_.callers_of(line.id)) {
      const auto own = analyst_.catalogue().severity_of(*caller.position);
      const bool round =
          own != domain::Severity::safety && domain::Catalogue::has_workaround(*caller.position);
      if (own <= severity && !round) {
        return true;
      }
    }
    return false;
  }

  void build(const KitLimits& asked) {
    problem_ = {};
    for (const auto& limit : limits_) {
      problem_.limits.push_back(limit.most);
    }
    std::set<std::size_t> risky;
    for (const auto& [severity, most] : asked.max_risk) {
      stocking::RiskCap cap;
      cap.most = most;
      for (std::size_t i = 0; i < tables_.size(); ++i) {
        if (at_risk(tables_[i].line, severity)) {
          cap.parts.push_back(i);
          risky.insert(i);
        }
      }
      problem_.risk_caps.push_back(std::move(cap));
    }
    for (std::size_t i = 0; i < tables_.size(); ++i) {
      problem_.parts.push_back(part_of(i, risky.contains(i), asked.keeps_aboard()));
    }
  }

  stocking::KitPart part_of(std::size_t i, bool risky, bool keeps_aboard) const {
    const auto& table = tables_[i];
    const auto& line = table.line;
    std::int64_t most = std::max<std::int64_t>(line.carry, held(line));
    most += risky ? past_advised_ : 0;
    stocking::KitPart part;
    part.least = keeps_aboard ? static_cast<std::size_t>(held(line)) : 0;
    for (std::int64_t n = 0; n <= most; ++n) {
      part.days.push_back(at(table.cost, n));
      part.safety_days.push_back(std::min(at(table.safety_cost, n), part.days.back()));
      part.log_chance.push_back(std::log(std::clamp(chance_at(table, n), 1e-300, 1.0)));
    }
    for (const auto& limit : limits_) {
      part.use.push_back(stocking::pieces_use(pieces_[i].*limit.of, most, free_pieces(line, limit),
                                              limit.counted));
    }
    return part;
  }

  /// Of kits that leave as little to be missed the optimiser takes the one with fewest pieces; what
  /// is aboard already and does no harm to any limit need not be carried off the rig.
  void keep_what_fits(const std::vector<double>& limits, stocking::KitPlan& plan) const {
    std::vector<std::size_t> order(tables_.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return pieces_[a].grams < pieces_[b].grams;
    });
    auto use = plan.totals.use;
    for (const std::size_t i : order) {
      while (plan.pieces[i] < held(tables_[i].line) &&
             adds_within(i, plan.pieces[i], limits, use)) {
        ++plan.pieces[i];
      }
    }
    plan.totals = stocking::kit_totals(problem_, plan.pieces);
  }

  /// Whether one piece more keeps every limit; then `use` has it in.
  bool adds_within(std::size_t part, long pieces, const std::vector<double>& limits,
                   std::vector<double>& use) const {
    auto more = use;
    for (std::size_t r = 0; r < more.size(); ++r) {
      const auto& of = problem_.parts[part].use[r];
      more[r] += of[static_cast<std::size_t>(pieces) + 1] - of[static_cast<std::size_t>(pieces)];
      if (more[r] > limits[r]) {
        return false;
      }
    }
    use = std::move(more);
    return true;
  }

  double days_of(const std::vector<long>& kit) const {
    double days = 0;
    for (std::size_t i = 0; i < kit.size(); ++i) {
      days += at(tables_[i].days, kit[i]);
    }
    return days;
  }

  void describe(const stocking::KitPlan& plan, KitView& view) const {
    view.found = true;
    view.optimal = plan.proof.optimal && plan.safety_proof.optimal;
    view.gap = std::max(plan.proof.relative_gap, plan.safety_proof.relative_gap);
    view.readiness = std::exp(plan.totals.log_chance);
    view.cost_without = plan.totals.days;
    view.safety_cost = plan.totals.safety_days;
    view.days_without = days_of(plan.pieces);
    for (std::size_t i = 0; i < tables_.size(); ++i) {
      const auto& line = tables_[i].line;
      KitLine kit{line.part,         line.name,  line.severity,
                  line.stock.aboard, line.carry, plan.pieces[i]};
      if (view.asked.keeps_aboard()) {
        kit.kit += kit.aboard - held(line);
      }
      const auto wanted = std::max<std::int64_t>(0, kit.kit - kit.aboard);
      kit.load = std::min(wanted, line.stock.ashore);
      kit.buy = wanted - kit.load;
      kit.chance = chance_at(tables_[i], kit.kit);
      view.lines.push_back(kit);
    }
    std::stable_partition(view.lines.begin(), view.lines.end(), [](const KitLine& line) {
      return line.kit != line.aboard || line.kit != line.advised;
    });
    for (std::size_t r = 0; r < limits_.size(); ++r) {
      view.limits.push_back(
          {limits_[r].what, limits_[r].unit, limits_[r].most, plan.totals.use[r]});
    }
    for (std::size_t c = 0; c < view.asked.max_risk.size(); ++c) {
      view.risks.push_back(
          {view.asked.max_risk[c].first, view.asked.max_risk[c].second, plan.totals.risk[c]});
    }
  }

  void add_conflicts(const stocking::KitAnswer& answer, KitView& view) const {
    for (const auto& conflict : answer.conflicts) {
      const double needed = conflict.least_with_others.value_or(conflict.least_alone);
      if (conflict.is_risk_cap) {
        view.conflicts.push_back(
            {fmt::format("risk of {}", domain::to_text(view.asked.max_risk[conflict.index].first)),
             "chance", conflict.most, needed});
      } else {
        const auto& limit = limits_[conflict.index];
        view.conflicts.push_back({limit.what, limit.unit, conflict.most, needed});
      }
    }
  }

  void add_safety_short(KitView& view) const {
    const auto wanted = stocking::safest_pieces(problem_);
    for (const auto& need : stocking::limits_short_for(problem_, wanted)) {
      const auto& limit = limits_[need.limit];
      view.safety_short.push_back({limit.what, limit.unit, need.most, need.needed});
    }
  }

  KitStep step_of(std::size_t part, long from, long to, std::size_t limit) const {
    const auto& table = tables_[part];
    KitStep step{table.line.part, table.line.name, from, to};
    const auto& use = problem_.parts[part].use[limit];
    step.use = use[static_cast<std::size_t>(to)] - use[static_cast<std::size_t>(from)];
    step.days_without = at(table.days, to) - at(table.days, from);
    step.cost_without = at(table.cost, to) - at(table.cost, from);
    return step;
  }

  void add_leave_first(const std::vector<long>& kit, KitView& view) const {
    if (limits_.empty()) {
      return;
    }
    for (const auto& step :
         stocking::leave_first(problem_, stocking::KitGoal::least_days, 0, kit)) {
      if (view.leave_first.size() == kLeaveShown) {
        break;
      }
      const auto left = step_of(step.part, step.from, step.to, 0);
      if (-left.use >= kWorthLeaving * limits_.front().most) {
        view.leave_first.push_back(left);
      }
    }
  }

  /// Only for a limit that is used so far that its least piece left out would not fit.
  void add_more(const std::vector<long>& kit, KitView& view) const {
    for (std::size_t r = 0; r < limits_.size(); ++r) {
      auto wider = problem_;
      wider.limits[r] += limits_[r].more;
      auto answer = stocking::best_kit(wider);
      if (!answer.plan) {
        continue;
      }
      keep_what_fits(wider.limits, *answer.plan);
      KitMore more{limits_[r].what, limits_[r].unit, limits_[r].more, {}};
      for (const auto& change : stocking::kit_changes(kit, answer.plan->pieces)) {
        more.changes.push_back(step_of(change.part, change.from, change.to, r));
      }
      more.readiness = std::exp(answer.plan->totals.log_chance);
      more.cost_without = answer.plan->totals.days;
      more.days_without = days_of(answer.plan->pieces);
      if (!more.changes.empty()) {
        view.more.push_back(std::move(more));
      }
    }
  }

  std::vector<FrontierPoint> steps(std::size_t limit) const {
    std::vector<long> kit;
    for (const auto& table : tables_) {
      kit.push_back(static_cast<long>(held(table.line)));
    }
    std::vector<FrontierPoint> points;
    const auto first = stocking::kit_totals(problem_, kit);
    points.push_back({first.use[limit], std::exp(first.log_chance), days_of(kit), "as it stands"});
    for (const auto& step :
         stocking::kit_frontier(problem_, stocking::KitGoal::least_days, limit, kit)) {
      kit[step.part] = step.to;
      points.push_back({step.use, std::exp(step.log_chance), days_of(kit),
                        fmt::format("{} to {}", tables_[step.part].line.part, step.to)});
    }
    return points;
  }

  const Analyst& analyst_;
  const std::vector<KitTable>& tables_;
  std::vector<Piece> pieces_;
  std::vector<Limit> limits_;
  stocking::KitProblem problem_;
  std::int64_t past_advised_ = 0;
};

/// As many pieces as a kit may ask about; the tails of what is used up are far longer.
template <class Chance>
KitTable table_for(const CarryLine& line, const stocking::DaysWithout& days,
                   const stocking::DaysWithout& cost, const stocking::DaysWithout& safety,
                   const Chance& chance) {
  KitTable table;
  table.line = line;
  table.line.demand.total = {};
  const auto most = std::max<std::int64_t>(line.carry, held(line)) + kPastAdvised;
  for (std::int64_t n = 0; n <= most; ++n) {
    table.days.push_back(at(days, n));
    table.cost.push_back(at(cost, n));
    table.safety_cost.push_back(at(safety, n));
    table.chances.push_back(chance(n));
  }
  return table;
}

}  // namespace

KitTable table_of(const TripCase& found) {
  return table_for(found.line, found.days_without, found.cost, found.safety_cost,
                   [&](std::int64_t n) { return found.chances[static_cast<std::size_t>(n)]; });
}

KitTable table_of(const StretchCase& found) {
  return table_for(
      found.line, found.days_without, found.cost, found.safety_cost,
      [&](std::int64_t n) { return stocking::chance_at_most(found.demand, static_cast<long>(n)); });
}

KitView kit_view(const Analyst& analyst, const std::vector<KitTable>& tables,
                 const KitLimits& limits) {
  return KitMaker(analyst, tables).view(limits);
}

Frontier frontier_of(const Analyst& analyst, const std::vector<KitTable>& tables) {
  return KitMaker(analyst, tables).frontier();
}

}  // namespace shearpin::advice
