#include "ledger/migrate.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>

#include <vector>

#include "shearpin/ledger/ledger.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kSchema = "PRAGMA user_version";
constexpr const char* kApplication = "PRAGMA application_id";

/// Step n (from 1) brings a ledger of schema n to the next, in the end to what schema() makes.
const std::vector<const char*>& steps() {
  static const std::vector<const char*> all;
  return all;
}

std::int64_t pragma(const Database& database, const char* sql) {
  Query row = database.query(sql);
  row.next();
  return row.integer();
}

}  // namespace

int newest_schema() { return static_cast<int>(steps().size()) + 1; }

std::int64_t schema_of(const Database& database) { return pragma(database, kSchema); }
std::int64_t application_of(const Database& database) { return pragma(database, kApplication); }

void migrate(const Database& database, std::int64_t from) {
  SQLite::Transaction transaction(database.raw(), SQLite::TransactionBehavior::IMMEDIATE);
  if (from == 0) {
    database.script(schema().c_str());
  }
  for (auto next = static_cast<std::size_t>(from); next > 0 && next <= steps().size(); ++next) {
    database.script(steps()[next - 1]);
  }
  database.script(fmt::format("PRAGMA user_version = {}; PRAGMA application_id = {}",
                              newest_schema(), kApplicationId)
                      .c_str());
  transaction.commit();
}

}  // namespace shearpin::ledger
