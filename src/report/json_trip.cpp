#include "report/json_values.hpp"
#include "report/trip.hpp"

namespace shearpin::report {
namespace {

using domain::TripLine;

template <class Uses>
Json use_json(const Uses& uses, const domain::Catalogue& catalogue) {
  Json json = Json::object();
  for (const auto& [id, amount] : uses) {
    const domain::Meter& meter = catalogue.at(id);
    json[meter.key] = figure(domain::shown_amount(meter, amount));
  }
  return json;
}

Json leg_json(const domain::TripLegDraft& leg, const domain::Catalogue& catalogue) {
  return {
      {"leg", leg.number},   {"from", to_text(leg.from)},           {"to", to_text(leg.to)},
      {"route", leg.route},  {"use", use_json(leg.use, catalogue)}, {"conditions", leg.conditions},
      {"signal", leg.signal}};
}

Json stop_json(const domain::TripStopDraft& stop) {
  return {{"date", to_text(stop.date)},
          {"place", stop.place},
          {"sells", stop.sold},
          {"parcels", stop.parcels},
          {"extra_days", stop.extra_days}};
}

/// What follows from legs and stops: dates, days, and what is lacking.
void add_span(Json& json, const TripLine& trip) {
  const bool any = !trip.legs.empty();
  json["departure"] = any ? Json(to_text(trip.legs.front().from)) : Json();
  json["end"] = any ? Json(to_text(trip.legs.back().to)) : Json();
  json["days"] = any ? Json(days_between(trip.legs.front().from, trip.legs.back().to) + 1) : Json();
  json["lacks"] = text_or_null(domain::trip_lacks(trip).value_or(""));
}

}  // namespace

std::string trip_json(const TripLine& told, const domain::Catalogue& catalogue) {
  const TripLine trip = domain::in_order(told);
  Json json{{"schema", kSchema}, {"key", trip.key}, {"name", trip.name}};
  json["legs"] = Json::array();
  for (const auto& leg : trip.legs) {
    json["legs"].push_back(leg_json(leg, catalogue));
  }
  json["stops"] = Json::array();
  for (const auto& stop : trip.stops) {
    json["stops"].push_back(stop_json(stop));
  }
  add_span(json, trip);
  json["use"] = use_json(domain::planned_use(trip), catalogue);
  json["conditions"] = Json::array();
  for (const auto& stretch : domain::condition_stretches(trip)) {
    json["conditions"].push_back({{"name", stretch.condition},
                                  {"from", to_text(stretch.from)},
                                  {"to", to_text(stretch.to)},
                                  {"days", days_between(stretch.from, stretch.to) + 1}});
  }
  json["last_signal_day"] =
      trip.legs.empty() ? Json() : maybe(domain::last_signal_day(trip, trip.legs.back().to));
  return written(json);
}

std::string trips_json(const std::vector<TripLine>& trips) {
  Json json{{"schema", kSchema}};
  json["trips"] = Json::array();
  for (const TripLine& told : trips) {
    const TripLine trip = domain::in_order(told);
    Json one{{"key", trip.key},
             {"name", trip.name},
             {"legs", trip.legs.size()},
             {"stops", trip.stops.size()}};
    add_span(one, trip);
    json["trips"].push_back(std::move(one));
  }
  return written(json);
}

}  // namespace shearpin::report
