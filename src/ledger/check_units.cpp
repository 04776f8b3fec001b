// Lives of one place.

#include <fmt/format.h>

#include <algorithm>

#include "ledger/checks.hpp"
#include "ledger/names.hpp"
#include "ledger/sql_live.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kBegins =
    "SELECT b.id, b.entry, e.happened, b.stand_in, " SHEARPIN_SQL_LIVE_BUT
    " FROM unit_begin AS b CROSS JOIN entry AS e ON e.id = b.entry"
    " WHERE b.position = ?2 AND b.unit = ?3 ORDER BY e.happened, b.id";
constexpr const char* kEnds =
    "SELECT x.unit, x.entry, e.happened, x.kind IN ('failed', 'failed-on-test')"
    " FROM unit_begin AS b CROSS JOIN unit_end AS x ON x.unit = b.id"
    " CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE b.position = ?2 AND b.unit = ?3 AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY x.id";
constexpr const char* kRepairs =
    "SELECT x.unit, x.entry, e.happened"
    " FROM unit_begin AS b CROSS JOIN repair AS x ON x.unit = b.id"
    " CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE b.position = ?2 AND b.unit = ?3 AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY x.id";
constexpr const char* kAttributions =
    "SELECT x.unit, x.entry, e.happened"
    " FROM unit_begin AS b CROSS JOIN attribution AS x ON x.unit = b.id"
    " CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE b.position = ?2 AND b.unit = ?3 AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY x.id";
constexpr const char* kOpens =
    "SELECT x.entry, e.happened FROM open_place AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE x.position = ?2 AND x.unit = ?3 AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY x.id";

struct Event {
  std::int64_t unit = 0;
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

  /// Holds the place after the beginning of `day`... up to the day before its end.
  bool covers(Date day) const {
    return live && fitted < day && (ends.empty() || day < ends.front().date);
  }
};

class PlaceCheck {
 public:
  PlaceCheck(const Question& ask, PositionId position, int unit, std::vector<Conflict>& found)
      : ask_(ask), position_(position), unit_(unit), found_(found) {}

  void run() {
    read();
    for (const Life& life : lives_) check_ends(life);
    check_overlaps();
    check_events(kRepairs, "is mended", false);
    check_events(kAttributions, "is put down to a fault", true);
    check_declared();
  }

 private:
  void read();
  void check_ends(const Life& life);
  void check_overlaps();
  void check_events(const char* sql, std::string_view deed, bool wants_failure);
  void check_declared();

  Life* find(std::int64_t unit) {
    const auto found = std::find_if(lives_.begin(), lives_.end(),
                                    [unit](const Life& life) { return life.id == unit; });
    return found == lives_.end() ? nullptr : &*found;
  }
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

void PlaceCheck::read() {
  Query begin = ask_.database.query(kBegins);
  begin.with(ask_.but, position_, unit_);
  while (begin.next()) {
    Life& life = lives_.emplace_back();
    life.id = begin.integer();
    life.entry = begin.id<EntryTag>();
    life.fitted = begin.date();
    life.stand_in = begin.flag();
    life.live = begin.flag();
  }
  Query end = ask_.database.query(kEnds);
  end.with(ask_.but, position_, unit_);
  while (end.next()) {
    Event event;
    event.unit = end.integer();
    event.entry = end.id<EntryTag>();
    event.date = end.date();
    event.failure = end.flag();
    if (Life* life = find(event.unit)) life->ends.push_back(event);
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

void PlaceCheck::check_events(const char* sql, std::string_view deed, bool wants_failure) {
  Query row = ask_.database.query(sql);
  row.with(ask_.but, position_, unit_);
  while (row.next()) {
    const std::int64_t unit = row.integer();
    const EntryId by = row.id<EntryTag>();
    const Date date = row.date();
    const Life* life = find(unit);
    if (life == nullptr) continue;
    if (!life->live) {
      report(fmt::format("the unit at {} that {} by {} was fitted by {}, which is taken back",
                         name(), deed, entry(by), entry(life->entry)),
             {by});
    } else if (wants_failure && (life->ends.empty() || !life->ends.front().failure)) {
      report(fmt::format("the unit at {} has no failure that could be put down to a fault ({})",
                         name(), entry(by)),
             {by});
    } else if (date < life->fitted ||
               (!wants_failure && !life->ends.empty() && date > life->ends.front().date)) {
      report(fmt::format("the unit at {} {} on {}, outside its life there ({})", name(), deed,
                         to_text(date), entry(life->entry)),
             {by, life->entry});
    }
  }
}

void PlaceCheck::check_declared() {
  Query row = ask_.database.query(kOpens);
  row.with(ask_.but, position_, unit_);
  while (row.next()) {
    const EntryId by = row.id<EntryTag>();
    const Date date = row.date();
    for (const Life& life : lives_) {
      if (life.stand_in || !life.covers(date)) continue;
      report(fmt::format("{} holds a sound unit on {} ({}); its state cannot be declared then ({})",
                         name(), to_text(date), entry(life.entry), entry(by)),
             {by, life.entry});
    }
  }
}

}  // namespace

void check_place(const Question& ask, PositionId position, int unit, std::vector<Conflict>& found) {
  PlaceCheck(ask, position, unit, found).run();
}

}  // namespace shearpin::ledger
