#pragma once
/// The closed word lists of the trade: severities, exposure bases, resupply classes and the like.
/// Each list has `to_text` (the spelling used on the command line, in files and in the ledger) and
/// `parse_...`, which throws InputError naming the word, the list and an example.

#include <string_view>

namespace shearpin::domain {

/// What a failure without cover means, worst first.
enum class Severity { safety, stranded, uninhabitable, degraded, nuisance };

/// What a unit's age is counted in.
enum class Basis { days, distance_km, engine_hours, run_hours, cycles, nights };

/// Where a part of a class can usually be had.
enum class Resupply { anywhere, hardware_store, order_online, specialist };

/// How a supplier is used.
enum class SupplierKind { walk_in, parcel };

/// State of the pieces of a lot.
enum class LotState { fresh, repaired, worn };

/// How a fitted unit's life ended.
enum class EndKind {
  failed,           ///< failed, date known
  failed_on_test,   ///< found failed; the failure lies between last known good and the test
  renewed,          ///< replaced or taken off while good
  expired,          ///< taken off at its marked end while good
  lost,             ///< lost, stolen, left behind
  stand_in_removed  ///< a stand-in of no part number taken out
};

/// What fills a place when the fitted unit is gone.
enum class PlaceState { empty, fitted, dead, workaround, stand_in };

/// The places outside the rig that stock comes from or goes to. `before` is whatever was aboard
/// when the ledger began; `taken_off` is the passage of a worn unit into a lot of its own.
enum class Outside { supplier, before, consumed, scrapped, lost, count_difference, taken_off };

std::string_view to_text(Severity);
std::string_view to_text(Basis);
std::string_view to_text(Resupply);
std::string_view to_text(SupplierKind);
std::string_view to_text(LotState);  // new, repaired, worn
std::string_view to_text(EndKind);
std::string_view to_text(PlaceState);
std::string_view to_text(Outside);

/// The unit an exposure in this basis is shown in: days, km, h, h, cycles, nights.
std::string_view unit_of(Basis);

Severity parse_severity(std::string_view);
Basis parse_basis(std::string_view);
Resupply parse_resupply(std::string_view);
SupplierKind parse_supplier_kind(std::string_view);
LotState parse_lot_state(std::string_view);
EndKind parse_end_kind(std::string_view);
PlaceState parse_place_state(std::string_view);
Outside parse_outside(std::string_view);

/// One step less severe; nuisance stays.
Severity one_down(Severity);

}  // namespace shearpin::domain
