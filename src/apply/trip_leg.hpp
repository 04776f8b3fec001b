#pragma once
/// Legs and stops of trips from words, and planned use.

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "apply/resolver.hpp"
#include "interchange/rows.hpp"

namespace shearpin::apply {

/// `93 h`, `620` in the meter's own unit, as the ledger stores it (km for a meter in miles).
/// InputError for another kind of unit or less than zero.
double stored_use(const std::string& typed, const domain::Meter& meter);

/// Every `METER=AMOUNT` of --use over `what` (as a message names it: "the whole stretch"), as
/// stored_use. InputError for a word without a meter or an amount, and for a meter named twice.
std::vector<std::pair<MeterId, double>> planned_amounts(const std::vector<std::string>& typed,
                                                        Resolver& who, std::string_view what);

/// The words from, to, route, use, condition and no-signal as a leg.
domain::TripLegDraft leg(const Arguments& words, Resolver& who);

/// The words PLACE, on, sells, parcels and extra-days as a stop; names of what it sells made keys.
domain::TripStopDraft stop(const Arguments& words, Resolver& who);

/// Adds the leg of one row, and the stop at its end. InputError for an unknown meter or a bad
/// amount.
void add_leg(domain::TripLine& trip, const interchange::ImportRow& row, Resolver& who);

}  // namespace shearpin::apply
