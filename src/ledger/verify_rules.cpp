// Lots, lives, orders, faults and meters, by the rules that writing asks; and stock summed again
// from the movements: by day, and against the balance kept.

#include <fmt/format.h>

#include <map>

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

constexpr const char* kEnds =
    "SELECT m.lot, m.kind = 'bin', m.place, e.happened, sum(m.quantity)"
    " FROM movement_end AS m JOIN entry AS e ON e.id = m.entry"
    " WHERE (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0"
    " GROUP BY 1, 2, 3, 4 ORDER BY 1, 2, 3, 4";
constexpr const char* kBalances =
    "SELECT lot, kind = 'bin', place, quantity FROM balance ORDER BY 1, 2, 3";
// What came in from outside, less what went there, lies inside.
constexpr const char* kOutside =
    "SELECT m.lot, sum(m.quantity * ((m.from_outside IS NOT NULL) - (m.to_outside IS NOT NULL)))"
    " FROM movement AS m JOIN entry AS e ON e.id = m.entry"
    " WHERE (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0"
    " GROUP BY m.lot ORDER BY m.lot";

std::string name(const Database& database, const LotLocation& location) {
  return fmt::format("{} (lot {}) in {}", lot_name(database, location.lot), location.lot.value,
                     location.bin ? key_of(database, BinId{location.place})
                                  : key_of(database, PositionId{location.place}));
}

LotLocation read_location(Query& row) {
  const auto lot = row.id<LotTag>();
  const bool bin = row.flag();
  return {lot, bin, row.integer()};
}

/// Sums by location; a day that ends below zero is a finding.
std::map<LotLocation, std::int64_t> sum_movements(const Database& database, VerifyReport& report) {
  std::map<LotLocation, std::int64_t> sums;
  Query row = database.query(kEnds);
  while (row.next()) {
    const LotLocation location = read_location(row);
    const Date day = row.date();
    std::int64_t& sum = sums[location];
    const bool was_below = sum < 0;
    if (__builtin_add_overflow(sum, row.integer(), &sum)) row.damaged("more pieces than fit");
    if (sum < 0 && !was_below) {
      report.findings.push_back(
          {"stock",
           fmt::format("{} falls to {} on {}", name(database, location), sum, to_text(day))});
    }
  }
  return sums;
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

void verify_stock(const Database& database, VerifyReport& report) {
  std::map<LotLocation, std::int64_t> sums = sum_movements(database, report);
  std::map<LotId, std::int64_t> inside;
  for (const auto& [location, sum] : sums) inside[location.lot] += sum;
  std::size_t compared = 0;
  Query row = database.query(kBalances);
  while (row.next()) {
    const LotLocation location = read_location(row);
    const std::int64_t kept = row.integer();
    const auto found = sums.find(location);
    const std::int64_t counted = found == sums.end() ? 0 : found->second;
    if (kept != counted) {
      report.findings.push_back({"stock", fmt::format("{}: the balance says {}, the movements {}",
                                                      name(database, location), kept, counted)});
    }
    if (found != sums.end()) sums.erase(found);
    ++compared;
  }
  for (const auto& [location, sum] : sums) {
    report.findings.push_back(
        {"stock", fmt::format("{}: the balance says nothing, the movements {}",
                              name(database, location), sum)});
  }
  Query outside = database.query(kOutside);
  while (outside.next()) {
    const auto lot = outside.id<LotTag>();
    const std::int64_t came = outside.integer();
    if (came != inside[lot]) {
      report.findings.push_back({"stock", fmt::format("lot {}: {} came from outside, {} lie inside",
                                                      lot.value, came, inside[lot])});
    }
  }
  report.checks_done.push_back(fmt::format(
      "{} balances equal the sums of their movements, none below zero on any day", compared));
}

}  // namespace shearpin::ledger
