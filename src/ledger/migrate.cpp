#include "ledger/migrate.hpp"

#include <SQLiteCpp/SQLiteCpp.h>

#include <array>

#include "shearpin/ledger/ledger.hpp"

namespace shearpin::ledger {

extern const char kMigration0001_first[];

namespace {

constexpr const char* kSchema = "PRAGMA user_version";
constexpr const char* kApplication = "PRAGMA application_id";
// A pragma takes no parameters: one statement a version.
constexpr std::array kMarks = {"PRAGMA user_version = 1"};
constexpr const char* kMarkApplication = "PRAGMA application_id = 1397248078";
static_assert(kApplicationId == 1397248078);

std::int64_t pragma(const Database& database, const char* sql) {
  Query row = database.query(sql);
  row.next();
  return row.integer();
}

}  // namespace

std::span<const char* const> migrations() {
  static const std::array<const char*, 1> all = {kMigration0001_first};
  static_assert(kMarks.size() == std::tuple_size_v<decltype(all)>);
  return all;
}

int newest_schema() { return static_cast<int>(migrations().size()); }

std::int64_t schema_of(const Database& database) { return pragma(database, kSchema); }
std::int64_t application_of(const Database& database) { return pragma(database, kApplication); }

void migrate(const Database& database, std::int64_t from) {
  SQLite::Transaction transaction(database.raw(), SQLite::TransactionBehavior::IMMEDIATE);
  for (auto next = static_cast<std::size_t>(from); next < migrations().size(); ++next) {
    database.script(migrations()[next]);
    database.script(kMarks[next]);
  }
  database.script(kMarkApplication);
  transaction.commit();
}

}  // namespace shearpin::ledger
