#pragma once
/// Everything advice needs to know on a day, as plain values: no database, no clock.

#include <memory>

#include "shearpin/domain/catalogue.hpp"
#include "shearpin/domain/history.hpp"
#include "shearpin/domain/policy.hpp"

namespace shearpin::domain {

/// The ledger as it stood on `as_of` (what happened on or before it) and, where `known` is given,
/// as far as it had been recorded by then.
struct Snapshot {
  Date as_of;
  std::optional<Date> known;
  /// Never null; shared with the other snapshots of the same master data.
  std::shared_ptr<const Catalogue> catalogue = std::make_shared<Catalogue>();
  Policy policy;
  std::vector<UnitLife> lives;  ///< ordered by position, unit, date fitted
  std::vector<OpenPlace> open_places;
  std::vector<TestResult> tests;       ///< by date
  std::vector<MeterReading> readings;  ///< by meter, date
  std::vector<ConditionPeriod> conditions;
  std::vector<StockLine> stock;  ///< by part, bin, lot; quantities above zero
  std::vector<Usage> usages;
  std::vector<Loss> losses;
  std::vector<Order> orders;
  std::vector<Fault> faults;
  Date first_day;             ///< earliest date in the ledger
  std::string currency_note;  ///< how money is named, e.g. "dollars"; may be empty
};

}  // namespace shearpin::domain
