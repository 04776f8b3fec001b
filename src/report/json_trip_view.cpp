#include "report/json_values.hpp"
#include "report/kit_text.hpp"

namespace shearpin::report {
namespace {

Json points(const std::vector<advice::FrontierPoint>& line, const char* amount) {
  Json all = Json::array();
  for (const advice::FrontierPoint& point : line) {
    Json changes = Json::array();
    for (const auto& change : point.changes) {
      changes.push_back({{"part", change.part}, {"from", change.from}, {"to", change.to}});
    }
    all.push_back({{amount, figure(point.amount)},
                   {"readiness", figure(point.readiness)},
                   {"days_without", figure(point.days_without)},
                   {"step", changes_words(point.changes)},
                   {"changes", std::move(changes)}});
  }
  return all;
}

Json legs(const advice::TripView& trip) {
  Json all = Json::array();
  for (const auto& leg : trip.legs) {
    all.push_back({{"from", to_text(leg.from)},
                   {"to", to_text(leg.to)},
                   {"route", leg.route},
                   {"signal", leg.signal}});
  }
  return all;
}

Json stops(const advice::TripView& trip) {
  Json all = Json::array();
  for (const auto& stop : trip.stops) {
    all.push_back({{"date", to_text(stop.date)},
                   {"place", stop.place},
                   {"parcels", stop.parcels},
                   {"sold", text_or_null(stop.sold)}});
  }
  return all;
}

Json orders(const advice::TripView& trip) {
  Json all = Json::array();
  for (const auto& order : trip.orders) {
    all.push_back({{"part", order.part},
                   {"name", order.name},
                   {"order_by", to_text(order.by)},
                   {"where", order.where},
                   {"received", to_text(order.received)}});
  }
  return all;
}

Json late(const advice::TripView& trip) {
  Json all = Json::array();
  for (const auto& [part, name] : trip.late) {
    all.push_back({{"part", part}, {"name", name}});
  }
  return all;
}

}  // namespace

Json frontier_json(const advice::Frontier& frontier) {
  return {{"by_money", points(frontier.by_money, "money")},
          {"by_mass", points(frontier.by_mass, "mass_g")}};
}

Json trip_json(const std::optional<advice::TripView>& trip) {
  if (!trip) {
    return nullptr;
  }
  return {{"trip", trip->key},       {"name", trip->name},  {"from", to_text(trip->from)},
          {"to", to_text(trip->to)}, {"legs", legs(*trip)}, {"stops", stops(*trip)},
          {"orders", orders(*trip)}, {"late", late(*trip)}};
}

}  // namespace shearpin::report
