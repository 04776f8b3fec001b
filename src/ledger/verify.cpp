// Recomputes what is derived and compares it with what is kept.

#include "ledger/verify.hpp"

#include <SQLiteCpp/Exception.h>
#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <tuple>

#include "base/text.hpp"
#include "ledger/impl.hpp"
#include "ledger/migrate.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kIntegrity = "PRAGMA integrity_check";
constexpr const char* kForeignKeys = "PRAGMA foreign_key_check";
constexpr const char* kSchema =
    "SELECT type, name, ifnull(sql, '') FROM sqlite_schema WHERE name NOT GLOB 'sqlite_*'"
    " ORDER BY type, name";

using SchemaItem = std::tuple<std::string, std::string, std::string>;

std::set<SchemaItem> read_schema(const Database& database) {
  std::set<SchemaItem> items;
  Query row = database.query(kSchema);
  while (row.next()) {
    std::string type = row.text();
    std::string name = row.text();
    items.emplace(std::move(type), std::move(name), row.text());
  }
  return items;
}

/// A check that cannot be made is itself a finding.
template <class Check>
void attempt(const Database& database, const char* name, VerifyReport& report, Check check) {
  try {
    check(database, report);
  } catch (const SQLite::Exception& failure) {
    report.findings.push_back({name, fmt::format("the file cannot be read: {} (SQLite code {})",
                                                 failure.what(), failure.getExtendedErrorCode())});
  } catch (const Error& failure) {
    report.findings.push_back({name, failure.what()});
  } catch (const std::logic_error& failure) {
    report.findings.push_back({name, failure.what()});
  }
}

}  // namespace

void verify_file(const Database& database, VerifyReport& report) {
  Query row = database.query(kIntegrity);
  while (row.next()) {
    const std::string line = row.text();
    if (line != "ok") report.findings.push_back({"integrity", line});
  }
  report.checks_done.emplace_back("the pages of the file are sound");
}

void verify_foreign_keys(const Database& database, VerifyReport& report) {
  Query row = database.query(kForeignKeys);
  while (row.next()) {
    const std::string table = row.text();
    const std::int64_t id = row.integer();
    report.findings.push_back({"foreign keys", fmt::format("row {} of {} refers to a missing {}",
                                                           id, table, row.text())});
  }
  report.checks_done.emplace_back("every reference leads somewhere");
}

void verify_schema(const Database& database, VerifyReport& report) {
  const Database fresh;
  migrate(fresh, 0);
  const std::set<SchemaItem> wanted = read_schema(fresh);
  const std::set<SchemaItem> found = read_schema(database);
  const auto tell = [&report](const SchemaItem& item, std::string_view what) {
    report.findings.push_back(
        {"schema", fmt::format("{} {} {}", std::get<0>(item), std::get<1>(item), what)});
  };
  for (const SchemaItem& item : wanted) {
    if (found.count(item) == 0) tell(item, "is missing or was altered");
  }
  for (const SchemaItem& item : found) {
    if (wanted.count(item) == 0) tell(item, "is not as this program makes it");
  }
  report.checks_done.push_back(
      fmt::format("{} tables, indexes and triggers are as shipped", wanted.size()));
}

VerifyReport Ledger::verify() const {
  const Database& database = impl_->database;
  return guarded(database.path(), "verifying", [&] {
    VerifyReport report;
    const ReadScope reading(database);
    attempt(database, "integrity", report, verify_file);
    attempt(database, "foreign keys", report, verify_foreign_keys);
    attempt(database, "schema", report, verify_schema);
    attempt(database, "entries", report, verify_entries);
    attempt(database, "chain", report, verify_chains);
    attempt(database, "lines", report, verify_lines);
    attempt(database, "stock", report, verify_stock);
    attempt(database, "lots", report, verify_lots);
    attempt(database, "units", report, verify_units);
    attempt(database, "orders", report, verify_orders);
    attempt(database, "faults", report, verify_faults);
    attempt(database, "meters", report, verify_meters);
    attempt(database, "changes", report, verify_masters);
    return report;
  });
}

}  // namespace shearpin::ledger
