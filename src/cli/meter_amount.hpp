#pragma once
/// METER=AMOUNT as people type planned use.

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "cli/session.hpp"

namespace shearpin::cli {

/// `93 h`, `620` in the meter's own unit, as the ledger stores it (km for a meter in miles).
/// InputError for another kind of unit or less than zero.
double stored_use(const std::string& typed, const domain::Meter& meter);

/// Every `METER=AMOUNT` of --use over `what` (as a message names it: "the whole stretch"), as
/// stored_use. InputError for a word without a meter or an amount, and for a meter named twice.
std::vector<std::pair<MeterId, double>> planned_amounts(const std::vector<std::string>& typed,
                                                        Session& session, std::string_view what);

}  // namespace shearpin::cli
