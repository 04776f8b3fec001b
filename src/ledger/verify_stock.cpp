// Stock summed again from the movements: by day, and against the balance kept.

#include <fmt/format.h>

#include <map>

#include "ledger/checks.hpp"
#include "ledger/names.hpp"
#include "ledger/verify.hpp"

namespace shearpin::ledger {
namespace {

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
