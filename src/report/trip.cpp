// Trips as people keep them.

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/sections.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::report {
namespace {

using domain::Sold;
using domain::TripLegDraft;
using domain::TripLine;
using domain::TripStopDraft;

constexpr std::size_t kLegsAcross = 6;  // columns of figures that fit beside meter and unit

/// Amounts by key of the meter, as it shows them.
template <class Uses>
Row use_row(const Uses& uses, const domain::Catalogue& catalogue) {
  Row row;
  for (const auto& [id, amount] : uses) {
    const domain::Meter& meter = catalogue.at(id);
    row.push_back({meter.key, domain::shown_amount(meter, amount)});
  }
  return row;
}

struct ShownLeg {
  TripLegDraft leg;
  Row use;
};

Row planned_leg_row(const ShownLeg& shown) {
  const TripLegDraft& leg = shown.leg;
  return {{"leg", leg.number, "number"},
          {"from", leg.from},
          {"to", leg.to},
          {"route", leg.route},
          {"use", shown.use, "amount by key of the meter, in its own unit"},
          {"conditions", leg.conditions},
          {"signal", leg.signal, "`false`: nothing can be ordered on these days"}};
}

Row planned_stop_row(const TripStopDraft& stop) {
  return {{"date", stop.date},
          {"place", stop.place},
          {"sells", stop.sold, "`all`, `part:KEY`, `class:KEY`, `supplier:KEY`, `resupply:WORD`"},
          {"parcels", stop.parcels, "taken in"},
          {"extra_days", stop.extra_days, "that a parcel takes longer"}};
}

Row stretch_row(const domain::ConditionStretch& stretch) {
  return {{"name", stretch.condition},
          {"from", stretch.from},
          {"to", stretch.to},
          {"days", days_between(stretch.from, stretch.to) + 1}};
}

/// What follows from legs and stops: dates, days, and what is lacking.
Row span_fields(const TripLine& trip) {
  const bool any = !trip.legs.empty();
  return {
      {"departure", any ? Value(trip.legs.front().from) : Value()},
      {"end", any ? Value(trip.legs.back().to) : Value()},
      {"days", any ? Value(days_between(trip.legs.front().from, trip.legs.back().to) + 1) : Value(),
       "first and last day, both counted in `days`; `null`: no legs yet"},
      {"lacks", or_null(domain::trip_lacks(trip).value_or("")),
       "a sentence saying why the plan cannot be used yet; `null`: it is whole"}};
}

Row list_row(const TripLine& told) {
  const TripLine trip = domain::in_order(told);
  return joined({{"key", trip.key},
                 {"name", trip.name},
                 {"legs", trip.legs.size()},
                 {"stops", trip.stops.size(), "how many"}},
                span_fields(trip));
}

std::string days_counted(Date from, Date to) { return counted(days_between(from, to) + 1, "day"); }

/// `38 days, 6 legs, 3 stops on the way`.
std::string size_text(const TripLine& trip) {
  std::string text;
  if (!trip.legs.empty()) {
    text =
        fmt::format("{} to {}: {}, ", to_text(trip.legs.front().from), to_text(trip.legs.back().to),
                    days_counted(trip.legs.front().from, trip.legs.back().to));
  }
  return text + fmt::format("{}, {}.", counted(static_cast<long long>(trip.legs.size()), "leg"),
                            counted(static_cast<long long>(trip.stops.size()), "stop"));
}

TextTable leg_table(const TripLine& trip) {
  TextTable table;
  for (const TripLegDraft& leg : trip.legs) {
    table.add({{right("leg"), std::to_string(leg.number)},
               {left("from"), to_text(leg.from)},
               {left("to"), to_text(leg.to)},
               {right("days"), std::to_string(days_between(leg.from, leg.to) + 1)},
               {wide("route"), leg.route},
               {wide("conditions"), join(leg.conditions, ", ")},
               {left("signal"), leg.signal ? "yes" : "no"}});
  }
  return table;
}

/// Meters in the order in which the legs name them.
std::vector<MeterId> meters_of(const TripLine& trip) {
  std::vector<MeterId> meters;
  for (const TripLegDraft& leg : trip.legs) {
    for (const auto& use : leg.use) {
      if (std::find(meters.begin(), meters.end(), use.first) == meters.end()) {
        meters.push_back(use.first);
      }
    }
  }
  return meters;
}

/// None: the leg plans nothing on this meter.
std::string use_cell(const domain::Meter& meter, const TripLegDraft& leg) {
  for (const auto& [id, amount] : leg.use) {
    if (id == meter.id) {
      return amount_text(domain::shown_amount(meter, amount), "");
    }
  }
  return std::string(kNothing);
}

/// Legs `first` to `last` (not counted) side by side, with the sum over all at the end.
TextTable use_table(const TripLine& trip, const domain::Catalogue& catalogue, std::size_t first,
                    std::size_t last) {
  TextTable table;
  const auto total = domain::planned_use(trip);
  for (const MeterId id : meters_of(trip)) {
    const domain::Meter& meter = catalogue.at(id);
    std::vector<Cell> cells{{wide("meter"), meter.key}, {left(""), meter.unit}};
    for (std::size_t i = first; i < last; ++i) {
      cells.push_back(
          {right(fmt::format("leg {}", trip.legs[i].number)), use_cell(meter, trip.legs[i])});
    }
    if (last == trip.legs.size()) {
      cells.push_back({right("all"), amount_text(domain::shown_amount(meter, total.at(id)), "")});
    }
    table.add(cells);
  }
  return table;
}

std::string use_section(const TripLine& trip, const domain::Catalogue& catalogue,
                        std::size_t width) {
  const auto meters = meters_of(trip);
  if (meters.empty()) {
    return trip.legs.empty() ? "" : "\n" + wrap_text("No use planned: usual rates hold.", width);
  }
  std::string text = "\n" + heading("Use planned");
  for (std::size_t first = 0; first < trip.legs.size(); first += kLegsAcross) {
    text += first == 0 ? "" : "\n";
    text += use_table(trip, catalogue, first, std::min(first + kLegsAcross, trip.legs.size()))
                .to_text(width);
  }
  const bool some_left = std::any_of(trip.legs.begin(), trip.legs.end(), [&](const auto& leg) {
    return leg.use.size() < meters.size();
  });
  return text + (some_left ? wrap_text("-: nothing planned, the usual rate holds.", width) : "");
}

/// What is sold, in words for one cell: `p08, p23; all from s2`.
std::string sold_text(const std::vector<std::string>& words) {
  std::map<Sold::Kind, std::vector<std::string>> keys;
  for (const std::string& word : words) {
    Sold sold;
    try {
      sold = domain::parse_sold(word);
    } catch (const InputError&) {  // kept before stops were checked: shown as it stands
      keys[Sold::Kind::part].push_back(quoted(word));
      continue;
    }
    keys[sold.kind].push_back(
        sold.kind == Sold::Kind::resupply ? std::string(domain::to_text(sold.resupply)) : sold.key);
  }
  if (keys.count(Sold::Kind::all) > 0) {
    return "everything";
  }
  std::vector<std::string> groups;
  for (const auto& [kind, names] : keys) {
    const std::string list = join(names, ", ");
    groups.push_back(kind == Sold::Kind::part              ? list
                     : kind == Sold::Kind::component_class ? "class " + list
                     : kind == Sold::Kind::supplier        ? "all from " + list
                                                           : "resupply " + list);
  }
  return groups.empty() ? "nothing" : join(groups, "; ");
}

std::string parcels_text(const TripStopDraft& stop) {
  if (!stop.parcels) {
    return "no";
  }
  return stop.extra_days == 0 ? "yes" : fmt::format("yes, +{}", counted(stop.extra_days, "day"));
}

TextTable stop_table(const TripLine& trip) {
  TextTable table({left("day"), wide("place"), wide("can be had"), left("parcels")});
  for (const TripStopDraft& stop : trip.stops) {
    table.add_row({to_text(stop.date), stop.place, sold_text(stop.sold), parcels_text(stop)});
  }
  if (!trip.legs.empty()) {
    table.add_row({to_text(trip.legs.back().to), "home", "everything", "yes"});
  }
  return table;
}

/// `rough-road 28 days, heat 3 days`, longest first.
std::string conditions_text(const TripLine& trip) {
  std::map<std::string, int> days;
  for (const auto& stretch : domain::condition_stretches(trip)) {
    days[stretch.condition] += days_between(stretch.from, stretch.to) + 1;
  }
  std::vector<std::pair<std::string, int>> longest(days.begin(), days.end());
  std::stable_sort(longest.begin(), longest.end(),
                   [](const auto& a, const auto& b) { return a.second > b.second; });
  std::vector<std::string> words;
  for (const auto& [name, number] : longest) {
    words.push_back(name + ' ' + counted(number, "day"));
  }
  return words.empty() ? "none told" : join(words, ", ");
}

std::string signal_text(const TripLine& trip) {
  std::vector<std::string> without;
  for (const TripLegDraft& leg : trip.legs) {
    if (!leg.signal) {
      without.push_back(to_text(leg.from) + " to " + to_text(leg.to));
    }
  }
  if (without.empty()) {
    return "Signal on every day.";
  }
  const auto last = domain::last_signal_day(trip, trip.legs.back().to);
  if (!last) {
    return "No signal on the way: nothing can be ordered before home.";
  }
  return fmt::format("No signal {}. Last day with signal: {}.", join_words(without),
                     to_text(*last));
}

}  // namespace

Row trip_fields(const TripLine& told, const domain::Catalogue& catalogue) {
  const TripLine trip = domain::in_order(told);
  std::vector<ShownLeg> legs;
  for (const TripLegDraft& leg : trip.legs) {
    legs.push_back({leg, use_row(leg.use, catalogue)});
  }
  const Row plan{{"key", trip.key},
                 {"name", trip.name, "of the trip"},
                 {"legs", each(legs, planned_leg_row), "by day"},
                 {"stops", each(trip.stops, planned_stop_row), "by day, without home"}};
  return joined(
      joined(plan, span_fields(trip)),
      {{"use", use_row(domain::planned_use(trip), catalogue),
        "planned in all, by key of the meter; a leg that names no amount adds nothing"},
       {"conditions", each(domain::condition_stretches(trip), stretch_row),
        "stretches without a break"},
       {"last_signal_day",
        trip.legs.empty() ? std::nullopt : domain::last_signal_day(trip, trip.legs.back().to),
        "`null`: none on the way"}});
}

Row trips_fields(const std::vector<TripLine>& trips) {
  return {{"trips", each(trips, list_row), "as `trip show` has it"}};
}

std::string trip_text(const TripLine& told, const domain::Catalogue& catalogue, std::size_t width) {
  const TripLine trip = domain::in_order(told);
  std::string text = wrap_text(key_and_name(trip.key, trip.name), width);
  text += wrap_text(size_text(trip), width);
  if (const auto lack = domain::trip_lacks(trip)) {
    text += wrap_text("Not whole yet: " + *lack, width);
  }
  if (!trip.legs.empty()) {
    text += section("Legs", leg_table(trip).to_text(width));
    text += use_section(trip, catalogue, width);
    text += section("Stops", stop_table(trip).to_text(width));
    text += "\n" + wrap_text("Conditions: " + conditions_text(trip) + ".", width);
    text += wrap_text(signal_text(trip), width);
  }
  return text;
}

std::string trip_json(const TripLine& told, const domain::Catalogue& catalogue) {
  return json_text(std::nullopt, trip_fields(told, catalogue));
}

std::string trips_text(const std::vector<TripLine>& trips, std::size_t width) {
  TextTable table;
  for (const Row& row : rows_of(trips, list_row)) {
    const auto known = [&row](const char* key) {
      const std::string& cell = cell_of(row, key);
      return cell.empty() ? std::string(kNothing) : cell;
    };
    table.add({{left("trip"), cell_of(row, "key")},
               {wide("name"), cell_of(row, "name")},
               {left("from"), known("departure")},
               {left("to"), known("end")},
               {right("days"), known("days")},
               {right("legs"), cell_of(row, "legs")},
               {right("stops"), cell_of(row, "stops")},
               {left("plan"), cell_of(row, "lacks").empty() ? "whole" : "not whole"}});
  }
  return table.empty() ? "No trips yet. Example: shearpin trip add june --from 2026-06-08 --to "
                         "2026-06-10\n"
                       : table.to_text(width);
}

std::string trips_json(const std::vector<TripLine>& trips) {
  return json_text(std::nullopt, trips_fields(trips));
}

std::string trips_csv(const std::vector<TripLine>& trips) {
  auto rows = rows_of(trips, list_row);
  for (Row& row : rows) {
    row.push_back({"whole", cell_of(row, "lacks").empty() ? "yes" : "no"});
  }
  return csv_table("key,name,departure,end,days,legs,stops,whole", rows);
}

}  // namespace shearpin::report
