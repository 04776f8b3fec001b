#include "apply/trip_leg.hpp"

#include <algorithm>

#include "base/quantity.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::apply {

double stored_use(const std::string& typed, const domain::Meter& meter) {
  const double amount = parse_exposure(typed, meter.unit, "amount");
  if (amount < 0) {
    refuse("{}={}: an amount is zero or more; example: {}=620", meter.key, typed, meter.key);
  }
  return domain::stored_amount(meter, amount);
}

std::vector<std::pair<MeterId, double>> planned_amounts(const std::vector<std::string>& words,
                                                        Resolver& who, std::string_view what) {
  std::vector<std::pair<MeterId, double>> amounts;
  for (const auto& typed : words) {
    const auto equals = typed.find('=');
    if (equals == std::string::npos || equals == 0) {
      refuse("--use {}: a meter and its amount over {}; example: --use truck-km=3740", typed, what);
    }
    const auto& meter = who.named<domain::Meter>(typed.substr(0, equals));
    if (std::any_of(amounts.begin(), amounts.end(),
                    [&](const auto& other) { return other.first == meter.id; })) {
      refuse("--use {}: {} has an amount already; give each meter once", typed, meter.key);
    }
    amounts.emplace_back(meter.id, stored_use(typed.substr(equals + 1), meter));
  }
  return amounts;
}

namespace {

/// `part:fridge fuse` with the name made a key; `all` and resupply words as they are.
std::string sold_word(const std::string& word, Resolver& who) {
  const auto colon = word.find(':');
  const std::string prefix = lower_case(trimmed(word.substr(0, colon)));
  const std::string name(colon == std::string::npos ? "" : trimmed(word.substr(colon + 1)));
  if (!name.empty() && prefix == "part") {
    return "part:" + who.named<domain::Part>(name).key;
  }
  if (!name.empty() && prefix == "class") {
    return "class:" + who.named<domain::ComponentClass>(name).key;
  }
  if (!name.empty() && prefix == "supplier") {
    return "supplier:" + who.named<domain::Supplier>(name).key;
  }
  return domain::to_text(domain::parse_sold(word));
}

}  // namespace

domain::TripLegDraft leg(const Arguments& words, Resolver& who) {
  domain::TripLegDraft leg;
  leg.from = parse_date(words.required("from"), who.today());
  leg.to = parse_date(words.required("to"), who.today());
  leg.route = words.text("route").value_or("");
  leg.use = planned_amounts(words.list("use"), who, "the leg");
  for (const auto& name : words.list("condition")) {
    leg.conditions.push_back(lower_case(trimmed(name)));
  }
  leg.signal = !words.flag("no-signal");
  return leg;
}

domain::TripStopDraft stop(const Arguments& words, Resolver& who) {
  domain::TripStopDraft stop;
  stop.place = std::string(trimmed(words.required("PLACE")));
  stop.date = parse_date(words.required("on"), who.today());
  for (std::string list : words.list("sells")) {
    std::replace(list.begin(), list.end(), ';', ',');
    for (const auto& word : split(list, ',')) {
      if (!trimmed(word).empty()) {
        stop.sold.push_back(sold_word(std::string(trimmed(word)), who));
      }
    }
  }
  stop.parcels = words.flag("parcels");
  stop.extra_days =
      static_cast<int>(parse_count(words.text("extra-days").value_or("0"), "extra days", 0));
  return stop;
}

void add_leg(domain::TripLine& trip, const interchange::ImportRow& row, Resolver& who) {
  trip.name = row.find("name") == nullptr ? trip.name : row.text("name");
  Arguments words;
  for (const auto* column : {"from", "to", "route"}) {
    words.add(column, row.text(column));
  }
  for (const auto& typed : interchange::list_of(row.text("use"))) {
    words.add("use", typed);
  }
  for (const auto& name : interchange::list_of(row.text("conditions"))) {
    words.add("condition", name);
  }
  if (row.text("signal") == "no") {
    words.add_flag("no-signal");
  }
  trip.legs.push_back(leg(words, who));
  trip.legs.back().number = static_cast<int>(parse_count(row.text("leg"), "leg"));
  if (row.find("stop") == nullptr) {
    return;
  }
  words.add("PLACE", row.text("stop"));
  words.add("on", row.text(row.find("stop_date") == nullptr ? "to" : "stop_date"));
  if (row.find("parcels") != nullptr) {
    words.add_flag("parcels");
  }
  if (const auto* days = row.find("extra_days")) {
    words.add("extra-days", *days);
  }
  trip.stops.push_back(stop(words, who));
  // As they stand: plan_trip names the stop beside what the ledger does not hold.
  trip.stops.back().sold = interchange::list_of(row.text("sold"));
}

}  // namespace shearpin::apply
