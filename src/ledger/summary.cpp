#include "ledger/summary.hpp"

#include <fmt/format.h>

#include <stdexcept>

#include "base/quantity.hpp"
#include "base/text.hpp"

namespace shearpin::ledger {
namespace {

using domain::EntryKind;

constexpr const char* kPosition = "SELECT key, name FROM position WHERE id = ?1";
constexpr const char* kPart = "SELECT key, name FROM part WHERE id = ?1";
constexpr const char* kBin = "SELECT key, name FROM bin WHERE id = ?1";
constexpr const char* kMeter = "SELECT key, unit FROM meter WHERE id = ?1";
constexpr const char* kSupplier = "SELECT key, name FROM supplier WHERE id = ?1";

constexpr const char* kThings =
    "SELECT kind, new, count(*) OVER () FROM change"
    " WHERE entry = ?1 AND added = 1 AND field = 'key' ORDER BY id LIMIT 4";
constexpr const char* kSubstitutes =
    "SELECT p.key, f.key, s.forbidden FROM substitute AS s JOIN part AS p ON p.id = s.part"
    " JOIN part AS f ON f.id = s.stands_for WHERE s.entry = ?1 ORDER BY s.id";
constexpr const char* kChanges =
    "SELECT c.kind, CASE c.kind"
    " WHEN 'rig' THEN (SELECT key FROM rig WHERE id = c.object)"
    " WHEN 'class' THEN (SELECT key FROM class WHERE id = c.object)"
    " WHEN 'supplier' THEN (SELECT key FROM supplier WHERE id = c.object)"
    " WHEN 'bin' THEN (SELECT key FROM bin WHERE id = c.object)"
    " WHEN 'meter' THEN (SELECT key FROM meter WHERE id = c.object)"
    " WHEN 'part' THEN (SELECT key FROM part WHERE id = c.object)"
    " WHEN 'position' THEN (SELECT key FROM position WHERE id = c.object)"
    " WHEN 'safety_note' THEN (SELECT key FROM safety_note WHERE id = c.object)"
    " ELSE (SELECT p.key FROM substitute AS s JOIN part AS p ON p.id = s.part"
    "       WHERE s.id = c.object) END, c.field, c.old, c.new"
    " FROM change AS c WHERE c.entry = ?1 AND c.added = 0 ORDER BY c.id";
constexpr const char* kEnds =
    "SELECT b.position, b.unit, x.kind, x.cause, x.left_state, x.note FROM unit_end AS x"
    " JOIN unit_begin AS b ON b.id = x.unit WHERE x.entry = ?1 ORDER BY x.id";
constexpr const char* kBegins =
    "SELECT position, unit, part, no_part, stand_in FROM unit_begin WHERE entry = ?1 ORDER BY id";
constexpr const char* kRepairs =
    "SELECT b.position, b.unit, x.cause FROM repair AS x"
    " JOIN unit_begin AS b ON b.id = x.unit WHERE x.entry = ?1 ORDER BY x.id";
constexpr const char* kOpens =
    "SELECT position, unit, state, note FROM open_place WHERE entry = ?1 ORDER BY id";
constexpr const char* kMovements =
    "SELECT m.quantity, l.part, m.from_bin, m.from_position, m.from_outside, m.to_bin,"
    " m.to_position, m.to_outside FROM movement AS m JOIN lot AS l ON l.id = m.lot"
    " WHERE m.entry = ?1 ORDER BY m.id";
constexpr const char* kUsages =
    "SELECT part, position, quantity, lost FROM usage WHERE entry = ?1 ORDER BY id";
constexpr const char* kTests =
    "SELECT position, unit, passed, reading FROM test WHERE entry = ?1 ORDER BY id";
constexpr const char* kReadings =
    "SELECT meter, value, replaced FROM reading WHERE entry = ?1 ORDER BY id";
constexpr const char* kStays = "SELECT nights, place FROM stay WHERE entry = ?1 ORDER BY id";
constexpr const char* kConditions =
    "SELECT x.condition, g.key, x.from_day, x.to_day FROM condition AS x"
    " LEFT JOIN rig AS g ON g.id = x.rig WHERE x.entry = ?1 ORDER BY x.id";
constexpr const char* kFaults = "SELECT key, position FROM fault WHERE entry = ?1 ORDER BY id";
constexpr const char* kCloses =
    "SELECT f.key, f.position FROM fault_close AS x JOIN fault AS f ON f.id = x.fault"
    " WHERE x.entry = ?1 ORDER BY x.id";
constexpr const char* kAttributions =
    "SELECT b.position, b.unit, f.key FROM attribution AS x"
    " JOIN unit_begin AS b ON b.id = x.unit JOIN fault AS f ON f.id = x.fault"
    " WHERE x.entry = ?1 ORDER BY x.id";
constexpr const char* kOrders =
    "SELECT number, quantity, part, supplier FROM order_line WHERE entry = ?1 ORDER BY id";
constexpr const char* kReceipts =
    "SELECT o.number, t.quantity, t.cancelled FROM receipt AS t"
    " JOIN order_line AS o ON o.id = t.order_line WHERE t.entry = ?1 ORDER BY t.id";
constexpr const char* kQuarantines =
    "SELECT l.part, l.batch, q.quarantined FROM quarantine AS q JOIN lot AS l ON l.id = q.lot"
    " WHERE q.entry = ?1 ORDER BY q.id";
constexpr const char* kPolicies = "SELECT key, value FROM policy WHERE entry = ?1 ORDER BY id";
constexpr const char* kTrips =
    "SELECT t.key, t.name, (SELECT count(*) FROM trip_leg WHERE trip = t.id),"
    " (SELECT count(*) FROM trip_stop WHERE trip = t.id) FROM trip AS t"
    " WHERE t.entry = ?1 ORDER BY t.id";

constexpr std::size_t kMostWords = 6;  // of one entry, in a line of the journal

std::string_view end_word(std::string_view kind) {
  if (kind == "failed-on-test") return "found failed";
  if (kind == "expired") return "expired, taken off";
  if (kind == "stand-in-removed") return "stand-in taken out";
  return kind;
}

/// `, cause overload`, or nothing.
std::string tail(std::string_view word, const std::string& text) {
  return text.empty() ? std::string() : fmt::format(", {}{}", word, text);
}

}  // namespace

const Summaries::Name& Summaries::look_up(const char* sql, std::int64_t id) {
  auto& known = names_[sql];
  const auto found = known.find(id);
  if (found != known.end()) return found->second;
  Query row = database_.query(sql);
  row.with(id);
  Name name{"?", "?"};
  if (row.next()) {
    name.key = row.text();
    name.name = row.text();
  }
  return known.emplace(id, std::move(name)).first->second;
}

std::string Summaries::position(std::int64_t id) {
  const Name& name = look_up(kPosition, id);
  return name.name.empty() || name.name == name.key ? name.key
                                                    : fmt::format("{} ({})", name.name, name.key);
}

std::string Summaries::part(std::int64_t id) { return look_up(kPart, id).key; }

std::string Summaries::place(Query& row) {
  const auto bin = row.maybe_id<BinId>();
  const auto at = row.maybe_id<PositionId>();
  const auto outside = row.maybe([](Query& query) { return query.text(); });
  if (bin) return look_up(kBin, bin->value).key;
  if (at) return look_up(kPosition, at->value).key;
  return outside.value_or("?");
}

void Summaries::changes(EntryId entry) {
  Query things = database_.query(kThings);
  things.with(entry);
  std::size_t shown = 0;
  std::int64_t all = 0;
  while (things.next()) {
    const std::string kind = things.text();
    words_.push_back(
        fmt::format("{} {} added", kind == "safety_note" ? "safety note" : kind, things.text()));
    all = things.integer();
    ++shown;
  }
  if (all > static_cast<std::int64_t>(shown)) {
    words_.push_back(fmt::format("and {} more", all - static_cast<std::int64_t>(shown)));
  }
  Query substitute = database_.query(kSubstitutes);
  substitute.with(entry);
  while (substitute.next()) {
    const std::string one = substitute.text();
    const std::string other = substitute.text();
    words_.push_back(fmt::format(
        "{} {} for {}", one, substitute.flag() ? "must never stand in" : "may stand in", other));
  }
  Query change = database_.query(kChanges);
  change.with(entry);
  while (change.next()) {
    const std::string kind = change.text();
    const std::string key = change.null() ? (change.skip(), "?") : change.text();
    const std::string field = change.text();
    const Cell before = change.cell();
    const Cell after = change.cell();
    if (field == "retired") {
      words_.push_back(fmt::format("{} {} {}", kind, key,
                                   after == Cell(std::int64_t{1}) ? "retired" : "in use again"));
    } else {
      words_.push_back(fmt::format("{} {}: {}", kind, key, field_change(field, before, after)));
    }
  }
}

void Summaries::ends(EntryId entry) {
  Query row = database_.query(kEnds);
  row.with(entry);
  while (row.next()) {
    const std::string where = position(row.integer());
    const std::int64_t unit = row.integer();
    const std::string kind = row.text();
    const std::string cause = tail("cause ", row.text());
    const std::string left = row.text();
    const std::string note = row.text();
    std::string state;
    if (left == "dead") state = ", left dead";
    if (left == "workaround") state = ", on a workaround";
    if (left == "stand-in") state = ", on a stand-in";
    words_.push_back(fmt::format("{}: {} unit {}{}{}{}", end_word(kind), where, unit, cause, state,
                                 note.empty() ? "" : ": " + note));
  }
}

void Summaries::begins(EntryId entry) {
  Query row = database_.query(kBegins);
  row.with(entry);
  while (row.next()) {
    const std::string where = position(row.integer());
    const std::int64_t unit = row.integer();
    const auto fitted = row.maybe_id<PartId>();
    const std::string no_part = row.text();
    const bool stand_in = row.flag();
    words_.push_back(
        fmt::format("{}: {} unit {}, {}", stand_in ? "stand-in" : "fitted", where, unit,
                    fitted ? part(fitted->value) : (no_part.empty() ? "no part number" : no_part)));
  }
}

void Summaries::repairs(EntryId entry) {
  Query row = database_.query(kRepairs);
  row.with(entry);
  while (row.next()) {
    const std::string where = position(row.integer());
    const std::int64_t unit = row.integer();
    words_.push_back(
        fmt::format("repaired in place: {} unit {}{}", where, unit, tail("cause ", row.text())));
  }
}

void Summaries::opens(EntryId entry) {
  Query row = database_.query(kOpens);
  row.with(entry);
  while (row.next()) {
    const std::string where = position(row.integer());
    const std::int64_t unit = row.integer();
    const std::string state = row.text();
    words_.push_back(fmt::format("{}: {} unit {}{}", state, where, unit, tail("", row.text())));
  }
}

void Summaries::movements(EntryId entry) {
  Query row = database_.query(kMovements);
  row.with(entry);
  while (row.next()) {
    const std::int64_t quantity = row.integer();
    const std::string what = part(row.integer());
    const std::string from = place(row);
    const std::string to = place(row);
    words_.push_back(fmt::format("{} x {} from {} to {}", quantity, what, from, to));
  }
}

void Summaries::usages(EntryId entry) {
  Query row = database_.query(kUsages);
  row.with(entry);
  while (row.next()) {
    const auto what = row.maybe_id<PartId>();
    const auto where = row.maybe_id<PositionId>();
    const std::int64_t quantity = row.integer();
    const std::string_view deed = row.flag() ? "lost" : "used";
    words_.push_back(fmt::format("{}: {} x {}{}", deed, quantity,
                                 what ? part(what->value) : "a unit",
                                 where ? " at " + position(where->value) : ""));
  }
}

void Summaries::tests(EntryId entry) {
  Query row = database_.query(kTests);
  row.with(entry);
  while (row.next()) {
    const std::string where = position(row.integer());
    const auto unit = row.maybe([](Query& query) { return query.integer(); });
    const std::string_view result = row.flag() ? "passed" : "FAILED";
    words_.push_back(fmt::format("test {}: {}{}{}", result, where,
                                 unit ? fmt::format(" unit {}", *unit) : "", tail("", row.text())));
  }
}

void Summaries::readings(EntryId entry) {
  Query row = database_.query(kReadings);
  row.with(entry);
  while (row.next()) {
    const Name& meter = look_up(kMeter, row.integer());
    const double value = row.real();
    words_.push_back(fmt::format("{} reads {} {}{}", meter.key, plain_number(value),
                                 meter.name == "mi" ? "km" : meter.name,
                                 row.flag() ? ", meter replaced" : ""));
  }
}

void Summaries::stays(EntryId entry) {
  Query row = database_.query(kStays);
  row.with(entry);
  while (row.next()) {
    const std::int64_t nights = row.integer();
    words_.push_back(fmt::format("stayed {}{}", counted(nights, "night"), tail("", row.text())));
  }
}

void Summaries::conditions(EntryId entry) {
  Query row = database_.query(kConditions);
  row.with(entry);
  while (row.next()) {
    const std::string condition = row.text();
    const auto rig = row.maybe([](Query& query) { return query.text(); });
    const Date from = row.date();
    const auto to = row.maybe_date();
    words_.push_back(fmt::format("{} on {} from {}{}", condition, rig.value_or("all rigs"),
                                 to_text(from), to ? " to " + to_text(*to) : " on"));
  }
}

void Summaries::faults(EntryId entry) {
  Query opened = database_.query(kFaults);
  opened.with(entry);
  while (opened.next()) {
    const std::string key = opened.text();
    words_.push_back(fmt::format("fault {} opened at {}", key, position(opened.integer())));
  }
  Query closed = database_.query(kCloses);
  closed.with(entry);
  while (closed.next()) {
    const std::string key = closed.text();
    words_.push_back(fmt::format("fault {} closed at {}", key, position(closed.integer())));
  }
}

void Summaries::attributions(EntryId entry) {
  Query row = database_.query(kAttributions);
  row.with(entry);
  while (row.next()) {
    const std::string where = position(row.integer());
    const std::int64_t unit = row.integer();
    words_.push_back(
        fmt::format("failure at {} unit {} put down to fault {}", where, unit, row.text()));
  }
}

void Summaries::orders(EntryId entry) {
  Query row = database_.query(kOrders);
  row.with(entry);
  while (row.next()) {
    const std::string number = row.text();
    const std::int64_t quantity = row.integer();
    const std::string what = part(row.integer());
    words_.push_back(fmt::format("{}: {} x {} from {}", number, quantity, what,
                                 look_up(kSupplier, row.integer()).key));
  }
}

void Summaries::receipts(EntryId entry) {
  Query row = database_.query(kReceipts);
  row.with(entry);
  while (row.next()) {
    const std::string number = row.text();
    const std::int64_t quantity = row.integer();
    const bool cancelled = row.flag();
    if (quantity > 0) words_.push_back(fmt::format("{} of order {}", quantity, number));
    if (cancelled) words_.push_back(fmt::format("order {} cancelled", number));
  }
}

void Summaries::quarantines(EntryId entry) {
  Query row = database_.query(kQuarantines);
  row.with(entry);
  while (row.next()) {
    const std::string what = part(row.integer());
    const std::string batch = tail("batch ", row.text());
    words_.push_back(
        fmt::format("{}{} {}", what, batch, row.flag() ? "set aside" : "free for use again"));
  }
}

void Summaries::policies(EntryId entry) {
  Query row = database_.query(kPolicies);
  row.with(entry);
  while (row.next()) {
    const std::string key = row.text();
    const auto value = row.maybe_real();
    words_.push_back(fmt::format("{} = {}", key, value ? plain_number(*value) : "as shipped"));
  }
}

void Summaries::trips(EntryId entry) {
  Query row = database_.query(kTrips);
  row.with(entry);
  while (row.next()) {
    const std::string key = row.text();
    const bool named = !row.text().empty();
    const std::int64_t legs = row.integer();
    const std::int64_t stops = row.integer();
    if (!named && legs == 0 && stops == 0) {
      words_.push_back(fmt::format("trip {} removed", key));
    } else {
      words_.push_back(fmt::format("trip {} of {}{}", key, counted(legs, "leg"),
                                   stops == 0 ? "" : " and " + counted(stops, "stop")));
    }
  }
}

std::string Summaries::of(EntryId entry, EntryKind kind, std::optional<EntryId> reverses) {
  words_.clear();
  switch (kind) {
    case EntryKind::add:
    case EntryKind::set:
    case EntryKind::retire:
      changes(entry);
      break;
    case EntryKind::policy:
      policies(entry);
      break;
    case EntryKind::fit:
    case EntryKind::fail:
    case EntryKind::renew:
    case EntryKind::lose:
    case EntryKind::use:
    case EntryKind::scrap:
    case EntryKind::test:
      ends(entry);
      begins(entry);
      repairs(entry);
      opens(entry);
      usages(entry);
      tests(entry);
      movements(entry);
      break;
    case EntryKind::reading:
    case EntryKind::stay:
      stays(entry);
      readings(entry);
      break;
    case EntryKind::condition:
      conditions(entry);
      break;
    case EntryKind::fault_open:
    case EntryKind::fault_close:
    case EntryKind::attribute:
      faults(entry);
      attributions(entry);
      break;
    case EntryKind::order:
      orders(entry);
      break;
    case EntryKind::cancel_order:
    case EntryKind::receive:
    case EntryKind::move:
    case EntryKind::count:
    case EntryKind::quarantine:
      receipts(entry);
      movements(entry);
      begins(entry);
      quarantines(entry);
      break;
    case EntryKind::trip:
      trips(entry);
      break;
    case EntryKind::undo:
      if (reverses) words_.push_back(fmt::format("took back entry {}", reverses->value));
      changes(entry);
      break;
  }
  const std::size_t all = words_.size();
  if (all > kMostWords) {
    words_.resize(kMostWords - 1);
    words_.push_back(fmt::format("and {} more", all - kMostWords + 1));
  }
  return join(words_, "; ");
}

}  // namespace shearpin::ledger
