#include "report/kit_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/text_table.hpp"

namespace shearpin::report {
namespace {

constexpr std::size_t kFrontierRows = 10;
constexpr double kFewDays = 0.01;

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
  TextTable table({{"leave at home first", Align::left},
                   {"frees", Align::right},
                   {"days without", Align::right}});
  const std::string unit = kit.limits.empty() ? "g" : kit.limits.front().unit;
  for (const auto& step : kit.leave_first) {
    table.add_row({step_words(step), limit_amount(-step.use, unit),
                   step.days_without < kFewDays
                       ? fmt::format("under +{:g}", kFewDays)
                       : fmt::format("+{}", significant(step.days_without, 2))});
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

std::string frontier_table(const std::vector<advice::FrontierPoint>& points,
                           const std::string& header, const std::string& unit) {
  if (points.size() < 2) {
    return "";
  }
  TextTable table({{header, Align::right},
                   {"no shortage", Align::right},
                   {"days without", Align::right},
                   {"added since the row above", Align::left, true}});
  const std::size_t rows = std::min(kFrontierRows, points.size());
  std::size_t before = 0;
  for (std::size_t i = 0; i < rows; ++i) {
    const std::size_t at = i * (points.size() - 1) / (rows - 1);
    const auto& point = points[at];
    table.add_row({limit_amount(point.amount, unit), short_chance(point.readiness),
                   significant(point.days_without, 2), added_words(points, before, at)});
    before = at;
  }
  return "\n" + table.to_text(kWidth);
}

}  // namespace

std::string changes_words(const std::vector<advice::PieceChange>& changes) {
  std::vector<std::string> words;
  for (const auto& change : changes) {
    words.push_back(fmt::format("{} {} to {}", change.part, change.from, change.to));
  }
  return words.empty() ? "as it stands" : join(words, ", ");
}

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

std::string limit_amount(double amount, const std::string& unit) {
  if (unit == "g") return mass_text(std::max(0.0, amount));
  if (unit == "ml") return volume_text(std::max(0.0, amount));
  if (unit == "chance") return chance_text(std::clamp(amount, 0.0, 1.0));
  return fmt::format("{:.2f}", std::max(0.0, amount));
}

TextTable kit_lines_table(const advice::KitView& kit) {
  TextTable table({{"part", Align::left, true},
                   {"aboard", Align::right},
                   {"advised", Align::right},
                   {"kit", Align::right},
                   {"do", Align::left},
                   {"no shortage", Align::right}});
  for (const auto& line : kit.lines) {
    if (line.kit != line.aboard || line.kit != line.advised) {
      table.add_row({key_and_name(line.part, line.name), grouped(line.aboard),
                     grouped(line.advised), grouped(line.kit), do_words(line),
                     short_chance(line.chance)});
    }
  }
  return table;
}

TextTable kit_limits_table(const advice::KitView& kit) {
  TextTable table({{"limit", Align::left}, {"allowed", Align::right}, {"taken", Align::right}});
  for (const auto& limit : kit.limits) {
    table.add_row(
        {limit.what, limit_amount(limit.most, limit.unit), limit_amount(limit.use, limit.unit)});
  }
  for (const auto& risk : kit.risks) {
    table.add_row({fmt::format("risk of {} without cover", domain::to_text(risk.severity)),
                   limit_amount(risk.most, "chance"), limit_amount(risk.chance, "chance")});
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
  const std::string tables = frontier_table(frontier.by_money, "money spent", "money") +
                             frontier_table(frontier.by_mass, "mass added", "g");
  if (tables.empty()) {
    return "";
  }
  return heading("What money and mass can do") +
         wrap_text(
             "From what is aboard to all that is advised, the step that gains most first. What is "
             "on order and planned only after leaving counts as bought.") +
         tables;
}

std::string simulation_text(const advice::SimulationView& view) {
  std::string text =
      heading("Played through") +
      wrap_text(fmt::format(
          "{} trips played, seed {}, {}. No shortage of anything: {} (standard error {}).",
          grouped(view.runs), view.seed,
          view.random_leads ? "parcels taking their time" : "parcels at their planning lead time",
          chance_text(view.readiness), significant(100 * view.readiness_error, 1) + " %"));
  TextTable table({{"part", Align::left},
                   {"pieces", Align::right},
                   {"no shortage", Align::right},
                   {"std error", Align::right},
                   {"days without", Align::right},
                   {"std error", Align::right}});
  auto lines = view.lines;
  std::stable_sort(lines.begin(), lines.end(),
                   [](const auto& a, const auto& b) { return a.days_without > b.days_without; });
  std::size_t shown = 0;
  for (const auto& line : lines) {
    if (shown == 12 || line.days_without <= 0) {
      break;
    }
    ++shown;
    table.add_row({line.part, grouped(line.pieces), short_chance(line.chance),
                   significant(100 * line.chance_error, 1) + " %",
                   significant(line.days_without, 2), significant(line.days_error, 1)});
  }
  return text +
         (table.empty() ? wrap_text("Nothing was ever short.") : "\n" + table.to_text(kWidth));
}

}  // namespace shearpin::report
