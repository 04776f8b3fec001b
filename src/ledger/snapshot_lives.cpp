// Lives of units, derived from their beginnings and ends, and the places left open.

#include <algorithm>
#include <numeric>
#include <tuple>
#include <utility>

#include "ledger/snapshot_parts.hpp"
#include "ledger/sql_live.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kCount = "SELECT count(*) FROM unit_begin";

// Each list is read in two ways: of some positions by their index, or the whole table in the order
// it was written, which saves a search in `entry` for every row.
#define SHEARPIN_SQL_BEGINS                                                                   \
  "SELECT b.id, b.position, b.unit, b.part, b.no_part, b.stand_in, b.lot, e.happened, b.age," \
  " b.age_unknown, b.marked_end, b.entry"                                                     \
  " FROM unit_begin AS b CROSS JOIN entry AS e ON e.id = b.entry WHERE " SHEARPIN_SQL_LIVE
#define SHEARPIN_SQL_ENDS                                                                   \
  "SELECT x.unit, e.happened, x.kind, x.last_good, x.test_date, x.fault, x.cause, x.entry," \
  " x.left_state, x.note FROM "
#define SHEARPIN_SQL_REPAIRS "SELECT x.unit, e.happened, x.took_part FROM "
#define SHEARPIN_SQL_ATTRIBUTIONS "SELECT x.unit, x.fault FROM "
#define SHEARPIN_SQL_OPENS "SELECT x.position, x.unit, x.state, x.note, e.happened, x.entry FROM "
#define SHEARPIN_SQL_AT(table)               \
  "unit_begin AS b CROSS JOIN " table        \
  " AS x ON x.unit = b.id"                   \
  " CROSS JOIN entry AS e ON e.id = x.entry" \
  " WHERE b.position BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE
#define SHEARPIN_SQL_OF_UNIT(table) \
  table " AS x CROSS JOIN entry AS e ON e.id = x.entry WHERE x.unit = ?3 AND " SHEARPIN_SQL_LIVE
#define SHEARPIN_SQL_ALL(table) \
  table " AS x CROSS JOIN entry AS e ON e.id = x.entry WHERE " SHEARPIN_SQL_LIVE

/// The statement for some positions (?3 to ?4), and for all.
struct BothWays {
  const char* some;
  const char* all;
};

constexpr BothWays kBegins = {SHEARPIN_SQL_BEGINS
                              " AND b.position BETWEEN ?3 AND ?4"
                              " ORDER BY b.position, b.unit, e.happened, b.id",
                              SHEARPIN_SQL_BEGINS " ORDER BY b.id"};
constexpr BothWays kEnds = {SHEARPIN_SQL_ENDS SHEARPIN_SQL_AT("unit_end") " ORDER BY x.id",
                            SHEARPIN_SQL_ENDS SHEARPIN_SQL_ALL("unit_end") " ORDER BY x.id"};
constexpr BothWays kRepairs = {
    SHEARPIN_SQL_REPAIRS SHEARPIN_SQL_AT("repair") " ORDER BY e.happened, x.id",
    SHEARPIN_SQL_REPAIRS SHEARPIN_SQL_ALL("repair") " ORDER BY e.happened, x.id"};
constexpr BothWays kAttributions = {
    SHEARPIN_SQL_ATTRIBUTIONS SHEARPIN_SQL_AT("attribution") " ORDER BY e.happened, x.id",
    SHEARPIN_SQL_ATTRIBUTIONS SHEARPIN_SQL_ALL("attribution") " ORDER BY e.happened, x.id"};
constexpr BothWays kOpens = {
    SHEARPIN_SQL_OPENS SHEARPIN_SQL_ALL("open_place") " AND x.position BETWEEN ?3 AND ?4"
                                                      " ORDER BY x.position, x.unit, x.id",
    SHEARPIN_SQL_OPENS SHEARPIN_SQL_ALL("open_place") " ORDER BY x.id"};

// One place from its newest life backwards, and of each life what is its own.
constexpr const char* kBeginsBack = SHEARPIN_SQL_BEGINS
    " AND b.position = ?3 AND b.unit = ?4 AND b.happened <= ?1"
    " ORDER BY b.happened DESC, b.id DESC";
constexpr const char* kEndsOfUnit =
    SHEARPIN_SQL_ENDS SHEARPIN_SQL_OF_UNIT("unit_end") " ORDER BY x.id";
constexpr const char* kLastRepairOfUnit =
    "SELECT x.unit, x.happened, x.took_part FROM " SHEARPIN_SQL_OF_UNIT(
        "repair") " AND x.happened <= ?1 ORDER BY x.happened DESC, x.id DESC LIMIT 1";
constexpr const char* kAttributionsOfUnit =
    SHEARPIN_SQL_ATTRIBUTIONS SHEARPIN_SQL_OF_UNIT("attribution") " ORDER BY e.happened, x.id";
constexpr const char* kLastOpen =
    "SELECT x.position, x.unit, x.state, x.note, x.happened, x.entry FROM open_place AS x"
    " CROSS JOIN entry AS e ON e.id = x.entry WHERE x.position = ?3 AND x.unit = ?4"
    " AND x.happened <= ?1 AND " SHEARPIN_SQL_LIVE " ORDER BY x.happened DESC, x.id DESC LIMIT 1";

/// What happens to a place, in the order in which it decides what the place holds.
struct PlaceEvent {
  PositionId position;
  int unit = 1;
  Date date;
  EntryId entry;
  enum class What { end, declared, begin } what = What::end;
  domain::PlaceState state = domain::PlaceState::empty;
  std::uint32_t note = 0;  ///< place in the list of notes, of which the first is empty

  auto order() const { return std::tuple(position, unit, date, entry, what); }
};

/// Reads lives and collects what opens and fills places.
class LifeReader {
 public:
  LifeReader(const Database& database, const View& view) : database_(database), view_(view) {}

  void read(const Range& range) {
    const std::size_t first = lives_.size();
    read_begins(range);
    index(first);
    read_ends(range);
    read_repairs(range);
    read_attributions(range);
    read_opens(range);
  }

  /// The lives of a place back to the newest sound unit of a known part, the last repair of each,
  /// and what the place was last declared to be.
  void read_latest(PositionId position, int unit) {
    const std::size_t first = lives_.size();
    {
      Query row = database_.query(kBeginsBack);
      row.with(view_.as_of, view_.known, position, unit);
      while (row.next()) {
        const domain::UnitLife& life = add_begin(row);
        if (!life.stand_in && life.part) break;
      }
    }
    index(first);
    for (std::size_t i = first; i < lives_.size(); ++i) {
      const UnitId id = lives_[i].id;
      read_each(kEndsOfUnit, id, [this](Query& row) { add_end(row); });
      read_each(kLastRepairOfUnit, id, [this](Query& row) { add_repair(row); });
      read_each(kAttributionsOfUnit, id, [this](Query& row) { add_attribution(row); });
    }
    Query row = database_.query(kLastOpen);
    row.with(view_.as_of, view_.known, position, unit);
    if (row.next()) add_open(row);
  }

  /// By position, unit and day fitted.
  std::vector<domain::UnitLife> take_lives();
  std::vector<domain::OpenPlace> open_places();

 private:
  Query query(const BothWays& sql, const Range& range) const {
    return database_.query(range.everything() ? sql.all : sql.some);
  }
  void bind(Query& row, const Range& range) const {
    row.with(view_.as_of, view_.known);
    if (!range.everything()) row.with(range.low, range.high);
  }
  void read_begins(const Range& range);
  void read_ends(const Range& range);
  void read_repairs(const Range& range);
  void read_attributions(const Range& range);
  void read_opens(const Range& range);
  template <class Add>
  void read_each(const char* sql, UnitId unit, Add add) {
    Query row = database_.query(sql);
    row.with(view_.as_of, view_.known, unit);
    while (row.next()) add(row);
  }
  domain::UnitLife& add_begin(Query& row);
  void add_end(Query& row);
  void add_repair(Query& row);
  void add_attribution(Query& row);
  void add_open(Query& row);
  void index(std::size_t first);
  std::uint32_t keep_note(std::string note) {
    if (note.empty()) return 0;
    notes_.push_back(std::move(note));
    return static_cast<std::uint32_t>(notes_.size() - 1);
  }
  domain::UnitLife* find(std::int64_t unit);

  const Database& database_;
  const View view_;
  std::vector<domain::UnitLife> lives_;
  std::vector<std::pair<std::int64_t, std::size_t>> by_id_;  // of the range being read, ascending
  std::vector<PlaceEvent> events_;
  std::vector<std::string> notes_ = {std::string()};
};

void LifeReader::index(std::size_t first) {
  by_id_.clear();
  for (std::size_t i = first; i < lives_.size(); ++i) by_id_.emplace_back(lives_[i].id.value, i);
  std::sort(by_id_.begin(), by_id_.end());
}

domain::UnitLife* LifeReader::find(std::int64_t unit) {
  const auto found =
      std::lower_bound(by_id_.begin(), by_id_.end(), std::pair(unit, std::size_t{0}));
  return found != by_id_.end() && found->first == unit ? &lives_[found->second] : nullptr;
}

domain::UnitLife& LifeReader::add_begin(Query& row) {
  domain::UnitLife& life = lives_.emplace_back();
  life.id = row.id<UnitTag>();
  life.position = row.id<PositionTag>();
  life.unit = row.small();
  life.part = row.maybe_id<PartId>();
  life.no_part = row.text();
  life.stand_in = row.flag();
  life.lot = row.maybe_id<LotId>();
  life.fitted = row.date();
  life.age_at_fit = row.maybe_real();
  life.age_unknown = row.flag();
  life.marked_end = row.maybe_date();
  life.entry = row.id<EntryTag>();
  const auto state = life.stand_in ? domain::PlaceState::stand_in : domain::PlaceState::fitted;
  events_.push_back({life.position, life.unit, life.fitted, life.entry, PlaceEvent::What::begin,
                     state, life.stand_in ? keep_note(life.no_part) : 0});
  return life;
}

void LifeReader::read_begins(const Range& range) {
  // Growing the lists of a large ledger step by step takes longer than counting first.
  if (range.everything()) {
    Query count = database_.query(kCount);
    count.next();
    const auto most =
        static_cast<std::size_t>(std::clamp<std::int64_t>(count.integer(), 0, 1 << 20));
    lives_.reserve(most);
    events_.reserve(2 * most);
  }
  Query row = query(kBegins, range);
  bind(row, range);
  while (row.next()) add_begin(row);
}

void LifeReader::add_end(Query& row) {
  domain::UnitLife* life = find(row.integer());
  if (life == nullptr) return;  // its fit happened later or is taken back: verify tells
  domain::LifeEnd& end = life->end.emplace();
  end.date = row.date();
  end.kind = row.word(domain::parse_end_kind);
  end.last_good = row.maybe_date();
  end.test_date = row.maybe_date();
  end.fault = row.maybe_id<FaultId>();
  end.cause = row.text();
  end.entry = row.id<EntryTag>();
  const auto left = row.word(domain::parse_place_state);
  events_.push_back({life->position, life->unit, end.date, end.entry, PlaceEvent::What::end, left,
                     keep_note(row.text())});
}

void LifeReader::read_ends(const Range& range) {
  Query row = query(kEnds, range);
  bind(row, range);
  while (row.next()) add_end(row);
}

void LifeReader::add_repair(Query& row) {
  domain::UnitLife* life = find(row.integer());
  if (life == nullptr) return;
  life->repairs.push_back(row.date());
  life->repair_took_part.push_back(row.flag());
}

void LifeReader::read_repairs(const Range& range) {
  Query row = query(kRepairs, range);
  bind(row, range);
  while (row.next()) add_repair(row);
}

void LifeReader::add_attribution(Query& row) {
  domain::UnitLife* life = find(row.integer());
  if (life != nullptr && life->end) life->end->fault = row.id<FaultTag>();
}

void LifeReader::read_attributions(const Range& range) {
  Query row = query(kAttributions, range);
  bind(row, range);
  while (row.next()) add_attribution(row);
}

void LifeReader::add_open(Query& row) {
  PlaceEvent& event = events_.emplace_back();
  event.position = row.id<PositionTag>();
  event.unit = row.small();
  event.state = row.word(domain::parse_place_state);
  event.note = keep_note(row.text());
  event.date = row.date();
  event.entry = row.id<EntryTag>();
  event.what = PlaceEvent::What::declared;
}

void LifeReader::read_opens(const Range& range) {
  Query row = query(kOpens, range);
  bind(row, range);
  while (row.next()) add_open(row);
}

std::vector<domain::UnitLife> LifeReader::take_lives() {
  std::vector<std::size_t> order(lives_.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(), [this](std::size_t a, std::size_t b) {
    const auto key = [](const domain::UnitLife& life) {
      return std::tie(life.position, life.unit, life.fitted, life.id);
    };
    return key(lives_[a]) < key(lives_[b]);
  });
  // Put in order where they are, cycle by cycle: a second list would be the dearest part of it.
  for (std::size_t start = 0; start < order.size(); ++start) {
    if (order[start] == start) continue;
    domain::UnitLife first = std::move(lives_[start]);
    std::size_t to = start;
    while (order[to] != start) {
      lives_[to] = std::move(lives_[order[to]]);
      to = std::exchange(order[to], to);
    }
    lives_[to] = std::move(first);
    order[to] = to;
  }
  return std::move(lives_);
}

/// A place stays open from the end of its last sound unit, whatever gets the person by meanwhile.
std::vector<domain::OpenPlace> LifeReader::open_places() {
  std::sort(events_.begin(), events_.end(),
            [](const PlaceEvent& a, const PlaceEvent& b) { return a.order() < b.order(); });
  std::vector<domain::OpenPlace> open;
  for (std::size_t i = 0; i < events_.size();) {
    std::optional<domain::OpenPlace> place;
    const PlaceEvent& first = events_[i];
    for (; i < events_.size() && events_[i].position == first.position &&
           events_[i].unit == first.unit;
         ++i) {
      const PlaceEvent& event = events_[i];
      if (event.state == domain::PlaceState::fitted) {
        place.reset();
        continue;
      }
      if (!place) place = domain::OpenPlace{event.position, event.unit, {}, event.date, {}};
      place->state = event.state;
      place->note = notes_[event.note];
    }
    if (place) open.push_back(*place);
  }
  return open;
}

}  // namespace

void read_lives(const Database& database, const View& view, Ranges positions,
                domain::Snapshot& into) {
  LifeReader reader(database, view);
  for (const Range& range : positions) reader.read(range);
  into.open_places = reader.open_places();
  into.lives = reader.take_lives();
}

void read_latest_lives(const Database& database, const View& view,
                       std::span<const PlaceUnits> positions, domain::Snapshot& into) {
  LifeReader reader(database, view);
  for (const PlaceUnits& position : positions) {
    for (int unit = 1; unit <= position.units; ++unit) reader.read_latest(position.id, unit);
  }
  into.open_places = reader.open_places();
  into.lives = reader.take_lives();
}

}  // namespace shearpin::ledger
