#include "shearpin/domain/vocabulary.hpp"

#include "domain/word_list.hpp"

namespace shearpin::domain {
namespace {

constexpr Word<Severity> kSeverities[] = {{Severity::safety, "safety"},
                                          {Severity::stranded, "stranded"},
                                          {Severity::uninhabitable, "uninhabitable"},
                                          {Severity::degraded, "degraded"},
                                          {Severity::nuisance, "nuisance"}};

constexpr Word<Basis> kBases[] = {{Basis::days, "days"},
                                  {Basis::distance_km, "distance_km"},
                                  {Basis::engine_hours, "engine_hours"},
                                  {Basis::run_hours, "run_hours"},
                                  {Basis::cycles, "cycles"},
                                  {Basis::nights, "nights"}};

constexpr Word<Resupply> kResupplies[] = {{Resupply::anywhere, "anywhere"},
                                          {Resupply::hardware_store, "hardware-store"},
                                          {Resupply::order_online, "order-online"},
                                          {Resupply::specialist, "specialist"}};

constexpr Word<SupplierKind> kSupplierKinds[] = {{SupplierKind::walk_in, "walk-in"},
                                                 {SupplierKind::parcel, "parcel"}};

constexpr Word<LotState> kLotStates[] = {
    {LotState::fresh, "new"}, {LotState::repaired, "repaired"}, {LotState::worn, "worn"}};

constexpr Word<EndKind> kEndKinds[] = {
    {EndKind::failed, "failed"},   {EndKind::failed_on_test, "failed-on-test"},
    {EndKind::renewed, "renewed"}, {EndKind::expired, "expired"},
    {EndKind::lost, "lost"},       {EndKind::stand_in_removed, "stand-in-removed"}};

constexpr Word<PlaceState> kPlaceStates[] = {{PlaceState::empty, "empty"},
                                             {PlaceState::fitted, "fitted"},
                                             {PlaceState::dead, "dead"},
                                             {PlaceState::workaround, "workaround"},
                                             {PlaceState::stand_in, "stand-in"}};

constexpr Word<Outside> kOutsides[] = {
    {Outside::supplier, "supplier"},  {Outside::before, "before"},
    {Outside::consumed, "consumed"},  {Outside::scrapped, "scrapped"},
    {Outside::lost, "lost"},          {Outside::count_difference, "count-difference"},
    {Outside::taken_off, "taken-off"}};

}  // namespace

std::string_view to_text(Severity value) { return spell<Severity>(kSeverities, value); }
std::string_view to_text(Basis value) { return spell<Basis>(kBases, value); }
std::string_view to_text(Resupply value) { return spell<Resupply>(kResupplies, value); }
std::string_view to_text(SupplierKind value) { return spell<SupplierKind>(kSupplierKinds, value); }
std::string_view to_text(LotState value) { return spell<LotState>(kLotStates, value); }
std::string_view to_text(EndKind value) { return spell<EndKind>(kEndKinds, value); }
std::string_view to_text(PlaceState value) { return spell<PlaceState>(kPlaceStates, value); }
std::string_view to_text(Outside value) { return spell<Outside>(kOutsides, value); }

std::string_view unit_of(Basis basis) {
  switch (basis) {
    case Basis::days:
      return "days";
    case Basis::distance_km:
      return "km";
    case Basis::engine_hours:
    case Basis::run_hours:
      return "h";
    case Basis::cycles:
      return "cycles";
    case Basis::nights:
      return "nights";
  }
  throw std::logic_error("an exposure basis without a unit");
}

Severity parse_severity(std::string_view text) {
  return read_word<Severity>(kSeverities, text, "severity");
}
Basis parse_basis(std::string_view text) {
  return read_word<Basis>(kBases, text, "exposure basis");
}
Resupply parse_resupply(std::string_view text) {
  return read_word<Resupply>(kResupplies, text, "resupply");
}
SupplierKind parse_supplier_kind(std::string_view text) {
  return read_word<SupplierKind>(kSupplierKinds, text, "kind of supplier");
}
LotState parse_lot_state(std::string_view text) {
  return read_word<LotState>(kLotStates, text, "condition of a lot");
}
EndKind parse_end_kind(std::string_view text) {
  return read_word<EndKind>(kEndKinds, text, "end of a life");
}
PlaceState parse_place_state(std::string_view text) {
  return read_word<PlaceState>(kPlaceStates, text, "state of a place");
}
Outside parse_outside(std::string_view text) {
  return read_word<Outside>(kOutsides, text, "outside place");
}

Severity one_down(Severity severity) {
  switch (severity) {
    case Severity::safety:
      return Severity::stranded;
    case Severity::stranded:
      return Severity::uninhabitable;
    case Severity::uninhabitable:
      return Severity::degraded;
    case Severity::degraded:
    case Severity::nuisance:
      return Severity::nuisance;
  }
  throw std::logic_error("a severity outside the list");
}

}  // namespace shearpin::domain
