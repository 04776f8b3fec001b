#include "shearpin/domain/vocabulary.hpp"

#include <catch2/catch.hpp>

#include "shearpin/base/error.hpp"
#include "shearpin/domain/draft.hpp"

using namespace shearpin;
using namespace shearpin::domain;

TEST_CASE("words are read as they are spelt, hyphens and underscores alike") {
  CHECK(to_text(Basis::distance_km) == "distance_km");
  CHECK(parse_basis("distance_km") == Basis::distance_km);
  CHECK(parse_basis(" Distance-km ") == Basis::distance_km);
  CHECK(parse_resupply("hardware_store") == Resupply::hardware_store);
  CHECK(to_text(Resupply::hardware_store) == "hardware-store");
  CHECK(to_text(LotState::fresh) == "new");
  CHECK(parse_lot_state("new") == LotState::fresh);
  CHECK(parse_supplier_kind("walk-in") == SupplierKind::walk_in);
}

TEST_CASE("a word outside the list is refused with the list") {
  CHECK_THROWS_AS(parse_severity("severe"), InputError);
  CHECK_THROWS_AS(parse_severity(""), InputError);
  CHECK_THROWS_WITH(parse_resupply("moon"), Catch::Contains("\"moon\"") &&
                                                Catch::Contains("order-online") &&
                                                Catch::Contains("for example anywhere"));
}

TEST_CASE("every end, state, place and entry kind reads back from its own spelling") {
  for (const EndKind kind : {EndKind::failed, EndKind::failed_on_test, EndKind::renewed,
                             EndKind::expired, EndKind::lost, EndKind::stand_in_removed}) {
    CHECK(parse_end_kind(to_text(kind)) == kind);
  }
  for (const PlaceState state : {PlaceState::empty, PlaceState::fitted, PlaceState::dead,
                                 PlaceState::workaround, PlaceState::stand_in}) {
    CHECK(parse_place_state(to_text(state)) == state);
  }
  for (const Outside place :
       {Outside::supplier, Outside::before, Outside::consumed, Outside::scrapped, Outside::lost,
        Outside::count_difference, Outside::taken_off}) {
    CHECK(parse_outside(to_text(place)) == place);
  }
  for (int i = 0; i <= static_cast<int>(EntryKind::undo); ++i) {
    const auto kind = static_cast<EntryKind>(i);
    CHECK(parse_entry_kind(to_text(kind)) == kind);
  }
}

TEST_CASE("a step down the severities stops at nuisance") {
  CHECK(one_down(Severity::safety) == Severity::stranded);
  CHECK(one_down(Severity::degraded) == Severity::nuisance);
  CHECK(one_down(Severity::nuisance) == Severity::nuisance);
}

TEST_CASE("each basis has the unit its exposure is shown in") {
  CHECK(unit_of(Basis::days) == "days");
  CHECK(unit_of(Basis::distance_km) == "km");
  CHECK(unit_of(Basis::engine_hours) == "h");
  CHECK(unit_of(Basis::run_hours) == "h");
  CHECK(unit_of(Basis::cycles) == "cycles");
  CHECK(unit_of(Basis::nights) == "nights");
}
