#pragma once
/// What a writing command wants to put into the ledger: one entry and its lines, as plain values.
/// The rules (src/domain/plan_*.cpp) make drafts, the ledger writes them whole or refuses them.

#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "shearpin/base/date.hpp"
#include "shearpin/base/id.hpp"
#include "shearpin/base/money.hpp"
#include "shearpin/domain/catalogue.hpp"
#include "shearpin/domain/vocabulary.hpp"

namespace shearpin::domain {

/// Every kind of entry; the spelling in the ledger and the journal is `to_text`.
enum class EntryKind {
  add,
  set,
  retire,
  policy,  // master data
  fit,
  fail,
  renew,
  use,
  lose,
  scrap,
  test,  // in the field
  reading,
  stay,
  condition,
  fault_open,
  fault_close,
  attribute,
  order,
  cancel_order,
  receive,
  move,
  count,
  quarantine,  // stores
  trip,
  undo
};
std::string_view to_text(EntryKind);
EntryKind parse_entry_kind(std::string_view);

/// An end of a movement: a bin, a position, or one of the outside places.
using Place = std::variant<BinId, PositionId, Outside>;

/// A lot that the entry creates; other lines name it by its place in `EntryDraft::lots`.
struct LotDraft {
  PartId part;
  std::string batch;
  std::optional<Date> made, ends;
  LotState state = LotState::fresh;
  std::optional<double> age;  ///< worn pieces: effective age when taken off
  std::optional<Money> cost;  ///< per piece
  bool quarantined = false;
};

/// A lot already in the ledger, or one this entry creates.
struct NewLot {
  std::size_t index = 0;
};
using LotRef = std::variant<LotId, NewLot>;

/// `quantity` pieces of one lot go from one place to another; quantity > 0, places differ.
struct MovementLine {
  LotRef lot;
  std::int64_t quantity = 1;
  Place from, to;
};

/// A unit's life begins at a position.
struct FitLine {
  PositionId position;
  int unit = 1;
  std::optional<PartId> part;
  std::string no_part;  ///< description where there is no part number
  bool stand_in = false;
  std::optional<LotRef> lot;  ///< none: fitted before the ledger, or no part number
  std::optional<double> age;  ///< effective age at fit; none with age_unknown false means new
  bool age_unknown = false;
  std::optional<Date> made, marked_end;
};

/// A unit's life ends.
struct EndLine {
  UnitId unit;
  EndKind kind = EndKind::failed;
  std::optional<Date> last_good, test_date;
  std::optional<FaultId> fault;
  std::string cause;
  PlaceState left = PlaceState::empty;  ///< empty when a FitLine of the same entry refills it
  std::string note;                     ///< the workaround or stand-in, in words
};

/// Repaired in place: the same unit lives on.
struct RepairLine {
  UnitId unit;
  std::string cause;
  bool took_part = false;
};

/// A place that holds nothing sound changes what gets the person by (dead -> workaround).
struct OpenLine {
  PositionId position;
  int unit = 1;
  PlaceState state = PlaceState::dead;
  std::string note;
};

struct TestLine {
  PositionId position;
  std::optional<int> unit;
  bool passed = true;
  std::string reading;
};

struct ReadingLine {
  MeterId meter;
  double value = 0;
  bool replaced = false;
};

struct StayLine {
  int nights = 1;
  std::string place;
};

struct ConditionLine {
  std::string condition;
  std::optional<RigId> rig;
  Date from;
  std::optional<Date> to;
};

struct OrderLine {
  std::string number;  ///< empty: the ledger gives the next o<N>
  PartId part;
  SupplierId supplier;
  std::int64_t quantity = 1;
  std::optional<Date> promised;
  std::optional<Money> cost;  ///< for the line
  std::string to;
};

/// `quantity` pieces of an open order came with this entry (or it is cancelled).
struct ReceiptLine {
  OrderId order;
  std::int64_t quantity = 0;
  bool cancelled = false;
};

/// Pieces consumed or lost, beside their movements (one line a part).
struct UsageLine {
  std::optional<PartId> part;
  std::optional<PositionId> position;
  std::int64_t quantity = 1;
  bool lost = false;
};

struct FaultLine {
  std::string key;
  std::optional<PositionId> position;  ///< needed when it opens; read back with its closing too
  bool closes = false;
  std::string note;
};

/// A failure already logged is attributed to a fault.
struct AttributeLine {
  std::string fault;
  UnitId unit;
};

struct QuarantineLine {
  LotId lot;
  bool quarantined = true;
};

struct PolicyLine {
  std::string key;
  std::optional<double> value;  ///< none: back to the shipped value
};

/// A trip kept for later: legs and stops as told (trip.hpp has the rules). One with no name, no
/// legs and no stops says that the trip of that key was removed.
struct TripLegDraft {
  int number = 0;
  Date from, to;
  std::string route;
  std::vector<std::pair<MeterId, double>> use;  ///< km for a meter in miles
  std::vector<std::string> conditions;
  bool signal = true;  ///< an order can be placed on these days
};
struct TripStopDraft {
  Date date;
  std::string place;
  std::vector<std::string> sold;  ///< class:KEY, supplier:KEY, part:KEY, resupply:WORD, all
  bool parcels = false;
  int extra_days = 0;  ///< a parcel takes so much longer there
};
struct TripLine {
  std::string key, name;
  std::vector<TripLegDraft> legs;
  std::vector<TripStopDraft> stops;
};

/// Master data: one thing added, or changed from `before` to `after`.
using Master =
    std::variant<Rig, ComponentClass, Part, Substitute, Position, Meter, Bin, Supplier, SafetyNote>;
struct MasterLine {
  std::optional<Master> before;  ///< none: added
  Master after;
};

/// One entry with all its lines; `happened` is the day it is about.
struct EntryDraft {
  EntryKind kind = EntryKind::add;
  Date happened;
  std::optional<Date> recorded;  ///< declared day of writing, for late and imported lines
  std::string note;
  std::vector<LotDraft> lots;
  std::vector<MovementLine> movements;
  std::vector<EndLine> ends;  ///< written before the fits
  std::vector<FitLine> fits;
  std::vector<RepairLine> repairs;
  std::vector<OpenLine> opens;
  std::vector<TestLine> tests;
  std::vector<ReadingLine> readings;
  std::vector<StayLine> stays;
  std::vector<ConditionLine> conditions;
  std::vector<OrderLine> orders;
  std::vector<ReceiptLine> receipts;
  std::vector<UsageLine> usages;
  std::vector<FaultLine> faults;
  std::vector<AttributeLine> attributions;
  std::vector<QuarantineLine> quarantines;
  std::vector<PolicyLine> policies;
  std::vector<TripLine> trips;
  std::vector<MasterLine> masters;
};

/// What the numbers in drafts stand for: the lines that made them, and all master data, gone too.
struct Mentioned {
  Catalogue catalogue;
  std::map<UnitId, FitLine> units;
  std::map<LotId, LotDraft> lots;
  std::map<OrderId, OrderLine> orders;
};

/// InputError for a text in it that check_text refuses: names and single words are short lines,
/// notes may be long and have line breaks. (What else master data says is checked as it is read.)
void check_texts(const EntryDraft& draft);

}  // namespace shearpin::domain
