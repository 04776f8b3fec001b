// Imported lines known again.

#include "ledger/impl.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kSaid =
    "SELECT e.batch, e.written FROM entry AS e WHERE e.said = ?1"
    " AND (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0 ORDER BY e.id DESC LIMIT 1";

}  // namespace

TakenBefore Ledger::taken_before(std::span<const std::int64_t> said) const {
  const Database& database = impl_->database;
  return guarded(database.path(), "reading the journal", [&] {
    const ReadScope reading(database);
    TakenBefore found;
    for (const std::int64_t words : said) {
      Query row = database.query(kSaid);
      row.with(words);
      if (!row.next()) continue;
      ++found.lines;
      std::string batch = row.text();
      std::string written = row.text();
      if (written > found.written) {
        found.batch = std::move(batch);
        found.written = std::move(written);
      }
    }
    return found;
  });
}

}  // namespace shearpin::ledger
