#include "advice/kit_view.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "advice/kit_task.hpp"
#include "stocking/kit.hpp"

namespace shearpin::advice {
namespace {

/// What is asked for "a little more" of.
constexpr double kMoreGrams = 5000;
constexpr double kMoreMillilitres = 5000;
constexpr double kMoreMoney = 50;
constexpr std::size_t kLeaveShown = 8;
/// Share of a limit that leaving something behind must free to be told.
constexpr double kWorthLeaving = 0.005;
/// Work on what is asked after the best kit, or in its stead where there is none: in all well below
/// the two seconds that an answer may take.
constexpr double kFurtherWork = 4e7;

std::vector<KitLimit> limits_of(const KitLimits& asked) {
  std::vector<KitLimit> limits;
  const auto add = [&](const std::optional<double>& most, const char* what, const char* unit,
                       double more, double KitPiece::*of, bool added = false, bool bought = false) {
    if (most) {
      limits.push_back({what, unit, *most, more, of, added, bought});
    }
  };
  add(asked.max_mass_g, "mass aboard", "g", kMoreGrams, &KitPiece::grams);
  add(asked.add_mass_g, "mass added", "g", kMoreGrams, &KitPiece::grams, true);
  add(asked.max_volume_ml, "volume aboard", "ml", kMoreMillilitres, &KitPiece::millilitres);
  add(asked.add_volume_ml, "volume added", "ml", kMoreMillilitres, &KitPiece::millilitres, true);
  add(asked.max_cost, "worth aboard", "money", kMoreMoney, &KitPiece::price);
  add(asked.add_cost, "money spent", "money", kMoreMoney, &KitPiece::price, true, true);
  return limits;
}

/// Of that severity or worse, with no workaround.
bool at_risk(const Analyst& analyst, const domain::Position& position, domain::Severity severity) {
  const auto own = analyst.catalogue().severity_of(position);
  const bool round = own != domain::Severity::safety && domain::Catalogue::has_workaround(position);
  return own <= severity && !round;
}

/// A part counts for a risk cap where some position of it does.
bool at_risk(const Analyst& analyst, const CarryLine& line, domain::Severity severity) {
  const auto callers = analyst.callers_of(line.id);
  return std::any_of(callers.begin(), callers.end(), [&](const Caller& caller) {
    return at_risk(analyst, *caller.position, severity);
  });
}

std::vector<std::string> unseen_places(const Analyst& analyst, const KitLimits& asked) {
  std::vector<std::string> keys;
  for (const auto& position : analyst.catalogue().positions) {
    const bool capped =
        std::any_of(asked.max_risk.begin(), asked.max_risk.end(),
                    [&](const auto& cap) { return at_risk(analyst, position, cap.first); });
    if (capped && !position.part && !position.retired) {
      keys.push_back(position.key);
    }
  }
  return keys;
}

std::vector<std::vector<char>> parts_at_risk(const Analyst& analyst,
                                             const std::vector<KitTable>& tables,
                                             const KitLimits& asked) {
  std::vector<std::vector<char>> risky;
  for (const auto& [severity, most] : asked.max_risk) {
    auto& cap = risky.emplace_back();
    for (const auto& table : tables) {
      cap.push_back(at_risk(analyst, table.line, severity) ? 1 : 0);
    }
  }
  return risky;
}

/// Tells the best kit, with what `task` knows.
class KitSentences {
 public:
  KitSentences(const std::vector<KitTable>& tables, KitTask& task) : tables_(tables), task_(task) {}

  void tell(KitView& view) {
    add_safety_short(view);
    auto answer = stocking::best_kit(task_.problem());
    if (!answer.plan && !view.asked.max_risk.empty()) {
      task_.allow_more();  // the caps may want more than is advised
      answer = stocking::best_kit(task_.problem(), kFurtherWork);
    }
    view.undecided = answer.undecided;
    if (!answer.plan) {
      if (!answer.undecided) {
        add_conflicts(view);
      }
      return;
    }
    Kit kit = task_.kit_of(answer.plan->pieces);
    task_.keep_what_fits(task_.problem().limits, kit);
    view.found = true;
    view.optimal = answer.plan->proof.optimal && answer.plan->safety_proof.optimal;
    view.gap = std::max(answer.plan->proof.relative_gap, answer.plan->safety_proof.relative_gap);
    describe(kit, view);
    add_leave_first(kit, view);
    add_more(kit, view);
  }

 private:
  void describe(const Kit& kit, KitView& view) const {
    const auto sums = task_.sums(kit);
    view.readiness = std::exp(sums.log_chance);
    view.cost_without = sums.cost;
    view.safety_cost = sums.safety_cost;
    view.days_without = sums.days;
    for (std::size_t i = 0; i < tables_.size(); ++i) {
      view.lines.push_back(line_of(kit, i, view.asked));
    }
    add_stand_ins(view);
    std::stable_partition(view.lines.begin(), view.lines.end(), [](const KitLine& line) {
      return line.kit != line.aboard || line.kit != line.advised;
    });
    for (std::size_t r = 0; r < task_.limits().size(); ++r) {
      const auto& limit = task_.limits()[r];
      view.limits.push_back({limit.what, limit.unit, limit.most, sums.use[r]});
    }
    for (std::size_t c = 0; c < view.asked.max_risk.size(); ++c) {
      view.risks.push_back({view.asked.max_risk[c].first, view.asked.max_risk[c].second,
                            -std::expm1(-sums.risk[c])});
    }
  }

  KitLine line_of(const Kit& kit, std::size_t i, const KitLimits& asked) const {
    const auto& line = tables_[i].line;
    KitLine told{line.part, line.name, line.severity, line.stock.aboard, line.carry, kit[i]};
    if (asked.keeps_aboard()) {
      told.kit += told.aboard + line.stock.arriving - held(line);
    }
    const auto wanted = std::max<std::int64_t>(0, told.kit - told.aboard);
    told.await = std::min(wanted, line.stock.arriving);
    told.load = std::min(wanted - told.await, line.stock.ashore);
    told.buy = wanted - told.await - told.load;
    told.late = std::min(told.buy, line.stock.on_order - line.stock.arriving - line.stock.waiting);
    told.chance = task_.chance(kit, i);
    return told;
  }

  /// In the order of the tables still.
  void add_stand_ins(KitView& view) const {
    for (const auto& group : task_.groups()) {
      for (std::size_t k = 0; k < group.members.size(); ++k) {
        auto& served = view.lines[group.members[k]];
        for (const std::size_t other : group.stand_ins[k]) {
          auto& serving = view.lines[group.members[other]];
          served.stand_ins.push_back(serving.part);
          serving.also_serves.push_back(served.part);
        }
      }
    }
  }

  void add_conflicts(KitView& view) const {
    const std::size_t limits = task_.limits().size();
    for (const auto& conflict : stocking::kit_conflicts(task_.problem(), kFurtherWork)) {
      const double needed = conflict.least_with_others.value_or(conflict.least_alone);
      if (conflict.limit < limits) {
        const auto& limit = task_.limits()[conflict.limit];
        view.conflicts.push_back({limit.what, limit.unit, conflict.most, needed});
        continue;
      }
      const auto& [severity, most] = view.asked.max_risk[conflict.limit - limits];
      view.conflicts.push_back({fmt::format("risk of {}", domain::to_text(severity)), "chance",
                                most, -std::expm1(-needed)});
    }
  }

  void add_safety_short(KitView& view) const {
    for (const auto& need : stocking::limits_short_for_safety(task_.problem())) {
      if (need.limit < task_.limits().size()) {
        const auto& limit = task_.limits()[need.limit];
        view.safety_short.push_back({limit.what, limit.unit, need.most, need.needed});
      }
    }
  }

  void add_leave_first(const Kit& kit, KitView& view) const {
    if (task_.limits().empty()) {
      return;
    }
    for (auto& left : task_.leave_first(kit, 0)) {
      if (view.leave_first.size() == kLeaveShown) {
        break;
      }
      if (-left.use >= kWorthLeaving * task_.limits().front().most) {
        view.leave_first.push_back(std::move(left));
      }
    }
  }

  /// Only for a limit that is used so far that its least piece left out would not fit.
  void add_more(const Kit& kit, KitView& view) const {
    const auto limits = static_cast<double>(task_.limits().size());
    for (std::size_t r = 0; r < task_.limits().size(); ++r) {
      const auto wider = task_.with_more_of(r);
      const auto answer = stocking::best_kit(wider, kFurtherWork / limits);
      if (!answer.plan) {
        continue;
      }
      Kit then = task_.kit_of(answer.plan->pieces);
      task_.keep_what_fits(wider.limits, then);
      const auto& limit = task_.limits()[r];
      const auto sums = task_.sums(then);
      KitMore more{limit.what,
                   limit.unit,
                   limit.more,
                   task_.changes(kit, then, r),
                   std::exp(sums.log_chance),
                   sums.days,
                   sums.cost};
      if (!more.changes.empty()) {
        view.more.push_back(std::move(more));
      }
    }
  }

  const std::vector<KitTable>& tables_;
  KitTask& task_;
};

/// As many pieces as a kit may ask about; the tails of what is used up are far longer.
template <class Chance>
KitTable table_for(const CarryLine& line, const stocking::DaysWithout& days,
                   const stocking::DaysWithout& cost, const stocking::DaysWithout& safety,
                   const Chance& chance) {
  const auto at = [](const stocking::DaysWithout& values, std::int64_t n) {
    const auto i = static_cast<std::size_t>(n);
    return i < values.size() ? values[i] : 0.0;
  };
  KitTable table;
  table.line = line;
  table.line.demand.total = {};
  // To stand in for another part a kit may also load what lies ashore.
  const auto most = std::max({std::int64_t{line.carry}, held(line),
                              held(line) + std::min<std::int64_t>(line.stock.ashore, 20)}) +
                    kPastAdvised;
  for (std::int64_t n = 0; n <= most; ++n) {
    table.days.push_back(at(days, n));
    table.cost.push_back(at(cost, n));
    table.safety_cost.push_back(at(safety, n));
    table.chances.push_back(chance(n));
  }
  for (std::int64_t n = 0; n <= most; ++n) {
    table.chances_with_worn.push_back(
        chance_of_stock(table.chances, n, line.stock.worn, line.stock.worn_chance));
  }
  return table;
}

}  // namespace

KitTable table_of(const CarryCase& found) {
  return table_for(found.line, found.days_without, found.cost.cost, found.cost.safety,
                   [&](std::int64_t n) { return found.chance(n); });
}

KitView kit_view(const Analyst& analyst, const std::vector<KitTable>& tables, const Window& window,
                 const KitLimits& limits) {
  KitView view;
  view.asked = limits;
  auto risky = parts_at_risk(analyst, tables, limits);
  auto groups = kit_groups(analyst, tables, window, risky, view.notes);
  KitTask task(analyst, tables, limits, limits_of(limits), std::move(groups), std::move(risky));
  KitSentences(tables, task).tell(view);
  view.unseen = unseen_places(analyst, limits);
  return view;
}

Frontier frontier_of(const Analyst& analyst, const std::vector<KitTable>& tables) {
  const std::vector<KitLimit> limits{
      {"money spent", "money", 1e12, 0, &KitPiece::price, true, true},
      {"mass aboard", "g", 1e12, 0, &KitPiece::grams, true}};
  const KitTask task(analyst, tables, {}, limits, {}, {});
  return {task.frontier(0), task.frontier(1)};
}

}  // namespace shearpin::advice
