#include <fmt/format.h>

#include <algorithm>

#include "advice/parallel.hpp"
#include "advice/part_demand.hpp"
#include "advice/shared.hpp"
#include "shearpin/advice/advise.hpp"
#include "shearpin/domain/cautions.hpp"
#include "shearpin/domain/plan_fitting.hpp"

namespace shearpin::advice {
namespace {

/// Chance that at least one unit of the position is, or comes to be, out of action in the window.
double chance_fails(const Analyst& analyst, const domain::Position& position,
                    const Window& window) {
  const auto ahead = analyst.exposure().stretch(position, planned(window));
  double survives = 1;
  for (const auto& unit : analyst.lives().now(position.id)) {
    if (unit.state != domain::PlaceState::fitted) {
      return 1;
    }
    const auto belief =
        unit.part ? analyst.life_belief(*unit.part) : analyst.life_belief_of_position(position);
    stocking::UnitState state;
    state.age = unit.age;
    state.untested = unit.untested;
    state.exposure_per_day = ahead.effective / std::max(1, window.days);
    if (unit.marked_end) {
      state.due_days = std::max(0, days_between(window.start, *unit.marked_end));
    }
    const stocking::FittedDemand demand(belief.posterior.nodes, {&state, 1}, window.days);
    survives *= demand.distribution(window.days).front();
  }
  return 1 - survives;
}

std::int64_t fitting_spares(const Analyst& analyst, const domain::Position& position,
                            const Window& window) {
  std::int64_t spares = 0;
  for (const auto& fitting : domain::fitting_parts(analyst.catalogue(), position)) {
    const auto stock =
        analyst.stock_of(fitting.part, window.start + std::chrono::days(window.days));
    spares += stock.aboard;
  }
  return spares;
}

ExposureLine exposure_line(const Analyst& analyst, const domain::Position& position,
                           const Window& window) {
  const auto& catalogue = analyst.catalogue();
  ExposureLine line;
  line.position = position.key;
  line.name = position.name;
  line.rig = catalogue.at(position.rig).key;
  line.severity = catalogue.severity_of(position);
  line.chance_fails = chance_fails(analyst, position, window);
  line.spares = fitting_spares(analyst, position, window);
  line.workaround = domain::Catalogue::has_workaround(position) ? position.workaround : "";
  if (position.part) {
    line.part = catalogue.at(*position.part).key;
  }
  if (const auto* its_class = catalogue.class_of(position)) {
    line.class_key = its_class->key;
    line.safety_note = its_class->safety_note;
  }
  return line;
}

/// What stops or hurts, worst first: the day's cost of the severity times the chance.
void add_exposed(const Analyst& analyst, const Window& window, StockReport& report) {
  std::vector<const domain::Position*> positions;
  for (const auto& position : analyst.catalogue().positions) {
    const bool grave = analyst.catalogue().severity_of(position) <= domain::Severity::uninhabitable;
    if (!position.retired && !analyst.catalogue().at(position.rig).retired && grave) {
      positions.push_back(&position);
    }
  }
  std::vector<ExposureLine> lines(positions.size());
  for_each_index(positions.size(),
                 [&](std::size_t i) { lines[i] = exposure_line(analyst, *positions[i], window); });
  const auto weight = [&](const ExposureLine& line) {
    return line.chance_fails * analyst.policy().cost_of_day(line.severity);
  };
  std::stable_sort(lines.begin(), lines.end(), [&](const ExposureLine& a, const ExposureLine& b) {
    return weight(a) > weight(b);
  });
  for (auto& line : lines) {
    if (line.spares > 0) {
      continue;
    }
    (line.workaround.empty() ? report.uncovered : report.worked_round).push_back(std::move(line));
  }
}

std::string packing_remark(const Analyst& analyst, const domain::StockLine& stock,
                           const Window& window) {
  const Date home = window.start + std::chrono::days(window.days);
  if (stock.quarantined) {
    return "doubtful batch: do not count on it";
  }
  if (stock.ends && *stock.ends <= analyst.snapshot().as_of) {
    return "expired " + shearpin::to_text(*stock.ends);
  }
  if (stock.ends && *stock.ends <= home) {
    return "runs out " + shearpin::to_text(*stock.ends);
  }
  if (stock.state == domain::LotState::worn) {
    return "worn take-off";
  }
  return "";
}

/// Pieces in sheds and sheds' shelves that the advised kit still wants aboard.
void mark_loading(const CarryAnswer& carry, std::vector<PackLine>& packing) {
  for (const auto& line : carry.lines) {
    std::int64_t wanted = line.short_by();
    for (auto& pack : packing) {
      if (wanted <= 0) {
        break;
      }
      if (pack.aboard || pack.part != line.part || !pack.remark.empty()) {
        continue;
      }
      const auto take = std::min(wanted, pack.quantity);
      pack.remark = fmt::format("load {} of these", take);
      wanted -= take;
    }
  }
}

void add_packing(const Analyst& analyst, const Window& window, StockReport& report) {
  const auto& catalogue = analyst.catalogue();
  for (const auto& stock : analyst.snapshot().stock) {
    const auto& bin = catalogue.at(stock.bin);
    const auto& part = catalogue.at(stock.part);
    report.packing.push_back({bin.key, bin.name, part.key, part.name, stock.batch, stock.quantity,
                              !bin.ashore, packing_remark(analyst, stock, window)});
  }
  mark_loading(report.carry, report.packing);
  std::stable_sort(report.packing.begin(), report.packing.end(),
                   [](const PackLine& a, const PackLine& b) {
                     return std::tie(b.aboard, a.bin, a.part) < std::tie(a.aboard, b.bin, b.part);
                   });
}

void add_use(const Analyst& analyst, const Window& window, StockReport& report) {
  for (const auto& meter : analyst.catalogue().meters) {
    if (meter.retired) {
      continue;
    }
    UseLine line;
    line.meter = meter.key;
    line.unit = meter.unit;
    const auto given = window.use.find(meter.id);
    line.planned = given != window.use.end();
    line.amount = line.planned ? given->second
                               : analyst.exposure().rate_of(meter.id).value_or(0) * window.days;
    report.use.push_back(std::move(line));
  }
}

void add_assumptions(const Analyst& analyst, StockReport& report) {
  report.assumptions.resize(report.carry.lines.size());
  for_each_index(report.carry.lines.size(), [&](std::size_t i) {
    const auto& carry = report.carry.lines[i];
    const auto belief = analyst.life_belief(carry.id);
    const auto summary = stats::posterior_summary(belief.prior, belief.lives);
    report.assumptions[i] = {
        carry.part,           carry.name,           std::string(domain::unit_of(belief.basis)),
        summary.scale.low,    summary.scale.median, summary.scale.high,
        summary.failures,     summary.exposure,     summary.share_learnt,
        summary.variance_grew};
  });
}

void add_cautions(const Analyst& analyst, StockReport& report) {
  domain::Cautions cautions(analyst.catalogue());
  cautions.add("estimate-limits");
  for (const auto& position : analyst.catalogue().positions) {
    if (!position.retired) {
      cautions.add(position);
    }
  }
  for (const auto* note : cautions.notes()) {
    report.cautions.emplace_back(note->key, note->text);
  }
}

}  // namespace

StockReport advise_report(const domain::Snapshot& snapshot, const Window& window) {
  const Analyst analyst(snapshot);
  StockReport report;
  report.as_of = snapshot.as_of;
  report.title = fmt::format("Stock report for {} days without resupply from {}", window.days,
                             shearpin::to_text(window.start));
  for (const auto& rig : analyst.catalogue().rigs) {
    if (!rig.retired) {
      report.rigs.push_back(rig.name.empty() ? rig.key : rig.name);
    }
  }
  const auto parts = parts_asked(analyst, {});
  report.carry = carry_answer(analyst, window, parts);
  const auto lines = base_lines(analyst, parts);
  report.reorder = reorder_answer(analyst, lines, &report.carry);
  report.now = now_answer(analyst, window.days, lines);
  add_use(analyst, window, report);
  add_exposed(analyst, window, report);
  add_packing(analyst, window, report);
  add_assumptions(analyst, report);
  add_cautions(analyst, report);
  return report;
}

}  // namespace shearpin::advice
