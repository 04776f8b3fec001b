// Lots, lives, orders, faults and meters, by the rules that writing asks.

#include <fmt/format.h>

#include "base/quantity.hpp"
#include "ledger/checks.hpp"
#include "ledger/names.hpp"
#include "ledger/verify.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kLots = "SELECT id FROM lot ORDER BY id";
constexpr const char* kPlaces =
    "SELECT position, unit FROM unit_begin UNION SELECT position, unit FROM open_place"
    " ORDER BY 1, 2";
constexpr const char* kOrders = "SELECT id FROM order_line ORDER BY id";
constexpr const char* kFaults = "SELECT id FROM fault ORDER BY id";
constexpr const char* kReadings =
    "SELECT x.meter, x.happened, x.value, x.replaced FROM reading AS x"
    " JOIN entry AS e ON e.id = x.entry"
    " WHERE (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0"
    " ORDER BY x.meter, x.happened, x.id";

/// Asks a rule about each row of a statement. `done`: what then holds for so many.
template <class Rule>
void ask_each(const Database& database, VerifyReport& report, const char* check, const char* sql,
              const char* done, Rule rule) {
  std::vector<Conflict> found;
  std::size_t rows = 0;
  Query row = database.query(sql);
  for (; row.next(); ++rows) rule(Question{database}, row, found);
  for (const Conflict& conflict : found) report.findings.push_back({check, conflict.what});
  report.checks_done.push_back(fmt::format(fmt::runtime(done), rows));
}

}  // namespace

void verify_lots(const Database& database, VerifyReport& report) {
  ask_each(database, report, "lots", kLots, "{} lots are there while they are used",
           [](const Question& ask, Query& row, std::vector<Conflict>& found) {
             check_lot(ask, row.id<LotTag>(), found);
           });
}

void verify_units(const Database& database, VerifyReport& report) {
  ask_each(database, report, "units", kPlaces, "no two lives overlap in {} places",
           [](const Question& ask, Query& row, std::vector<Conflict>& found) {
             const auto position = row.id<PositionTag>();
             check_place(ask, position, row.small(), found);
           });
}

void verify_orders(const Database& database, VerifyReport& report) {
  ask_each(database, report, "orders", kOrders, "{} orders and what came of them agree",
           [](const Question& ask, Query& row, std::vector<Conflict>& found) {
             check_order(ask, row.id<OrderTag>(), found);
           });
}

void verify_faults(const Database& database, VerifyReport& report) {
  ask_each(database, report, "faults", kFaults, "{} faults are opened before they are closed",
           [](const Question& ask, Query& row, std::vector<Conflict>& found) {
             check_fault(ask, row.id<FaultTag>(), found);
           });
}

void verify_meters(const Database& database, VerifyReport& report) {
  std::size_t readings = 0;
  MeterId meter{0};
  double last = 0;
  Query row = database.query(kReadings);
  while (row.next()) {
    const auto next = row.id<MeterTag>();
    const Date day = row.date();
    const double value = row.real();
    if (next == meter && value < last && !row.flag()) {
      report.findings.push_back(
          {"meters", fmt::format("{} runs backwards to {} on {}", key_of(database, meter),
                                 plain_number(value), to_text(day))});
    }
    meter = next;
    last = value;
    ++readings;
  }
  report.checks_done.push_back(fmt::format("{} readings do not run backwards", readings));
}

}  // namespace shearpin::ledger
