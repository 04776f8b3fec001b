#include "ledger/database.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <sqlite3.h>

#include <limits>

namespace shearpin::ledger {

struct CachedStatement {
  CachedStatement(const SQLite::Database& database, const char* sql) {
    sqlite3* handle = database.getHandle();
    const int result =
        sqlite3_prepare_v3(handle, sql, -1, SQLITE_PREPARE_PERSISTENT, &statement, nullptr);
    if (result != SQLITE_OK) throw SQLite::Exception(handle, result);
  }
  CachedStatement(const CachedStatement&) = delete;
  CachedStatement& operator=(const CachedStatement&) = delete;
  ~CachedStatement() { sqlite3_finalize(statement); }

  sqlite3_stmt* statement = nullptr;
  bool busy = false;
};

namespace {

constexpr int kBusyTimeoutMs = 5000;
constexpr const char* kSettings =
    "PRAGMA foreign_keys = ON; PRAGMA synchronous = FULL;"
    "PRAGMA cell_size_check = ON;"
    // A writer that runs out of cache would shut readers out until it commits.
    "PRAGMA cache_spill = OFF";
constexpr const char* kTemporaryInMemory = "PRAGMA temp_store = MEMORY; PRAGMA cache_size = -16384";
constexpr const char* kBegin = "BEGIN";
constexpr const char* kEnd = "COMMIT";
constexpr const char* kAbandon = "ROLLBACK";

// An open ledger is used by one thread.
const int kFlags = SQLite::OPEN_READWRITE | SQLite::OPEN_NOMUTEX;

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
      own_(statement.busy
               ? std::make_unique<CachedStatement>(database.raw(), sqlite3_sql(statement.statement))
               : nullptr),
      statement_(own_ ? own_->statement : statement.statement) {
  if (!own_) cached_.busy = true;
}

Query::~Query() {
  if (own_) return;
  sqlite3_reset(statement_);
  cached_.busy = false;
}

void Query::check(int result) const {
  if (result != SQLITE_OK) throw SQLite::Exception(database_.raw().getHandle(), result);
}

Query& Query::bind(std::nullptr_t) {
  check(sqlite3_bind_null(statement_, ++bound_));
  return *this;
}
Query& Query::bind(std::int64_t value) {
  check(sqlite3_bind_int64(statement_, ++bound_, value));
  return *this;
}
Query& Query::bind(double value) {
  check(sqlite3_bind_double(statement_, ++bound_, value));
  return *this;
}
Query& Query::bind(std::string_view value) {
  check(sqlite3_bind_text64(statement_, ++bound_, value.data() == nullptr ? "" : value.data(),
                            value.size(), SQLITE_TRANSIENT, SQLITE_UTF8));
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
  const int result = sqlite3_step(statement_);
  if (result != SQLITE_ROW && result != SQLITE_DONE) check(result);
  return result == SQLITE_ROW;
}

void Query::run() {
  while (next()) {
  }
}

bool Query::null() const { return sqlite3_column_type(statement_, column_) == SQLITE_NULL; }
std::int64_t Query::integer() { return sqlite3_column_int64(statement_, column_++); }
int Query::small() {
  const std::int64_t value = integer();
  if (value < std::numeric_limits<int>::min() || value > std::numeric_limits<int>::max()) {
    damaged(fmt::format("{} where a small number belongs", value));
  }
  return static_cast<int>(value);
}
double Query::real() { return sqlite3_column_double(statement_, column_++); }

std::string_view Query::view() {
  const auto* text = reinterpret_cast<const char*>(sqlite3_column_text(statement_, column_));
  const int size = sqlite3_column_bytes(statement_, column_++);
  return text == nullptr ? std::string_view()
                         : std::string_view(text, static_cast<std::size_t>(size));
}

Date Query::date() {
  const std::string_view text = view();
  if (text.size() == 10 && text[4] == '-' && text[7] == '-') {
    const int year = digits(text.substr(0, 4));
    const int month = digits(text.substr(5, 2));
    const int day = digits(text.substr(8, 2));
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
  switch (sqlite3_column_type(statement_, column_)) {
    case SQLITE_INTEGER:
      return integer();
    case SQLITE_FLOAT:
      return real();
    case SQLITE_NULL:
      skip();
      return std::monostate{};
    default:
      return text();
  }
}

void Query::damaged(std::string_view detail) const { throw_damaged(database_.path(), detail); }

// An absolute name never begins with "file:", which SQLite would read as a URI.
Database::Database(std::filesystem::path path, const std::filesystem::path& file)
    : path_(std::move(path)),
      database_(std::make_unique<SQLite::Database>(std::filesystem::absolute(file).string(), kFlags,
                                                   kBusyTimeoutMs)) {
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
