// The kit under limits, what money and mass can do, and the trip played through.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/sections.hpp"

namespace shearpin::report {
namespace {

constexpr std::size_t kFrontierRows = 10;
constexpr double kFewDays = 0.01;

Row kit_line_row(const advice::KitLine& line) {
  return {{"part", line.part},
          {"name", line.name},
          {"severity", domain::to_text(line.severity)},
          {"aboard", line.aboard},
          {"advised", line.advised},
          {"kit", line.kit, "pieces to have aboard"},
          {"await", line.await, "of those on order, planned to come before the departure"},
          {"load", line.load, "of those ashore"},
          {"buy", line.buy},
          {"late", line.late, "of `buy`, what is on order but planned to come after the departure"},
          {"chance_no_shortage", line.chance},
          {"stand_ins", line.stand_ins,
           "parts that may serve where its own have run out, in order of preference"},
          {"also_serves", line.also_serves, "parts that it may serve so"}};
}

Row limit_row(const advice::KitUse& use) {
  return {{"limit", use.what, "in words"},
          {"unit", use.unit, "`g`, `ml`, `money`"},
          {"allowed", use.most},
          {"taken", use.use}};
}

Row risk_row(const advice::KitRisk& risk) {
  return {{"severity", domain::to_text(risk.severity)},
          {"allowed", risk.most},
          {"chance", risk.chance}};
}

Row conflict_row(const advice::KitConflict& line) {
  return {{"limit", line.what},
          {"unit", line.unit},
          {"allowed", line.most},
          {"needed", line.needed, "least of any kit that keeps the others"}};
}

Row step_row(const advice::KitStep& line) {
  return {{"part", line.part},
          {"from", line.from},
          {"to", line.to, "pieces"},
          {"use", line.use, "of the first limit, below 0: freed"},
          {"days_without", line.days_without},
          {"cost_without", line.cost_without, "change"}};
}

Row more_row(const advice::KitMore& more) {
  return {{"limit", more.what},
          {"unit", more.unit},
          {"extra", more.extra},
          {"changes", each(more.changes, step_row), "each as in `leave_first`"},
          {"chance_no_shortage", more.readiness},
          {"days_without", more.days_without}};
}

Row simulated_row(const advice::SimulationView::Line& line) {
  return {{"part", line.part},
          {"pieces", line.pieces, "played with"},
          {"chance_no_shortage", line.chance},
          {"chance_error", line.chance_error},
          {"days_without", line.days_without},
          {"days_error", line.days_error, "standard errors"}};
}

Row change_row(const advice::PieceChange& change) {
  return {{"part", change.part}, {"from", change.from}, {"to", change.to}};
}

/// `p23 2 to 4, p29 0 to 3`; none: `as it stands`.
std::string changes_words(const std::vector<advice::PieceChange>& changes) {
  std::vector<std::string> words;
  for (const auto& change : changes) {
    words.push_back(fmt::format("{} {} to {}", change.part, change.from, change.to));
  }
  return words.empty() ? "as it stands" : join(words, ", ");
}

Row money_point_row(const advice::FrontierPoint& point) {
  return {{"money", point.amount, "added"},
          {"readiness", point.readiness, "chance of no shortage in the whole kit"},
          {"days_without", point.days_without, "expected, all parts together"},
          {"step", changes_words(point.changes),
           "what this kit has and the one before has not, in words"},
          {"changes", each(point.changes, change_row), "the same"}};
}

Row mass_point_row(const advice::FrontierPoint& point) {
  Row row = money_point_row(point);
  row.front() = {"mass_g", point.amount, "added"};
  return row;
}

/// What the points after `first`, up to `last`, add, a part once; of 0 what it adds itself.
std::string added_words(const std::vector<advice::FrontierPoint>& points, std::size_t first,
                        std::size_t last) {
  std::vector<advice::PieceChange> added;
  for (std::size_t i = last == 0 ? 0 : first + 1; i <= last; ++i) {
    for (const auto& change : points[i].changes) {
      const auto known = std::find_if(added.begin(), added.end(), [&](const auto& earlier) {
        return earlier.part == change.part;
      });
      if (known == added.end()) {
        added.push_back(change);
      } else {
        known->to = change.to;
      }
    }
  }
  return changes_words(added);
}

/// An amount of a limit with its unit: `80 kg`, `28 L`, `250.00`, `2 %`.
std::string limit_amount(double amount, const std::string& unit) {
  if (unit == "g") return mass_text(std::max(0.0, amount));
  if (unit == "ml") return volume_text(std::max(0.0, amount));
  if (unit == "chance") return chance_text(std::clamp(amount, 0.0, 1.0));
  return fmt::format("{:.2f}", std::max(0.0, amount));
}

std::string do_words(const advice::KitLine& line) {
  std::vector<std::string> words;
  if (line.kit < line.aboard) {
    words.push_back(fmt::format("leave {}", line.aboard - line.kit));
  }
  if (line.await > 0) {
    words.push_back(fmt::format("await {}", line.await));
  }
  if (line.load > 0) {
    words.push_back(fmt::format("load {}", line.load));
  }
  if (line.buy > 0) {
    words.push_back(line.late > 0 ? fmt::format("buy {} ({} on order)", line.buy, line.late)
                                  : fmt::format("buy {}", line.buy));
  }
  return words.empty() ? std::string(kNothing) : fmt::format("{}", fmt::join(words, ", "));
}

std::string step_words(const advice::KitStep& step) {
  return fmt::format("{} {} to {}", step.part, step.from, step.to);
}

/// `1.05 kg`, to so many figures, rounded by `rounded`.
std::string plain_amount(double amount, const std::string& unit, int figures,
                         double (*rounded)(double)) {
  const auto scaled = [&]() -> std::pair<double, const char*> {
    if (unit == "g") return amount < 1000 ? std::pair(1.0, " g") : std::pair(1000.0, " kg");
    if (unit == "ml") return amount < 1000 ? std::pair(1.0, " mL") : std::pair(1000.0, " L");
    return unit == "chance" ? std::pair(0.01, " %") : std::pair(1.0, "");
  }();
  const double value = amount / scaled.first;
  if (!(value > 0)) {
    return std::string("0") + scaled.second;
  }
  const double step = std::pow(10, std::floor(std::log10(value)) + 1 - figures);
  // Less a hair, so that a number that is whole in decimals is not taken one step up.
  return fmt::format("{:.10g}{}", rounded(value / step * (1 - 1e-12)) * step, scaled.second);
}

std::string safety_text(const advice::KitView& kit) {
  if (kit.safety_short.empty()) {
    return "";
  }
  return wrap_text("These limits are below what the safety parts alone would take:") +
         notes_text(kit_conflicts(kit.safety_short));
}

/// `Where a part has run out, p21 also serves p20.`, for what the kit has.
std::string stand_in_words(const advice::KitView& kit) {
  std::vector<std::string> words;
  for (const auto& line : kit.lines) {
    if (line.kit > 0 && !line.also_serves.empty()) {
      words.push_back(fmt::format("{} also serves {}", line.part, join_words(line.also_serves)));
    }
  }
  return words.empty() ? "" : " Where a part has run out, " + join(words, "; ") + ".";
}

std::string leave_text(const advice::KitView& kit) {
  if (kit.leave_first.empty()) {
    return "";
  }
  TextTable table;
  const std::string unit = kit.limits.empty() ? "g" : kit.limits.front().unit;
  for (const auto& step : kit.leave_first) {
    table.add({{left("leave at home first"), step_words(step)},
               {right("frees"), limit_amount(-step.use, unit)},
               {right("days without"), step.days_without < kFewDays
                                           ? fmt::format("under +{:g}", kFewDays)
                                           : "+" + significant(step.days_without, 2)}});
  }
  return "\n" + table.to_text(kWidth);
}

std::string more_text(const advice::KitView& kit) {
  std::string text;
  for (const auto& more : kit.more) {
    std::vector<std::string> words;
    for (const auto& step : more.changes) {
      words.push_back(step_words(step));
    }
    text += bullet(fmt::format("{} more of {} would buy: {}. No shortage then {}, days without {}",
                               limit_amount(more.extra, more.unit), more.what, listed(words, 6),
                               chance_text(more.readiness), significant(more.days_without, 2)));
  }
  return text.empty() ? "" : "\n" + text;
}

}  // namespace

Row kit_row(const advice::KitView& kit) {
  // Of no kit there is nothing to tell but what stands in its way.
  const auto of_kit = [&kit](double value) { return kit.found ? Value(value) : Value(); };
  return {{"found", kit.found, "there is one"},
          {"optimal", kit.optimal, "proven that none is better"},
          {"undecided", kit.undecided, "none was found but none was shown to be impossible either"},
          {"gap", of_kit(kit.gap),
           "share by which one might be better; as the three sums below `null` without a kit"},
          {"parts", each(kit.lines, kit_line_row),
           "those that differ from what is aboard or advised first"},
          {"limits", each(kit.limits, limit_row), "each with what the kit takes of it"},
          {"risks", each(kit.risks, risk_row), "of each `--max-risk`"},
          {"unseen_by_risks", kit.unseen,
           "places of such a severity, without a workaround, that no `--max-risk` sees because "
           "they call for no part"},
          {"chance_no_shortage", of_kit(kit.readiness)},
          {"days_without", of_kit(kit.days_without)},
          {"cost_without", of_kit(kit.cost_without)},
          {"safety_cost", of_kit(kit.safety_cost),
           "of the whole kit; the cost of the days without, and its share at safety places"},
          {"conflicts", each(kit.conflicts, conflict_row),
           "without a kit, the limits that stand in the way"},
          {"safety_short", each(kit.safety_short, conflict_row),
           "the same for limits below what the safety parts need by themselves"},
          {"leave_first", each(kit.leave_first, step_row), "what to leave at home first"},
          {"more", each(kit.more, more_row), "what a little more of a limit would buy"},
          {"notes", kit.notes, "sentences"}};
}

Row simulation_row(const advice::SimulationView& view) {
  return {{"runs", view.runs},
          {"seed", view.seed, "trips played, and what began their random numbers"},
          {"random_leads", view.random_leads, "`false`: every parcel took its planning lead time"},
          {"chance_no_shortage", view.readiness, "of anything"},
          {"standard_error", view.readiness_error, "of that chance"},
          {"parts", each(view.lines, simulated_row), "one object a part"}};
}

Row frontier_row(const advice::Frontier& frontier) {
  return {{"by_money", each(frontier.by_money, money_point_row), "kits by money"},
          {"by_mass", each(frontier.by_mass, mass_point_row), "kits by mass"}};
}

TextTable frontier_table(const std::vector<advice::FrontierPoint>& points, std::size_t most,
                         const FrontierColumns& columns) {
  TextTable table;
  const std::size_t rows = std::min(most, points.size());
  std::size_t before = 0;
  for (std::size_t i = 0; i < rows; ++i) {
    const std::size_t at = rows == 1 ? 0 : i * (points.size() - 1) / (rows - 1);
    table.add({{columns.amount, columns.amount_text(points[at].amount)},
               {columns.chance, short_chance(points[at].readiness)},
               {columns.days, columns.days_text(points[at].days_without)},
               {wide("added since the row above"), added_words(points, before, at)}});
    before = at;
  }
  return table;
}

TextTable kit_lines_table(const advice::KitView& kit) {
  TextTable table;
  for (const auto& line : kit.lines) {
    if (line.kit != line.aboard || line.kit != line.advised) {
      table.add({{wide("part"), key_and_name(line.part, line.name)},
                 {right("aboard"), grouped(line.aboard)},
                 {right("advised"), grouped(line.advised)},
                 {right("kit"), grouped(line.kit)},
                 {left("do"), do_words(line)},
                 {right("no shortage"), short_chance(line.chance)}});
    }
  }
  return table;
}

TextTable kit_limits_table(const advice::KitView& kit) {
  TextTable table;
  const auto add = [&table](const std::string& what, const std::string& unit, double most,
                            double use) {
    table.add({{left("limit"), what},
               {right("allowed"), limit_amount(most, unit)},
               {right("taken"), limit_amount(use, unit)}});
  };
  for (const auto& limit : kit.limits) {
    add(limit.what, limit.unit, limit.most, limit.use);
  }
  for (const auto& risk : kit.risks) {
    add(fmt::format("risk of {} without cover", domain::to_text(risk.severity)), "chance",
        risk.most, risk.chance);
  }
  return table;
}

std::string kit_words(const advice::KitView& kit) {
  const auto same = std::count_if(kit.lines.begin(), kit.lines.end(), [](const auto& line) {
    return line.kit == line.aboard && line.kit == line.advised;
  });
  const std::string others = same == 0
                                 ? ""
                                 : fmt::format("{} {} no change: as many aboard as advised. ",
                                               counted(same, "part"), same == 1 ? "needs" : "need");
  const std::string proof =
      kit.optimal ? std::string("Proven: no kit within the limits leaves less to be missed.")
                  : fmt::format("Not proven the best: a better kit would be better by at most {}.",
                                chance_text(kit.gap));
  return fmt::format("{}Chance of no shortage {}; days without {}, at a cost of {}. {}{}", others,
                     chance_text(kit.readiness), significant(kit.days_without, 2),
                     cost_text(kit.cost_without), proof, stand_in_words(kit));
}

std::vector<std::string> kit_conflicts(const std::vector<advice::KitConflict>& conflicts) {
  constexpr int kMostFigures = 9;
  std::vector<std::string> words;
  for (const auto& conflict : conflicts) {
    // As given, and what is needed rounded up, so that it does when it is given: with as many
    // figures as tell the two apart.
    const std::string allowed =
        plain_amount(conflict.most, conflict.unit, kMostFigures, std::round);
    std::string needed;
    for (int figures = 3; figures <= kMostFigures && (needed.empty() || needed == allowed);
         ++figures) {
      needed = plain_amount(conflict.needed, conflict.unit, figures, std::ceil);
    }
    words.push_back(
        fmt::format("{}: {} allowed, at least {} needed", conflict.what, allowed, needed));
  }
  return words;
}

std::string left_out_words(const advice::KitView& kit) {
  std::vector<std::string> words;
  for (const auto& line : kit.lines) {
    if (line.kit < line.advised) {
      words.push_back(fmt::format("{} of {}", line.advised - line.kit, line.part));
    }
  }
  return words.empty() ? ""
                       : fmt::format(
                             "The limits leave no room for {} that would be advised without "
                             "them.",
                             join_words(words));
}

std::string unseen_words(const advice::KitView& kit) {
  return kit.unseen.empty()
             ? ""
             : fmt::format(
                   "Not in the risk, for they call for no part: {}. What could fail there "
                   "stands in `shearpin weak`.",
                   join_words(kit.unseen));
}

std::string kit_text(const advice::KitView& kit) {
  std::string text = heading("The best kit under the limits");
  if (!kit.found) {
    text += wrap_text(kit.undecided
                          ? "No kit was found, and none was shown to be impossible: loosen a limit."
                          : "No kit keeps all of these limits. Something has to give way:");
    return text + notes_text(kit_conflicts(kit.conflicts)) + safety_text(kit);
  }
  const auto lines = kit_lines_table(kit);
  text += (lines.empty() ? "" : lines.to_text(kWidth)) + "\n" +
          kit_limits_table(kit).to_text(kWidth) + wrap_text(kit_words(kit));
  for (const std::string& words : {left_out_words(kit), unseen_words(kit)}) {
    text += words.empty() ? "" : wrap_text(words);
  }
  return text + notes_text(kit.notes) + safety_text(kit) + leave_text(kit) + more_text(kit);
}

std::string frontier_text(const advice::Frontier& frontier) {
  const auto table = [](const std::vector<advice::FrontierPoint>& points, const char* head,
                        const char* unit) {
    const FrontierColumns columns{right(head), right("no shortage"), right("days without"),
                                  [unit](double amount) { return limit_amount(amount, unit); },
                                  [](double days) { return significant(days, 2); }};
    return points.size() < 2
               ? ""
               : "\n" + frontier_table(points, kFrontierRows, columns).to_text(kWidth);
  };
  const std::string tables =
      table(frontier.by_money, "money spent", "money") + table(frontier.by_mass, "mass added", "g");
  const std::string told = wrap_text(
      "From what is aboard to all that is advised, the step that gains most first. What is on "
      "order "
      "and planned only after leaving counts as bought.");
  return section("What money and mass can do", tables.empty() ? "" : told + tables);
}

std::string simulation_text(const advice::SimulationView& view) {
  constexpr std::size_t kLinesShown = 12;
  std::string text = wrap_text(fmt::format(
      "{} trips played, seed {}, {}. No shortage of anything: {} (standard error {} %).",
      grouped(view.runs), view.seed,
      view.random_leads ? "parcels taking their time" : "parcels at their planning lead time",
      chance_text(view.readiness), significant(100 * view.readiness_error, 1)));
  auto lines = view.lines;
  std::stable_sort(lines.begin(), lines.end(),
                   [](const auto& a, const auto& b) { return a.days_without > b.days_without; });
  TextTable table;
  for (const auto& line : lines) {
    if (table.rows().size() < kLinesShown && line.days_without > 0) {
      table.add({{left("part"), line.part},
                 {right("pieces"), grouped(line.pieces)},
                 {right("no shortage"), short_chance(line.chance)},
                 {right("std error"), significant(100 * line.chance_error, 1) + " %"},
                 {right("days without"), significant(line.days_without, 2)},
                 {right("std error"), significant(line.days_error, 1)}});
    }
  }
  text += table.empty() ? wrap_text("Nothing was ever short.") : "\n" + table.to_text(kWidth);
  return section("Played through", text);
}

}  // namespace shearpin::report
