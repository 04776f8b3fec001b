#pragma once
/// One open SQLite file with its prepared statements; the door to SQLite for all of this module.
/// Rows are read by the C interface: SQLiteCpp counts references for every cell, which a snapshot
/// of 20,000 entries feels.

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <variant>

#include "ledger/failure.hpp"
#include "shearpin/base/date.hpp"
#include "shearpin/base/id.hpp"
#include "shearpin/base/money.hpp"

namespace SQLite {
class Database;
}
struct sqlite3_stmt;

namespace shearpin::ledger {

class Database;

/// A cell of a type known only at run time (fields of master data).
using Cell = std::variant<std::monostate, std::int64_t, double, std::string>;

struct CachedStatement;

/// One use of a prepared statement: bind in order, step, read the columns of a row in order. The
/// statement is reset when this goes, so that no lock is left behind.
class Query {
 public:
  Query(const Database& database, CachedStatement& statement);
  Query(const Query&) = delete;
  Query& operator=(const Query&) = delete;
  ~Query();

  Query& bind(std::nullptr_t);
  Query& bind(std::int64_t value);
  Query& bind(int value) { return bind(static_cast<std::int64_t>(value)); }
  Query& bind(bool value) { return bind(static_cast<std::int64_t>(value)); }
  Query& bind(double value);
  Query& bind(std::string_view value);
  Query& bind(const std::string& value) { return bind(std::string_view(value)); }
  Query& bind(const char* value) { return bind(std::string_view(value)); }
  Query& bind(Date value);
  Query& bind(Money value) { return bind(value.minor); }
  Query& bind(const Cell& value);
  template <class Tag>
  Query& bind(Id<Tag> value) {
    return bind(value.value);
  }
  template <class T>
  Query& bind(const std::optional<T>& value) {
    return value ? bind(*value) : bind(nullptr);
  }
  template <class... Values>
  Query& with(const Values&... values) {
    (bind(values), ...);
    return *this;
  }

  /// Steps to the next row; false after the last.
  bool next();
  /// Steps to the end, for statements without rows.
  void run();

  // The next column of the row. Text of a wrong form is damage of the file (LedgerError).
  bool null() const;  ///< looks at the next column without taking it
  void skip() { ++column_; }
  std::int64_t integer();
  int small();  ///< an integer that fits int
  bool flag() { return integer() != 0; }
  double real();
  std::string text() { return std::string(view()); }
  Date date();
  Cell cell();
  template <class Tag>
  Id<Tag> id() {
    return {integer()};
  }
  template <class Read>
  auto maybe(Read read) -> std::optional<decltype(read(*this))> {
    if (null()) {
      skip();
      return std::nullopt;
    }
    return read(*this);
  }
  std::optional<Date> maybe_date() {
    return maybe([](Query& row) { return row.date(); });
  }
  std::optional<double> maybe_real() {
    return maybe([](Query& row) { return row.real(); });
  }
  std::optional<Money> maybe_money() {
    return maybe([](Query& row) { return Money{row.integer()}; });
  }
  template <class IdType>
  std::optional<IdType> maybe_id() {
    return maybe([](Query& row) { return IdType{row.integer()}; });
  }
  /// A word of a closed list; any other word is damage of the file.
  template <class Parse>
  auto word(Parse parse) {
    const std::string spelling = text();
    try {
      return parse(spelling);
    } catch (const InputError& unknown) {
      damaged(unknown.what());
    }
  }
  [[noreturn]] void damaged(std::string_view detail) const;

 private:
  std::string_view view();  ///< until the next step
  void check(int result) const;

  const Database& database_;
  CachedStatement& cached_;
  std::unique_ptr<CachedStatement> own_;  // a second use of a statement that is still being read
  sqlite3_stmt* statement_;
  int bound_ = 0;
  int column_ = 0;
};

class Database {
 public:
  /// Opens `file`, which messages call `path`; SQLite::Exception on failure. A file that cannot be
  /// written is opened for reading.
  Database(std::filesystem::path path, const std::filesystem::path& file);
  /// In memory, for comparing schemas.
  Database();
  ~Database();
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;

  const std::filesystem::path& path() const { return path_; }
  bool read_only() const;
  bool in_transaction() const;
  std::int64_t last_id() const;

  /// `sql` must be a constant: its address is its name in the cache of statements.
  Query query(const char* sql) const;
  /// Several statements without parameters or rows.
  void script(const char* sql) const;
  SQLite::Database& raw() const { return *database_; }

 private:
  friend class Query;
  void settle() const;
  std::filesystem::path path_;
  std::unique_ptr<SQLite::Database> database_;
  mutable std::unordered_map<const char*, std::unique_ptr<CachedStatement>> statements_;
};

/// A read transaction over several statements, unless one is open already.
class ReadScope {
 public:
  explicit ReadScope(const Database& database);
  ReadScope(const ReadScope&) = delete;
  ReadScope& operator=(const ReadScope&) = delete;
  ~ReadScope();

 private:
  const Database& database_;
  bool mine_;
};

}  // namespace shearpin::ledger
