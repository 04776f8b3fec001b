// Lives of units, derived from their beginnings and ends, and the places left open.

#include <algorithm>
#include <tuple>

#include "ledger/snapshot_parts.hpp"
#include "ledger/sql_live.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kCount = "SELECT count(*) FROM unit_begin WHERE position BETWEEN ?1 AND ?2";
constexpr const char* kBegins =
    "SELECT b.id, b.position, b.unit, b.part, b.no_part, b.stand_in, b.lot, e.happened, b.age,"
    " b.age_unknown, b.marked_end, b.entry"
    " FROM unit_begin AS b CROSS JOIN entry AS e ON e.id = b.entry"
    " WHERE b.position BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE
    " ORDER BY b.position, b.unit, e.happened, b.id";
constexpr const char* kEnds =
    "SELECT x.unit, e.happened, x.kind, x.last_good, x.test_date, x.fault, x.cause, x.entry,"
    " x.left_state, x.note"
    " FROM unit_begin AS b CROSS JOIN unit_end AS x ON x.unit = b.id"
    " CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE b.position BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE
    " ORDER BY b.position, b.unit, b.id, x.id";
constexpr const char* kRepairs =
    "SELECT x.unit, e.happened, x.took_part"
    " FROM unit_begin AS b CROSS JOIN repair AS x ON x.unit = b.id"
    " CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE b.position BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE
    " ORDER BY b.position, b.unit, b.id, e.happened, x.id";
constexpr const char* kAttributions =
    "SELECT x.unit, x.fault"
    " FROM unit_begin AS b CROSS JOIN attribution AS x ON x.unit = b.id"
    " CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE b.position BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE
    " ORDER BY b.position, b.unit, b.id, e.happened, x.id";
constexpr const char* kOpens =
    "SELECT x.position, x.unit, x.state, x.note, e.happened, x.entry"
    " FROM open_place AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE x.position BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE
    " ORDER BY x.position, x.unit, x.id";

/// What happens to a place, in the order in which it decides what the place holds.
struct PlaceEvent {
  PositionId position;
  int unit = 1;
  Date date;
  EntryId entry;
  enum class What { end, declared, begin } what = What::end;
  domain::PlaceState state = domain::PlaceState::empty;
  std::string note;

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

  std::vector<domain::UnitLife> take_lives() { return std::move(lives_); }
  std::vector<domain::OpenPlace> open_places();

 private:
  void read_begins(const Range& range);
  void read_ends(const Range& range);
  void read_repairs(const Range& range);
  void read_attributions(const Range& range);
  void read_opens(const Range& range);
  void index(std::size_t first);
  domain::UnitLife* find(std::int64_t unit);

  const Database& database_;
  const View view_;
  std::vector<domain::UnitLife> lives_;
  std::vector<std::pair<std::int64_t, std::size_t>> by_id_;  // of the range being read, ascending
  std::vector<PlaceEvent> events_;
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

void LifeReader::read_begins(const Range& range) {
  // Growing the lists of a large ledger step by step takes longer than counting first.
  if (range.low != range.high) {
    Query count = database_.query(kCount);
    count.with(range.low, range.high);
    count.next();
    const auto most =
        static_cast<std::size_t>(std::clamp<std::int64_t>(count.integer(), 0, 1 << 20));
    lives_.reserve(most);
    events_.reserve(2 * most);
  }
  Query row = database_.query(kBegins);
  row.with(view_.as_of, view_.known, range.low, range.high);
  while (row.next()) {
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
                       state, life.stand_in ? life.no_part : std::string()});
  }
}

void LifeReader::read_ends(const Range& range) {
  Query row = database_.query(kEnds);
  row.with(view_.as_of, view_.known, range.low, range.high);
  while (row.next()) {
    domain::UnitLife* life = find(row.integer());
    if (life == nullptr) continue;  // its fit happened later or is taken back: verify tells
    domain::LifeEnd& end = life->end.emplace();
    end.date = row.date();
    end.kind = row.word(domain::parse_end_kind);
    end.last_good = row.maybe_date();
    end.test_date = row.maybe_date();
    end.fault = row.maybe_id<FaultId>();
    end.cause = row.text();
    end.entry = row.id<EntryTag>();
    const auto left = row.word(domain::parse_place_state);
    events_.push_back(
        {life->position, life->unit, end.date, end.entry, PlaceEvent::What::end, left, row.text()});
  }
}

void LifeReader::read_repairs(const Range& range) {
  Query row = database_.query(kRepairs);
  row.with(view_.as_of, view_.known, range.low, range.high);
  while (row.next()) {
    domain::UnitLife* life = find(row.integer());
    if (life == nullptr) continue;
    life->repairs.push_back(row.date());
    life->repair_took_part.push_back(row.flag());
  }
}

void LifeReader::read_attributions(const Range& range) {
  Query row = database_.query(kAttributions);
  row.with(view_.as_of, view_.known, range.low, range.high);
  while (row.next()) {
    domain::UnitLife* life = find(row.integer());
    if (life != nullptr && life->end) life->end->fault = row.id<FaultTag>();
  }
}

void LifeReader::read_opens(const Range& range) {
  Query row = database_.query(kOpens);
  row.with(view_.as_of, view_.known, range.low, range.high);
  while (row.next()) {
    PlaceEvent& event = events_.emplace_back();
    event.position = row.id<PositionTag>();
    event.unit = row.small();
    event.state = row.word(domain::parse_place_state);
    event.note = row.text();
    event.date = row.date();
    event.entry = row.id<EntryTag>();
    event.what = PlaceEvent::What::declared;
  }
}

/// A place stays open from the end of its last sound unit, whatever gets the person by meanwhile.
std::vector<domain::OpenPlace> LifeReader::open_places() {
  std::stable_sort(events_.begin(), events_.end(),
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
      place->note = event.note;
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

}  // namespace shearpin::ledger
