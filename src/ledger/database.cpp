#include "ledger/database.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <sqlite3.h>

#include <limits>

namespace shearpin::ledger {

struct CachedStatement {
  CachedStatement(const SQLite::Database& database, const char* sql) : statement(database, sql) {}
  SQLite::Statement statement;
  bool busy = false;
};

namespace {

constexpr int kBusyTimeoutMs = 5000;
constexpr const char* kSettings =
    "PRAGMA foreign_keys = ON; PRAGMA synchronous = FULL;"
    "PRAGMA cell_size_check = ON";
constexpr const char* kTemporaryInMemory = "PRAGMA temp_store = MEMORY; PRAGMA cache_size = -16384";
constexpr const char* kBegin = "BEGIN";
constexpr const char* kEnd = "COMMIT";
constexpr const char* kAbandon = "ROLLBACK";

int flags_for(Database::Access access) {
  const int flags = SQLite::OPEN_READWRITE;
  return access == Database::Access::create ? flags | SQLite::OPEN_CREATE : flags;
}

/// Two digits or fewer of a date; -1 unless all are digits.
int digits(std::string_view text) {
  int value = 0;
  for (const char c : text) {
    if (c < '0' || c > '9') return -1;
    value = value * 10 + (c - '0');
  }
  return value;
}

}  // namespace

Query::Query(const Database& database, CachedStatement& statement)
    : database_(database),
      cached_(statement),
      own_(statement.busy ? std::make_unique<CachedStatement>(
                                database.raw(), statement.statement.getQuery().c_str())
                          : nullptr),
      statement_(own_ ? own_->statement : statement.statement) {
  if (!own_) cached_.busy = true;
}

Query::~Query() {
  if (own_) return;
  statement_.tryReset();
  cached_.busy = false;
}

Query& Query::bind(std::nullptr_t) {
  statement_.bind(++bound_);
  return *this;
}
Query& Query::bind(std::int64_t value) {
  statement_.bind(++bound_, value);
  return *this;
}
Query& Query::bind(double value) {
  statement_.bind(++bound_, value);
  return *this;
}
Query& Query::bind(std::string_view value) {
  statement_.bind(++bound_, std::string(value));
  return *this;
}
Query& Query::bind(Date value) { return bind(std::string_view(to_text(value))); }
Query& Query::bind(const Cell& value) {
  if (const auto* whole = std::get_if<std::int64_t>(&value)) return bind(*whole);
  if (const auto* number = std::get_if<double>(&value)) return bind(*number);
  if (const auto* words = std::get_if<std::string>(&value)) return bind(std::string_view(*words));
  return bind(nullptr);
}

bool Query::next() {
  column_ = 0;
  return statement_.executeStep();
}

void Query::run() {
  while (next()) {
  }
}

bool Query::null() const { return statement_.getColumn(column_).isNull(); }
std::int64_t Query::integer() { return statement_.getColumn(column_++).getInt64(); }
int Query::small() {
  const std::int64_t value = integer();
  if (value < std::numeric_limits<int>::min() || value > std::numeric_limits<int>::max()) {
    damaged(fmt::format("{} where a small number belongs", value));
  }
  return static_cast<int>(value);
}
double Query::real() { return statement_.getColumn(column_++).getDouble(); }
std::string Query::text() { return statement_.getColumn(column_++).getString(); }

Date Query::date() {
  const std::string text = this->text();
  if (text.size() == 10 && text[4] == '-' && text[7] == '-') {
    const std::string_view view = text;
    const int year = digits(view.substr(0, 4));
    const int month = digits(view.substr(5, 2));
    const int day = digits(view.substr(8, 2));
    if (year >= 0 && month > 0 && day > 0) {
      const std::chrono::year_month_day date{std::chrono::year{year},
                                             std::chrono::month{static_cast<unsigned>(month)},
                                             std::chrono::day{static_cast<unsigned>(day)}};
      if (date.ok()) return date;
    }
  }
  damaged("a date is not of the form 2026-05-25");
}

Cell Query::cell() {
  const SQLite::Column column = statement_.getColumn(column_++);
  if (column.isInteger()) return std::int64_t{column.getInt64()};
  if (column.isFloat()) return column.getDouble();
  if (column.isNull()) return std::monostate{};
  return column.getString();
}

void Query::damaged(std::string_view detail) const { throw_damaged(database_.path(), detail); }

// An absolute name never begins with "file:", which SQLite would read as a URI.
Database::Database(std::filesystem::path path, Access access)
    : path_(std::move(path)),
      database_(std::make_unique<SQLite::Database>(std::filesystem::absolute(path_).string(),
                                                   flags_for(access), kBusyTimeoutMs)) {
  settle();
}

Database::Database()
    : path_(":memory:"),
      database_(std::make_unique<SQLite::Database>(":memory:", SQLite::OPEN_READWRITE)) {
  settle();
}

Database::~Database() = default;

void Database::settle() const {
  sqlite3* handle = database_->getHandle();
  sqlite3_extended_result_codes(handle, 1);
  sqlite3_db_config(handle, SQLITE_DBCONFIG_DQS_DML, 0, nullptr);
  sqlite3_db_config(handle, SQLITE_DBCONFIG_DQS_DDL, 0, nullptr);
  sqlite3_db_config(handle, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
  sqlite3_db_config(handle, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
  database_->exec(kSettings);
  database_->exec(kTemporaryInMemory);
}

bool Database::read_only() const {
  return sqlite3_db_readonly(database_->getHandle(), "main") == 1;
}
bool Database::in_transaction() const {
  return sqlite3_get_autocommit(database_->getHandle()) == 0;
}
std::int64_t Database::last_id() const { return database_->getLastInsertRowid(); }

Query Database::query(const char* sql) const {
  auto& cached = statements_[sql];
  if (!cached) cached = std::make_unique<CachedStatement>(*database_, sql);
  return Query(*this, *cached);
}

void Database::script(const char* sql) const { database_->exec(sql); }

ReadScope::ReadScope(const Database& database)
    : database_(database), mine_(!database.in_transaction()) {
  if (mine_) database_.script(kBegin);
}

ReadScope::~ReadScope() {
  if (mine_ && database_.in_transaction()) {
    if (database_.raw().tryExec(kEnd) != SQLITE_OK) database_.raw().tryExec(kAbandon);
  }
}

}  // namespace shearpin::ledger
