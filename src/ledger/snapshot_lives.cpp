// Lives of units, derived from their beginnings and ends, and the places left open.

#include <algorithm>
#include <numeric>
#include <tuple>
#include <utility>

#include "ledger/snapshot_parts.hpp"
#include "ledger/tables.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kCount = "SELECT count(*) FROM unit_begin";

/// The statement for some positions (?3 to ?4), by their index; and for all, in the order the table
/// was written, which saves a search in `entry` for every row.
struct BothWays {
  std::string some, all;
};

template <class Line>
BothWays both_ways(const LineTable<Line>& table, const std::string& order,
                   const std::string& order_of_all) {
  const std::string some =
      std::is_same_v<Line, domain::FitLine> || std::is_same_v<Line, domain::OpenLine>
          ? "x.position BETWEEN ?3 AND ?4"
          : "x.unit IN (SELECT id FROM unit_begin"
            " WHERE position BETWEEN ?3 AND ?4)";
  return {table.live(some + " ORDER BY " + order), table.live("TRUE ORDER BY " + order_of_all)};
}

/// What is read of lives; the last ones of one place from its newest life backwards, and of each
/// life what is its own.
struct LifeSql {
  BothWays begins = both_ways(unit_table(), "x.position, x.unit, e.happened, x.id", "x.id");
  BothWays ends = both_ways(end_table(), "x.id", "x.id");
  BothWays repairs = both_ways(repair_table(), "e.happened, x.id", "e.happened, x.id");
  BothWays attributions = both_ways(attribution_table(), "e.happened, x.id", "e.happened, x.id");
  BothWays opens = both_ways(open_table(), "x.position, x.unit, x.id", "x.id");
  std::string begins_back = unit_table().live(
      "x.position = ?3 AND x.unit = ?4 AND x.happened <= ?1 ORDER BY x.happened DESC, x.id DESC");
  std::string ends_of_unit = end_table().live("x.unit = ?3 ORDER BY x.id");
  std::string last_repair_of_unit = repair_table().live(
      "x.unit = ?3 AND x.happened <= ?1 ORDER BY x.happened DESC, x.id DESC LIMIT 1");
  std::string attributions_of_unit =
      attribution_table().live("x.unit = ?3 ORDER BY e.happened, x.id");
  std::string last_open = open_table().live(
      "x.position = ?3 AND x.unit = ?4 AND x.happened <= ?1"
      " ORDER BY x.happened DESC, x.id DESC LIMIT 1");
};

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
  template <class Line>
  using Add = void (LifeReader::*)(const Line&, const Written&);
  template <class Line>
  auto adding(Add<Line> add) {
    return [this, add](const Line& line, const Written& at) { (this->*add)(line, at); };
  }

 public:
  LifeReader(const Database& database, const View& view) : database_(database), view_(view) {}

  void read(const Range& range) {
    const std::size_t first = lives_.size();
    reserve(range);
    read(unit_table(), sql().begins, range, &LifeReader::add_begin);
    index(first);
    read(end_table(), sql().ends, range, &LifeReader::add_end);
    read(repair_table(), sql().repairs, range, &LifeReader::add_repair);
    read(attribution_table(), sql().attributions, range, &LifeReader::add_attribution);
    read(open_table(), sql().opens, range, &LifeReader::add_open);
  }

  /// The lives of a place back to the newest sound unit of a known part, the last repair of each,
  /// and what the place was last declared to be.
  void read_latest(PositionId position, int unit) {
    const std::size_t first = lives_.size();
    unit_table().each_live(
        database_, sql().begins_back,
        [this](const domain::FitLine& line, const Written& at) {
          add_begin(line, at);
          return line.stand_in || !line.part;
        },
        view_.as_of, view_.known, position, unit);
    index(first);
    for (std::size_t i = first; i < lives_.size(); ++i) {
      const UnitId id = lives_[i].id;
      end_table().each_live(database_, sql().ends_of_unit, adding(&LifeReader::add_end),
                            view_.as_of, view_.known, id);
      repair_table().each_live(database_, sql().last_repair_of_unit,
                               adding(&LifeReader::add_repair), view_.as_of, view_.known, id);
      attribution_table().each_live(database_, sql().attributions_of_unit,
                                    adding(&LifeReader::add_attribution), view_.as_of, view_.known,
                                    id);
    }
    open_table().each_live(database_, sql().last_open, adding(&LifeReader::add_open), view_.as_of,
                           view_.known, position, unit);
  }

  /// By position, unit and day fitted.
  std::vector<domain::UnitLife> take_lives();
  std::vector<domain::OpenPlace> open_places();

 private:
  static const LifeSql& sql() {
    static const LifeSql all;
    return all;
  }
  template <class Line>
  void read(const LineTable<Line>& table, const BothWays& sql, const Range& range, Add<Line> add) {
    if (range.everything()) {
      table.each_live(database_, sql.all, adding(add), view_.as_of, view_.known);
    } else {
      table.each_live(database_, sql.some, adding(add), view_.as_of, view_.known, range.low,
                      range.high);
    }
  }
  void reserve(const Range& range);
  void add_begin(const domain::FitLine& line, const Written& at);
  void add_end(const domain::EndLine& line, const Written& at);
  void add_repair(const domain::RepairLine& line, const Written& at);
  void add_attribution(const Attribution& line, const Written& at);
  void add_open(const domain::OpenLine& line, const Written& at);
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

/// Growing the lists of a large ledger step by step takes longer than counting first.
void LifeReader::reserve(const Range& range) {
  if (!range.everything()) return;
  Query count = database_.query(kCount);
  count.next();
  const auto most = static_cast<std::size_t>(std::clamp<std::int64_t>(count.integer(), 0, 1 << 20));
  lives_.reserve(most);
  events_.reserve(2 * most);
}

void LifeReader::add_begin(const domain::FitLine& line, const Written& at) {
  domain::UnitLife& life = lives_.emplace_back();
  life.id = {at.number};
  life.position = line.position;
  life.unit = line.unit;
  life.part = line.part;
  life.no_part = line.no_part;
  life.stand_in = line.stand_in;
  if (line.lot) life.lot = std::get<LotId>(*line.lot);
  life.fitted = at.day;
  life.age_at_fit = line.age;
  life.age_unknown = line.age_unknown;
  life.marked_end = line.marked_end;
  life.entry = at.entry;
  const auto state = life.stand_in ? domain::PlaceState::stand_in : domain::PlaceState::fitted;
  events_.push_back({life.position, life.unit, life.fitted, life.entry, PlaceEvent::What::begin,
                     state, life.stand_in ? keep_note(life.no_part) : 0});
}

void LifeReader::add_end(const domain::EndLine& line, const Written& at) {
  domain::UnitLife* life = find(line.unit.value);
  if (life == nullptr) return;  // its fit happened later or is taken back: verify tells
  life->end = {at.day, line.kind, line.last_good, line.test_date, line.fault, line.cause, at.entry};
  events_.push_back({life->position, life->unit, at.day, at.entry, PlaceEvent::What::end, line.left,
                     keep_note(line.note)});
}

void LifeReader::add_repair(const domain::RepairLine& line, const Written& at) {
  domain::UnitLife* life = find(line.unit.value);
  if (life == nullptr) return;
  life->repairs.push_back(at.day);
  life->repair_took_part.push_back(line.took_part);
}

void LifeReader::add_attribution(const Attribution& line, const Written&) {
  domain::UnitLife* life = find(line.unit.value);
  if (life != nullptr && life->end) life->end->fault = line.fault;
}

void LifeReader::add_open(const domain::OpenLine& line, const Written& at) {
  events_.push_back({line.position, line.unit, at.day, at.entry, PlaceEvent::What::declared,
                     line.state, keep_note(line.note)});
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
