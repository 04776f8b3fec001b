#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "advice/carry_case.hpp"
#include "advice/part_by_part.hpp"
#include "advice/shared.hpp"
#include "domain/conditions.hpp"
#include "shearpin/advice/advise.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::advice {
namespace {

bool short_first(const CarryLine& a, const CarryLine& b) {
  const bool a_short = a.short_by() > 0, b_short = b.short_by() > 0;
  if (a_short != b_short) {
    return a_short;
  }
  if (a.severity != b.severity) {
    return a.severity < b.severity;
  }
  return a.part < b.part;
}

void add_totals(const Analyst& analyst, CarryAnswer& answer) {
  for (const auto& line : answer.lines) {
    answer.readiness_aboard *= line.chance_aboard;
    answer.readiness_carry *=
        std::max(line.chance_aboard, std::max(line.chance_carry, line.chance_aboard));
    const auto missing = line.to_buy();
    const auto kit = std::max<std::int64_t>(line.stock.aboard, line.carry);
    if (line.mass_g) {
      answer.mass_carry_g += *line.mass_g * static_cast<double>(kit);
    } else if (kit > 0) {
      answer.unweighed.push_back(line.part);
    }
    if (line.volume_ml) {
      answer.volume_carry_ml += *line.volume_ml * static_cast<double>(kit);
    }
    if (missing > 0 && line.price) {
      answer.cost_to_buy = answer.cost_to_buy + *line.price * missing;
    } else if (missing > 0) {
      answer.unpriced.push_back(line.part);
    }
  }
  const auto counted = [&](PartId part) {
    return !answer.named || std::any_of(answer.lines.begin(), answer.lines.end(),
                                        [&](const CarryLine& line) { return line.id == part; });
  };
  for (const auto& stock : analyst.snapshot().stock) {
    const auto& part = analyst.catalogue().at(stock.part);
    const auto& bin = analyst.catalogue().at(stock.bin);
    if (bin.ashore || !counted(stock.part)) {
      continue;
    }
    const double pieces = static_cast<double>(stock.quantity);
    answer.mass_aboard_g += analyst.catalogue().mass_of(part).value_or(0) * pieces;
    if (!bin.outside_volume) {
      answer.volume_aboard_ml += analyst.catalogue().volume_of(part).value_or(0) * pieces;
    }
  }
}

/// Volume of the kit leaves out what rides on a carrier: parts whose pieces aboard lie only there.
void leave_out_carriers(const Analyst& analyst, CarryAnswer& answer) {
  for (const auto& line : answer.lines) {
    bool on_carrier = false, inside = false;
    for (const auto& stock : analyst.snapshot().stock) {
      if (stock.part == line.id && !analyst.catalogue().at(stock.bin).ashore) {
        (analyst.catalogue().at(stock.bin).outside_volume ? on_carrier : inside) = true;
      }
    }
    const auto& home = analyst.catalogue().at(line.id).home_bin;
    const bool belongs_there = home && analyst.catalogue().at(*home).outside_volume;
    if ((on_carrier || belongs_there) && !inside && line.volume_ml) {
      answer.volume_carry_ml -= *line.volume_ml * static_cast<double>(std::max<std::int64_t>(
                                                      line.stock.aboard, line.carry));
    }
  }
}

void add_notes(const Analyst& analyst, const Window& window, CarryAnswer& answer) {
  note_impossible(analyst, answer.notes);
  std::set<std::string> names;
  for (const auto& condition : window.conditions) {
    names.insert(condition.first);
  }
  for (const auto& leg : window.trip ? window.trip->legs : std::vector<domain::TripLegDraft>{}) {
    names.insert(leg.conditions.begin(), leg.conditions.end());
  }
  for (const std::string& name : names) {
    if (auto note = domain::unknown_condition(analyst.catalogue(), name)) {
      answer.notes.push_back(std::move(*note));
    }
  }
}

}  // namespace

std::string_view to_text(DecidedBy decided) {
  return decided == DecidedBy::target ? "target" : "worth";
}

std::int64_t CarryLine::short_by() const { return std::max<std::int64_t>(0, carry - stock.aboard); }

std::int64_t CarryLine::to_buy() const {
  // What waits at a stop is no stock of the departure; the level has counted it already.
  return std::max<std::int64_t>(0, short_by() - stock.ashore - (stock.on_order - stock.waiting));
}

std::vector<PartId> parts_asked(const Analyst& analyst, std::span<const PartId> only) {
  return only.empty() ? parts_of_interest(analyst) : std::vector<PartId>(only.begin(), only.end());
}

CarryWork carry_work(const Analyst& analyst, const Window& window, std::span<const PartId> parts,
                     bool keep_inputs, bool named) {
  domain::check_stretch(window.days);
  CarryWork work;
  CarryAnswer& answer = work.answer;
  answer.named = named;
  answer.as_of = analyst.snapshot().as_of;
  answer.window = window;
  answer.lines.resize(parts.size());
  work.tables.resize(parts.size());
  work.trips.resize(window.trip && keep_inputs ? parts.size() : 0);
  const auto reasons = for_each_apart(parts.size(), [&](std::size_t i) {
    auto found = carry_case(analyst, parts[i], window);
    work.tables[i] = table_of(found);
    answer.lines[i] = found.line;
    if (!work.trips.empty()) {
      work.trips[i] = std::move(found);
    }
  });
  drop_unworked(answer.lines, reasons);
  drop_unworked(work.tables, reasons);
  if (!work.trips.empty()) {
    drop_unworked(work.trips, reasons);
  }
  const auto name = [&](std::size_t i) { return analyst.catalogue().at(parts[i]).key; };
  note_unworked(reasons, name, answer.notes);
  std::stable_sort(answer.lines.begin(), answer.lines.end(), short_first);
  add_totals(analyst, answer);
  leave_out_carriers(analyst, answer);
  add_notes(analyst, window, answer);
  return work;
}

CarryAnswer carry_answer(const Analyst& analyst, const Window& window,
                         std::span<const PartId> parts) {
  return carry_work(analyst, window, parts, false).answer;
}

CarryAnswer carry_answer_with(const Analyst& analyst, const Window& window,
                              std::span<const PartId> parts, const CarryOptions& options,
                              bool named) {
  auto work = carry_work(analyst, window, parts, options.simulate.has_value(), named);
  CarryAnswer answer = std::move(work.answer);
  if (options.limits.any()) {
    answer.kit = kit_view(analyst, work.tables, window, options.limits);
  }
  if (window.trip || options.limits.any()) {
    answer.frontier = frontier_of(analyst, work.tables);
  }
  if (options.simulate) {
    answer.simulated = simulate_kit(analyst, work.trips, answer, *options.simulate);
  }
  return answer;
}

CarryAnswer advise_carry(const domain::Snapshot& snapshot, const Window& window,
                         std::span<const PartId> only, const CarryOptions& options) {
  const Analyst analyst(snapshot);
  const auto parts = parts_asked(analyst, only);
  auto answer = carry_answer_with(analyst, window, parts, options, !only.empty());
  refuse_empty(parts.size(), answer.lines.size(), answer.notes);
  return answer;
}

}  // namespace shearpin::advice
