#include "cli/meter_amount.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/quantity.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::cli {

double stored_use(const std::string& typed, const domain::Meter& meter) {
  const double amount = parse_exposure(typed, meter.unit, "amount");
  if (amount < 0) {
    throw InputError(fmt::format("{}={}: an amount is zero or more; example: {}=620", meter.key,
                                 typed, meter.key));
  }
  return domain::stored_amount(meter, amount);
}

std::vector<std::pair<MeterId, double>> planned_amounts(const std::vector<std::string>& words,
                                                        Session& session, std::string_view what) {
  std::vector<std::pair<MeterId, double>> amounts;
  for (const auto& typed : words) {
    const auto equals = typed.find('=');
    if (equals == std::string::npos || equals == 0) {
      throw InputError(fmt::format(
          "--use {}: a meter and its amount over {}; example: --use truck-km=3740", typed, what));
    }
    const MeterId id = session.meter(typed.substr(0, equals));
    const auto& meter = session.catalogue().at(id);
    if (std::any_of(amounts.begin(), amounts.end(),
                    [id](const auto& other) { return other.first == id; })) {
      throw InputError(fmt::format("--use {}: {} has an amount already; give each meter once",
                                   typed, meter.key));
    }
    amounts.emplace_back(id, stored_use(typed.substr(equals + 1), meter));
  }
  return amounts;
}

}  // namespace shearpin::cli
