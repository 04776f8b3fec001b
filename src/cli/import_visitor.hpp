#pragma once
/// What each kind of row means: one overload a kind. Private to the import: import_rows.cpp has
/// what tables say, import_history.cpp the lines of a history.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "cli/import_apply.hpp"
#include "cli/import_names.hpp"
#include "domain/plan_fit.hpp"
#include "domain/plan_fitting.hpp"
#include "domain/plan_orders.hpp"

namespace shearpin::cli {

struct ImportApplier::Visitor {
  ImportApplier& to;
  interchange::Kind kind;

  const domain::Catalogue& catalogue() const { return *to.catalogue_; }
  /// By its key as it is nearly always written, at once; else by looking at each. `what` is a
  /// literal.
  template <class T>
  const T& thing(const std::vector<T>& things, const std::string& typed,
                 std::string_view what) const {
    auto& places = to.places_[what];
    if (places.empty()) {
      for (std::size_t i = 0; i < things.size(); ++i) {
        places.emplace(things[i].key, i);
      }
    }
    const auto found = places.find(typed);
    return found != places.end() ? things[found->second] : named(things, typed, what);
  }
  const domain::Position& position(const std::string& typed) const {
    return thing(catalogue().positions, typed, "position");
  }
  const domain::Part& part(const std::string& typed) const {
    return thing(catalogue().parts, typed, "part");
  }
  BinId bin(const std::string& typed) const { return thing(catalogue().bins, typed, "bin").id; }
  /// A bin by name, or the part's home.
  BinId bin_or_home(const std::string& typed, const domain::Part& of) const;
  /// One position and the stock of what fits there: what else holds those parts would be read for
  /// nothing, row after row.
  ledger::Scope scope_of(const domain::Position& at, const std::vector<PartId>& more = {}) const;
  /// The same where the row names a fault, which may be that of another position of the part, or
  /// asks for the age of what comes out.
  ledger::Scope scope_of(const domain::Position& at, const interchange::HistoryRow& row) const;
  ledger::Scope scope_of(PartId of) const;
  static ledger::Scope meters_alone();
  /// An age as typed, in the basis of a class; none for unknown or empty.
  std::optional<double> age(const std::string& typed, const domain::ComponentClass* its_class,
                            bool& unknown) const;
  /// Batch, dates, state and age of what a row brings.
  template <class Row>
  void add_lot(domain::ReceiveRequest& request, const Row& row, const domain::Part& of) const;
  static domain::When when_of(Date on, Date today, std::optional<Date> recorded,
                              const std::string& note) {
    return {on, today, recorded.value_or(on), note};
  }

  void operator()(const interchange::MasterRow& row) const;
  void operator()(const interchange::FittedRow& row) const;
  void operator()(const interchange::StockRow& row) const;
  void operator()(const interchange::ReadingRow& row) const;
  void operator()(const interchange::ConditionRow& row) const;
  void operator()(const interchange::OrderRow& row) const;
  void operator()(const interchange::ReceiptRow& row) const;
  /// A completed order whose pieces are told elsewhere: it only keeps its lead time.
  domain::Plan receipt_without_stock(const interchange::ReceiptRow& row,
                                     const domain::ReceiveRequest& request) const;
  void operator()(const interchange::CountRow& row) const;
  void operator()(const interchange::TripRow& row) const;
  void operator()(const interchange::HistoryRow& row) const;

  void undo(const std::string& id, const std::string& note) const;
  domain::Pick pick(const interchange::HistoryRow& row) const;
  std::vector<PartId> parts_of(const interchange::HistoryRow& row) const;
  FaultId fault(const domain::Snapshot& snapshot, const std::string& key) const;
  /// What all requests about units of a position have in common.
  template <class Request>
  Request at_units(const interchange::HistoryRow& row, const domain::Position& at) const;
  domain::RenewRequest renewal(const interchange::HistoryRow& row,
                               const domain::Position& at) const;
  domain::Plan fail_plan(const interchange::HistoryRow& row) const;
  domain::Plan at_position(const interchange::HistoryRow& row) const;
  domain::Plan of_stores(const interchange::HistoryRow& row) const;
};

}  // namespace shearpin::cli
