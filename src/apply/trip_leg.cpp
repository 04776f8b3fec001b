#include "apply/trip_leg.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::apply {

double stored_use(const std::string& typed, const domain::Meter& meter) {
  const double amount = parse_exposure(typed, meter.unit, "amount");
  if (amount < 0) {
    throw InputError(fmt::format("{}={}: an amount is zero or more; example: {}=620", meter.key,
                                 typed, meter.key));
  }
  return domain::stored_amount(meter, amount);
}

std::vector<std::pair<MeterId, double>> planned_amounts(const std::vector<std::string>& words,
                                                        Resolver& who, std::string_view what) {
  std::vector<std::pair<MeterId, double>> amounts;
  for (const auto& typed : words) {
    const auto equals = typed.find('=');
    if (equals == std::string::npos || equals == 0) {
      throw InputError(fmt::format(
          "--use {}: a meter and its amount over {}; example: --use truck-km=3740", typed, what));
    }
    const auto& meter = who.named<domain::Meter>(typed.substr(0, equals));
    if (std::any_of(amounts.begin(), amounts.end(),
                    [&](const auto& other) { return other.first == meter.id; })) {
      throw InputError(fmt::format("--use {}: {} has an amount already; give each meter once",
                                   typed, meter.key));
    }
    amounts.emplace_back(meter.id, stored_use(typed.substr(equals + 1), meter));
  }
  return amounts;
}

void add_leg(domain::TripLine& trip, const interchange::ImportRow& row, Resolver& who) {
  const auto day = [&](std::string_view column) {
    return parse_date(row.text(column), who.today());
  };
  const auto number = [&](std::string_view column) {
    return static_cast<int>(row.find(column) == nullptr ? 0
                                                        : parse_count(row.text(column), column, 0));
  };
  trip.name = row.find("name") == nullptr ? trip.name : row.text("name");
  domain::TripLegDraft& leg = trip.legs.emplace_back();
  leg.number = number("leg");
  leg.from = day("from");
  leg.to = day("to");
  leg.route = row.text("route");
  for (const auto& name : interchange::list_of(row.text("conditions"))) {
    leg.conditions.push_back(lower_case(name));
  }
  leg.signal = row.text("signal") != "no";
  for (const auto& typed : interchange::list_of(row.text("use"))) {
    const auto equals = typed.find('=');
    const auto& meter = who.named<domain::Meter>(typed.substr(0, equals));
    leg.use.emplace_back(meter.id, stored_use(typed.substr(equals + 1), meter));
  }
  if (row.find("stop") != nullptr) {
    trip.stops.push_back({row.find("stop_date") == nullptr ? leg.to : day("stop_date"),
                          row.text("stop"), interchange::list_of(row.text("sold")),
                          row.find("parcels") != nullptr, number("extra_days")});
  }
}

}  // namespace shearpin::apply
