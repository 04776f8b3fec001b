#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>

#include "advice/outlook.hpp"
#include "advice/part_by_part.hpp"
#include "advice/shared.hpp"
#include "domain/cautions.hpp"
#include "domain/plan_fitting.hpp"
#include "shearpin/advice/advise.hpp"

namespace shearpin::advice {
namespace {

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

/// Pieces of each part that shall be aboard: of the kit under limits where there is one, else all
/// that is aboard and all that is advised.
std::map<std::string, std::int64_t> wanted_aboard(const CarryAnswer& carry) {
  std::map<std::string, std::int64_t> wanted;
  for (const auto& line : carry.lines) {
    wanted[line.part] = std::max<std::int64_t>(line.carry, line.stock.aboard);
  }
  if (carry.kit && carry.kit->found) {
    for (const auto& line : carry.kit->lines) {
      wanted[line.part] = line.kit;
    }
  }
  return wanted;
}

/// Says of up to `pieces` sound ones, aboard or ashore, what is to be done with them; tells how
/// many were found.
std::int64_t mark(std::vector<PackLine>& packing, const std::string& part, bool aboard,
                  std::int64_t pieces, std::string_view what) {
  std::int64_t left = pieces;
  for (auto& pack : packing) {
    if (left <= 0) {
      break;
    }
    if (pack.aboard == aboard && pack.part == part && pack.remark.empty()) {
      const auto take = std::min(left, pack.quantity);
      pack.remark = fmt::format("{} {} of these", what, take);
      left -= take;
    }
  }
  return pieces - left;
}

/// What is to come aboard from elsewhere, in the part's home bin; a part without one has no bin
/// yet.
PackLine to_come(const Analyst& analyst, const CarryLine& line, std::int64_t pieces,
                 std::string_view remark) {
  PackLine pack;
  pack.part = line.part;
  pack.name = line.name;
  pack.quantity = pieces;
  pack.remark = remark;
  const auto& home = analyst.catalogue().at(line.id).home_bin;
  if (home && !analyst.catalogue().at(*home).ashore) {
    pack.bin = analyst.catalogue().at(*home).key;
    pack.bin_name = analyst.catalogue().at(*home).name;
  }
  return pack;
}

/// Loads, leaves and buys until what is wanted is aboard.
void fill_up(const Analyst& analyst, const CarryAnswer& carry, std::vector<PackLine>& packing) {
  const auto wanted = wanted_aboard(carry);
  for (const auto& line : carry.lines) {
    const auto missing = wanted.at(line.part) - line.stock.aboard;
    mark(packing, line.part, true, -missing, "leave");
    // What comes before the departure comes anyway; a later parcel only in place of a purchase.
    const auto awaited = std::min(std::max<std::int64_t>(missing, 0), line.stock.arriving);
    const auto loaded = mark(packing, line.part, false, missing - awaited, "load");
    const auto late = std::min(std::max<std::int64_t>(missing - awaited - loaded, 0),
                               line.stock.on_order - line.stock.arriving - line.stock.waiting);
    const auto ordered = awaited + late;
    const auto bought = missing - loaded - ordered;
    if (ordered > 0) {
      packing.push_back(to_come(analyst, line, ordered, "on order: put in when it comes"));
    }
    if (bought > 0) {
      packing.push_back(to_come(analyst, line, bought, "buy"));
    }
  }
}

/// One line for all lots that differ in nothing that a person packing needs to know.
void add_pieces(PackLine line, std::vector<PackLine>& packing) {
  const auto same = std::find_if(packing.begin(), packing.end(), [&](const PackLine& other) {
    return std::tie(other.bin, other.part, other.batch, other.remark) ==
           std::tie(line.bin, line.part, line.batch, line.remark);
  });
  if (same == packing.end()) {
    packing.push_back(std::move(line));
  } else {
    same->quantity += line.quantity;
  }
}

void add_packing(const Analyst& analyst, const Window& window, StockReport& report) {
  const auto& catalogue = analyst.catalogue();
  for (const auto& stock : analyst.snapshot().stock) {
    const auto& bin = catalogue.at(stock.bin);
    const auto& part = catalogue.at(stock.part);
    add_pieces({bin.key, bin.name, part.key, part.name, stock.batch, stock.quantity, !bin.ashore,
                packing_remark(analyst, stock, window)},
               report.packing);
  }
  fill_up(analyst, report.carry, report.packing);
  std::stable_sort(report.packing.begin(), report.packing.end(),
                   [](const PackLine& a, const PackLine& b) {
                     const bool a_none = a.bin.empty(), b_none = b.bin.empty();
                     return std::tie(b.aboard, a_none, a.bin, a.part) <
                            std::tie(a.aboard, b_none, b.bin, b.part);
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
    const double usual = analyst.exposure().rate_of(meter.id).value_or(0);
    if (window.trip) {
      for (const auto& leg : domain::use_by_leg(*window.trip, meter.id)) {
        line.planned = line.planned || leg.amount.has_value();
        line.amount += leg.amount.value_or(usual * (days_between(leg.from, leg.to) + 1));
      }
    } else {
      const auto given = window.use.find(meter.id);
      line.planned = given != window.use.end();
      line.amount = line.planned ? given->second : usual * window.days;
    }
    report.use.push_back(std::move(line));
  }
}

void add_assumptions(const Analyst& analyst, StockReport& report) {
  report.assumptions.resize(report.carry.lines.size());
  const auto reasons = for_each_apart(report.carry.lines.size(), [&](std::size_t i) {
    const auto& carry = report.carry.lines[i];
    const auto belief = analyst.life_belief(carry.id);
    const auto summary = stats::posterior_summary(belief.prior, belief.lives);
    report.assumptions[i] = {
        carry.part,           carry.name,           std::string(domain::unit_of(belief.basis)),
        summary.scale.low,    summary.scale.median, summary.scale.high,
        summary.failures,     summary.exposure,     summary.share_learnt,
        summary.variance_grew};
  });
  drop_unworked(report.assumptions, reasons);
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

/// What a stop sells in words; `all` alone is everything.
std::string sold_words(const domain::TripStop& stop) {
  std::string words;
  for (const auto& sold : stop.sold) {
    words += (words.empty() ? "" : ", ") + domain::to_text(sold);
  }
  return words;
}

TripView trip_view(const Window& window, const ReorderAnswer& reorder) {
  const auto& trip = *window.trip;
  TripView view;
  view.key = trip.key;
  view.name = trip.name;
  view.from = trip.departure();
  view.to = trip.end();
  for (const auto& leg : trip.legs) {
    view.legs.push_back({leg.from, leg.to, leg.route, leg.signal});
  }
  for (const auto& stop : trip.stops) {
    view.stops.push_back({stop.date, stop.place, stop.parcels, sold_words(stop)});
  }
  for (const auto& line : reorder.lines) {
    const auto open = std::find_if(line.chances.begin(), line.chances.end(),
                                   [](const auto& chance) { return !chance.missed; });
    if (line.wanted() && open != line.chances.end()) {
      view.orders.push_back({line.part, line.name, open->order_by, open->where, open->received});
    } else if (line.wanted() && !line.chances.empty()) {
      view.late.emplace_back(line.part, line.name);
    }
  }
  std::stable_sort(view.orders.begin(), view.orders.end(),
                   [](const auto& a, const auto& b) { return a.by < b.by; });
  return view;
}

}  // namespace

StockReport advise_report(const domain::Snapshot& snapshot, const Window& window,
                          const CarryOptions& options) {
  const Analyst analyst(snapshot);
  StockReport report;
  report.as_of = snapshot.as_of;
  report.title = window.trip ? fmt::format("Stock report for {}, {} to {}", window.trip->name,
                                           shearpin::to_text(window.start),
                                           shearpin::to_text(window.trip->end()))
                             : fmt::format("Stock report for {} days without resupply from {}",
                                           window.days, shearpin::to_text(window.start));
  for (const auto& rig : analyst.catalogue().rigs) {
    if (!rig.retired) {
      report.rigs.push_back(rig.name.empty() ? rig.key : rig.name);
    }
  }
  const auto parts = parts_asked(analyst, {});
  report.carry = carry_answer_with(analyst, window, parts, options);
  const auto base = base_lines(analyst, parts);
  report.reorder = reorder_answer(analyst, base, &report.carry);
  const int ahead = days_between(snapshot.as_of, window.start) + window.days;
  report.now = now_answer(analyst, ahead, base);
  report.frontier = report.carry.frontier;
  if (window.trip) {
    report.trip = trip_view(window, report.reorder);
  }
  add_use(analyst, window, report);
  auto weak = weak_answer(analyst, window, domain::Severity::uninhabitable);
  report.uncovered = std::move(weak.uncovered);
  report.worked_round = std::move(weak.worked_round);
  report.now.notes.insert(report.now.notes.end(), weak.notes.begin(), weak.notes.end());
  add_packing(analyst, window, report);
  add_assumptions(analyst, report);
  add_cautions(analyst, report);
  return report;
}

}  // namespace shearpin::advice
