// Lives, orders, faults and meters, by the rules that writing asks.

#include <fmt/format.h>

#include "base/quantity.hpp"
#include "ledger/checks.hpp"
#include "ledger/names.hpp"
#include "ledger/verify.hpp"

namespace shearpin::ledger {
namespace {

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

void tell(const char* check, const std::vector<Conflict>& found, VerifyReport& report) {
  for (const Conflict& conflict : found) report.findings.push_back({check, conflict.what});
}

}  // namespace

void verify_units(const Database& database, VerifyReport& report) {
  std::vector<Conflict> found;
  std::size_t places = 0;
  Query row = database.query(kPlaces);
  while (row.next()) {
    const auto position = row.id<PositionTag>();
    check_place({database}, position, row.small(), found);
    ++places;
  }
  tell("units", found, report);
  report.checks_done.push_back(fmt::format("no two lives overlap in {} places", places));
}

void verify_orders(const Database& database, VerifyReport& report) {
  std::vector<Conflict> found;
  std::size_t orders = 0;
  Query row = database.query(kOrders);
  while (row.next()) {
    check_order({database}, row.id<OrderTag>(), found);
    ++orders;
  }
  tell("orders", found, report);
  report.checks_done.push_back(fmt::format("{} orders and what came of them agree", orders));
}

void verify_faults(const Database& database, VerifyReport& report) {
  std::vector<Conflict> found;
  std::size_t faults = 0;
  Query row = database.query(kFaults);
  while (row.next()) {
    check_fault({database}, row.id<FaultTag>(), found);
    ++faults;
  }
  tell("faults", found, report);
  report.checks_done.push_back(fmt::format("{} faults are opened before they are closed", faults));
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
