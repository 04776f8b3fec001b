// Lives of one place.

#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "ledger/checks.hpp"
#include "ledger/names.hpp"
#include "ledger/sql_live.hpp"

namespace shearpin::ledger {
namespace {

// Where in time an entry touches a place: the lives it begins, ends or speaks of, and the days of
// the states it declares, each by its day and number.
constexpr const char* kTouched =
    "SELECT b.happened, b.id FROM unit_begin AS b"
    " WHERE b.entry = ?1 AND b.position = ?2 AND b.unit = ?3 UNION ALL"
    " SELECT b.happened, b.id FROM unit_end AS x CROSS JOIN unit_begin AS b ON b.id = x.unit"
    " WHERE x.entry = ?1 AND b.position = ?2 AND b.unit = ?3 UNION ALL"
    " SELECT b.happened, b.id FROM repair AS x CROSS JOIN unit_begin AS b ON b.id = x.unit"
    " WHERE x.entry = ?1 AND b.position = ?2 AND b.unit = ?3 UNION ALL"
    " SELECT b.happened, b.id FROM attribution AS x CROSS JOIN unit_begin AS b ON b.id = x.unit"
    " WHERE x.entry = ?1 AND b.position = ?2 AND b.unit = ?3 UNION ALL"
    " SELECT x.happened, 0 FROM open_place AS x"
    " WHERE x.entry = ?1 AND x.position = ?2 AND x.unit = ?3";
#define SHEARPIN_SQL_BEGINS                                              \
  "SELECT b.id, b.entry, b.happened, b.stand_in, " SHEARPIN_SQL_LIVE_BUT \
  " FROM unit_begin AS b CROSS JOIN entry AS e ON e.id = b.entry"        \
  " WHERE b.position = ?2 AND b.unit = ?3 AND "
constexpr const char* kBegins = SHEARPIN_SQL_BEGINS
    "(b.happened, b.id) >= (?4, ?5) AND (b.happened, b.id) <= (?6, ?7) ORDER BY b.happened, b.id";
constexpr const char* kBeginBefore =
    SHEARPIN_SQL_BEGINS "(b.happened, b.id) < (?4, ?5) AND " SHEARPIN_SQL_LIVE_BUT
                        " ORDER BY b.happened DESC, b.id DESC LIMIT 1";
constexpr const char* kBeginAfter = SHEARPIN_SQL_BEGINS
    "(b.happened, b.id) > (?4, ?5) AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY b.happened, b.id LIMIT 1";
constexpr const char* kEnds =
    "SELECT x.entry, e.happened, x.kind IN ('failed', 'failed-on-test')"
    " FROM unit_end AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE x.unit = ?2 AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY x.id";
// From ?3 to ?4 a repair is where it can be.
constexpr const char* kRepairsOutside =
    "SELECT x.entry, x.happened FROM repair AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE x.unit = ?2 AND x.happened < ?3 AND " SHEARPIN_SQL_LIVE_BUT
    " UNION ALL"
    " SELECT x.entry, x.happened FROM repair AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE x.unit = ?2 AND x.happened > ?4 AND " SHEARPIN_SQL_LIVE_BUT;
constexpr const char* kAttributions =
    "SELECT x.entry, e.happened FROM attribution AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE x.unit = ?2 AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY x.id";
constexpr const char* kOpensWithin =
    "SELECT x.entry, x.happened FROM open_place AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE x.position = ?2 AND x.unit = ?3 AND x.happened > ?4 AND x.happened < ?5"
    " AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY x.id";

/// Before and after every day that a file holds.
constexpr Date kFirst = std::chrono::year{0} / 1 / 1;
constexpr Date kLast = std::chrono::year{9999} / 12 / 31;

/// Lives of a place are in the order of their days, those of one day in the order written.
using Key = std::pair<Date, std::int64_t>;

struct Event {
  EntryId entry;
  Date date;
  bool failure = false;
};

struct Life {
  std::int64_t id = 0;
  EntryId entry;
  Date fitted;
  bool stand_in = false, live = false;
  std::vector<Event> ends;

  Date until() const { return ends.empty() ? kLast : ends.front().date; }
};

class PlaceCheck {
 public:
  PlaceCheck(const Question& ask, PositionId position, int unit, std::vector<Conflict>& found)
      : ask_(ask), position_(position), unit_(unit), found_(found) {}

  void run() {
    read();
    for (const Life& life : lives_) check_ends(life);
    check_overlaps();
    for (const Life& life : lives_) check_repairs(life);
    for (const Life& life : lives_) check_attributions(life);
    for (const Life& life : lives_) check_declared(life);
  }

 private:
  void read();
  void read_lives(Query& begin);
  void check_ends(const Life& life);
  void check_overlaps();
  void check_repairs(const Life& life);
  void check_attributions(const Life& life);
  void check_declared(const Life& life);
  void refuse_taken_back(const Life& life, std::string_view deed, EntryId by);
  void refuse_outside(const Life& life, std::string_view deed, EntryId by, Date date);

  std::string name() const { return place_name(ask_.database, position_, unit_); }
  std::string entry(EntryId id) const { return entry_name(ask_.database, id); }

  /// Names all entries but the one being written.
  void report(std::string what, std::vector<EntryId> entries) {
    std::erase(entries, ask_.self);
    found_.push_back({std::move(what), std::move(entries)});
  }

  const Question& ask_;
  PositionId position_;
  int unit_;
  std::vector<Conflict>& found_;
  std::vector<Life> lives_;
};

/// The lives that an entry touches with those between, and their neighbours on both sides: what
/// holds for these holds for the place, as it held before. Without an entry all of the place.
void PlaceCheck::read() {
  Key low{kFirst, 0};
  Key high{kLast, std::numeric_limits<std::int64_t>::max()};
  if (ask_.self.value != 0) {
    std::swap(low, high);
    Query touched = ask_.database.query(kTouched);
    touched.with(ask_.self, position_, unit_);
    while (touched.next()) {
      const Date day = touched.date();
      const Key key{day, touched.integer()};
      low = std::min(low, key);
      high = std::max(high, key);
    }
    if (high < low) return;  // nothing of this place
  }
  Query before = ask_.database.query(kBeginBefore);
  before.with(ask_.but, position_, unit_, low.first, low.second);
  read_lives(before);
  Query between = ask_.database.query(kBegins);
  between.with(ask_.but, position_, unit_, low.first, low.second, high.first, high.second);
  read_lives(between);
  Query after = ask_.database.query(kBeginAfter);
  after.with(ask_.but, position_, unit_, high.first, high.second);
  read_lives(after);
}

void PlaceCheck::read_lives(Query& begin) {
  while (begin.next()) {
    Life& life = lives_.emplace_back();
    life.id = begin.integer();
    life.entry = begin.id<EntryTag>();
    life.fitted = begin.date();
    life.stand_in = begin.flag();
    life.live = begin.flag();
    Query end = ask_.database.query(kEnds);
    end.with(ask_.but, life.id);
    while (end.next()) {
      Event& event = life.ends.emplace_back();
      event.entry = end.id<EntryTag>();
      event.date = end.date();
      event.failure = end.flag();
    }
  }
}

void PlaceCheck::check_ends(const Life& life) {
  if (life.ends.empty()) return;
  const Event& end = life.ends.front();
  if (!life.live) {
    report(fmt::format("the unit at {} was fitted by {}, which is taken back, and ended by {}",
                       name(), entry(life.entry), entry(end.entry)),
           {end.entry});
  } else if (life.ends.size() > 1) {
    report(fmt::format("the unit at {} has ended already: {}. Take that back first, or name "
                       "another unit.",
                       name(), entry(end.entry)),
           {end.entry, life.ends[1].entry});
  } else if (end.date < life.fitted) {
    report(fmt::format("the unit at {} was fitted on {} ({}); it cannot end on {}. Give a day from "
                       "then on.",
                       name(), to_text(life.fitted), entry(life.entry), to_text(end.date)),
           {life.entry, end.entry});
  }
}

void PlaceCheck::check_overlaps() {
  const Life* before = nullptr;
  for (const Life& life : lives_) {
    if (!life.live) continue;
    if (before != nullptr && (before->ends.empty() || life.fitted < before->ends.front().date)) {
      const std::string until = before->ends.empty()
                                    ? std::string("is still in it")
                                    : "stays until " + to_text(before->ends.front().date);
      report(
          fmt::format("{} would hold two units from {} on: the one fitted on {} ({}) {}, and {} "
                      "fits another. End the first with `fail` or `renew`, or give another day.",
                      name(), to_text(life.fitted), to_text(before->fitted), entry(before->entry),
                      until, life.entry == ask_.self ? "this" : entry(life.entry)),
          {before->entry, life.entry});
    }
    before = &life;
  }
}

void PlaceCheck::refuse_taken_back(const Life& life, std::string_view deed, EntryId by) {
  report(fmt::format("the unit at {} that {} by {} was fitted by {}, which is taken back", name(),
                     deed, entry(by), entry(life.entry)),
         {by});
}

void PlaceCheck::refuse_outside(const Life& life, std::string_view deed, EntryId by, Date date) {
  report(fmt::format("the unit at {} {} on {}, outside its life there ({})", name(), deed,
                     to_text(date), entry(life.entry)),
         {by, life.entry});
}

void PlaceCheck::check_repairs(const Life& life) {
  // Of a unit taken back every repair is out of place.
  const auto [from, to] =
      life.live ? std::pair(life.fitted, life.until()) : std::pair(kLast, kLast);
  Query row = ask_.database.query(kRepairsOutside);
  row.with(ask_.but, life.id, from, to);
  while (row.next()) {
    const EntryId by = row.id<EntryTag>();
    if (life.live) {
      refuse_outside(life, "is repaired", by, row.date());
    } else {
      refuse_taken_back(life, "is repaired", by);
    }
  }
}

void PlaceCheck::check_attributions(const Life& life) {
  constexpr std::string_view kDeed = "is put down to a fault";
  Query row = ask_.database.query(kAttributions);
  row.with(ask_.but, life.id);
  while (row.next()) {
    const EntryId by = row.id<EntryTag>();
    const Date date = row.date();
    if (!life.live) {
      refuse_taken_back(life, kDeed, by);
    } else if (life.ends.empty() || !life.ends.front().failure) {
      report(fmt::format("the unit at {} has no failure that could be put down to a fault ({})",
                         name(), entry(by)),
             {by});
    } else if (date < life.fitted) {
      refuse_outside(life, kDeed, by, date);
    }
  }
}

/// A sound unit holds its place from the day after its fit to the day before its end.
void PlaceCheck::check_declared(const Life& life) {
  if (!life.live || life.stand_in) return;
  Query row = ask_.database.query(kOpensWithin);
  row.with(ask_.but, position_, unit_, life.fitted, life.until());
  while (row.next()) {
    const EntryId by = row.id<EntryTag>();
    const Date date = row.date();
    report(fmt::format("{} holds a sound unit on {} ({}); its state cannot be declared then ({})",
                       name(), to_text(date), entry(life.entry), entry(by)),
           {by, life.entry});
  }
}

}  // namespace

void check_place(const Question& ask, PositionId position, int unit, std::vector<Conflict>& found) {
  PlaceCheck(ask, position, unit, found).run();
}

}  // namespace shearpin::ledger
