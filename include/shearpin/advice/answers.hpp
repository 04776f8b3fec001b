#pragma once
/// The answers the tool gives, as plain report models: every figure with the reason it rests on.
/// Nothing here is rounded; the report module rounds for display alone.

#include <optional>
#include <string>
#include <vector>

#include "shearpin/advice/kit.hpp"
#include "shearpin/advice/window.hpp"
#include "shearpin/base/money.hpp"
#include "shearpin/domain/vocabulary.hpp"

namespace shearpin::advice {

/// Which rule set a stock level.
enum class DecidedBy { target, worth };
std::string_view to_text(DecidedBy);  // target, worth

/// Sound pieces of a part in one bin.
struct BinPieces {
  std::string bin;  ///< its key
  std::int64_t pieces = 0;
  bool aboard = true;  ///< false: the bin stays behind
};

/// Pieces of one part, sorted by whether they can be relied on in the window.
struct StockView {
  std::int64_t aboard = 0;    ///< sound, on board, in date for all of the window
  std::int64_t ashore = 0;    ///< sound, in a bin that stays behind
  std::int64_t on_order = 0;  ///< open orders, not yet received, that may still come
  std::int64_t given_up = 0;  ///< ordered so long ago that they count as not coming
  std::int64_t arriving = 0;  ///< of them, planned to be at base before a trip begins
  std::int64_t waiting = 0;   ///< of them, sent to a stop of a trip: come on top of what is carried
  std::int64_t expired = 0;   ///< past their end on the as-of day
  std::int64_t expiring = 0;  ///< end inside the window: not counted
  std::int64_t quarantined = 0;
  std::int64_t worn = 0;   ///< taken off as still usable, aboard
  double worn_chance = 0;  ///< chance that one worn piece lasts the window; 0 if none counted
  std::optional<Date> first_end;  ///< earliest end among pieces in date today
  std::vector<BinPieces> bins;    ///< where `aboard` and `ashore` lie, aboard first, then by key
};

/// What a part's demand in the window is made of.
struct DemandView {
  std::vector<double> total;  ///< P(demand = k), to a 1e-9 tail
  double mean = 0;
  double mean_fitted = 0, mean_consumed = 0, mean_losses = 0;
  int units = 0;                  ///< unit places that call for this part
  int down = 0;                   ///< of them dead, on a workaround or on a stand-in
  bool assumed_exposure = false;  ///< some exposure rests on a class's usual rate
};

/// How one part fares on a trip with chances to receive it.
struct OnTrip {
  std::vector<domain::Receipt> receipts;       ///< by day, home last
  std::vector<std::vector<double>> intervals;  ///< demand between a cut-off and the next receipt
  bool sampled = false;          ///< the bounds did not settle it: 2^16 quasi-random histories
  double error_aboard = 0;       ///< of chance_aboard: half the bounds' distance, or standard error
  double error_carry = 0;        ///< of chance_carry
  std::vector<double> exposure;  ///< effective, all units and what is used up, leg by leg
};

/// One part in an answer about a stretch.
struct CarryLine {
  PartId id;
  std::string part, name, class_key;
  domain::Severity severity = domain::Severity::degraded;  ///< strictest, after workarounds
  std::vector<std::string> positions;  ///< keys of the positions that call for it
  StockView stock;
  DemandView demand;
  double target = 0;  ///< chance of no shortage wanted
  int level_target = 0, level_worth = 0, carry = 0;
  DecidedBy decided_by = DecidedBy::target;
  double chance_aboard = 0;        ///< chance of no shortage with what is aboard
  double chance_carry = 0;         ///< with `carry` pieces
  double days_without_aboard = 0;  ///< expected unit-days standing dead
  double days_without_carry = 0;
  int carry_at_median = 0;  ///< level if the median life were certain
  double share_learnt = 0;  ///< of the life, from the own record
  int failures = 0;
  std::optional<Money> price;
  std::optional<double> mass_g, volume_ml;
  std::string reason;             ///< in about six words
  std::string safety_note;        ///< key of the caution that applies, may be empty
  std::optional<OnTrip> trip;     ///< of a trip with stops
  std::int64_t short_by() const;  ///< carry - aboard when positive
  std::int64_t to_buy() const;    ///< of these, beyond what lies ashore and what is on order
};

/// The kit played through by the seeded simulator, parcels taking their time.
struct SimulationView {
  struct Line {
    std::string part;
    std::int64_t pieces = 0;
    double chance = 0, chance_error = 0;  ///< of no shortage, and its standard error
    double days_without = 0, days_error = 0;
  };
  long runs = 0;
  std::uint64_t seed = 0;
  bool random_leads = true;
  double readiness = 0, readiness_error = 0;
  std::vector<Line> lines;
};

/// A part's pieces in one kit and in the next.
struct PieceChange {
  std::string part, name;
  std::int64_t from = 0, to = 0;
};

/// One kit on the frontier: no kit of at most this amount does better.
struct FrontierPoint {
  double amount = 0;                      ///< spent or added on top of what is aboard, see Frontier
  double readiness = 0;                   ///< chance of no shortage in the whole kit
  double days_without = 0;                ///< expected, all parts together
  std::vector<PieceChange> changes = {};  ///< what this kit has and the one before has not
};

/// Undominated kits by one limit each, from nothing added upwards; empty where none was computed.
struct Frontier {
  std::vector<FrontierPoint> by_money;  ///< amount: in the ledger's currency, 4.5 is 4.50
  std::vector<FrontierPoint> by_mass;   ///< amount: grams
};

/// Which spares to carry for a stretch with no resupply.
struct CarryAnswer {
  Date as_of;
  Window window;
  bool named = false;            ///< of the parts named alone: so are mass, room, cost and chances
  std::vector<CarryLine> lines;  ///< short ones first, severest first, then by key
  double readiness_aboard = 1;   ///< product of the chances of no shortage, as it stands
  double readiness_carry = 1;    ///< after the advised kit is aboard
  double mass_aboard_g = 0, volume_aboard_ml = 0;
  double mass_carry_g = 0, volume_carry_ml = 0;
  Money cost_to_buy;                             ///< of what is short, where prices are known
  std::vector<std::string> unpriced, unweighed;  ///< parts whose price or mass nobody knows
  std::optional<KitView> kit;                    ///< under limits, where some were given
  Frontier frontier;                             ///< of a trip, or where limits were given
  std::optional<SimulationView> simulated;       ///< where asked for
  std::vector<std::string> notes;
};

/// A way for a part to come aboard before or on a trip.
struct OrderChance {
  std::string where;  ///< home, or the stop
  Date order_by;      ///< last day to order; of a shop the day it is passed
  Date received;
  bool bought = false;  ///< sold there: nothing to order
  bool missed = false;  ///< its last day is over
};

/// One part in an answer about ordering.
struct ReorderLine {
  PartId id;
  std::string part, name;
  domain::Severity severity = domain::Severity::degraded;
  std::int64_t on_hand = 0;  ///< usable, everywhere
  std::int64_t on_order = 0;
  std::int64_t given_up = 0;  ///< ordered so long ago that they count as not coming
  std::int64_t owed = 0;      ///< pieces that open places wait for
  std::int64_t expiring = 0;  ///< end before review and lead time are over
  std::int64_t position = 0;  ///< stock position
  int level = 0;              ///< S, order up to
  int reorder_point = 0;      ///< R, order at or below
  DecidedBy decided_by = DecidedBy::target;
  double target = 0;
  double chance_now = 0;          ///< chance of no shortage over review and lead time as it stands
  int stretch_level = 0;          ///< carry level of the stretch asked about; 0 without one
  std::int64_t order_pieces = 0;  ///< 0: nothing to order
  std::int64_t order_packs = 0;
  int pack = 1;
  std::string supplier, supplier_name;
  double lead_median = 0, lead_planning = 0;
  double review_days = 0;
  std::optional<Date> arrives_by;  ///< today plus the planning lead time
  std::optional<Money> cost;
  std::vector<OrderChance> chances;  ///< for a trip: where it can still come aboard, by day
  std::string reason;
  std::string safety_note;
  bool wanted() const { return order_pieces > 0; }
  double review_and_lead(double lead_days) const;
};

struct ReorderAnswer {
  Date as_of;
  std::optional<Window> window;
  double review_days = 0;
  std::vector<ReorderLine> lines;  ///< to order first, severest first; then the others by key
  Money cost;
  std::vector<std::string> unpriced;
  std::vector<std::string> notes;
};

/// One thing that stands dead, on a workaround or on a stand-in.
struct DownLine {
  std::string position, name, rig;
  int unit = 1;
  bool several = false;  ///< the position holds more than one unit
  domain::PlaceState state = domain::PlaceState::dead;
  Date since;
  domain::Severity severity = domain::Severity::degraded;
  std::string getting_by;    ///< workaround or stand-in in words
  std::string class_advice;  ///< what gets people by with such a thing, where nothing is declared
  std::string part;          ///< called for; may be empty
  std::int64_t aboard = 0;   ///< spares of it aboard
  std::int64_t ashore = 0;   ///< sound ones that stay behind
  std::int64_t on_order = 0;
  std::string ashore_bin;  ///< key of a bin that holds one of `ashore`
  std::string safety_note;
};

/// A test or a dated thing that falls due.
struct DueLine {
  enum class Kind { test, marked_end, spare_end, charge };
  Kind kind = Kind::test;
  std::string what, name;  ///< position or part key and its name
  Date due;
  int days_over = 0;   ///< as of the as-of day; negative: days left
  std::string detail;  ///< last test, batch, bin
  std::string safety_note;
};

/// An order on its way.
struct OpenOrderLine {
  std::string number, part, name, supplier;
  std::int64_t quantity = 0;  ///< still to come
  Date ordered;
  double chance_in_week = 0;  ///< comes within seven more days
  double days_waited = 0;
};

/// Failures at one position that are too many to be bad luck.
struct FaultSign {
  std::string position, name, part, part_name;
  int failures = 0;  ///< since `first_day`
  Date first_day;    ///< of the window looked at
  int window_days = 0;
  double chance = 1;  ///< of as many by luck at any of the positions watched
  /// Chances of times that come ever faster, were there no trend; with four failures or more.
  std::optional<double> laplace, handbook;
  std::string open_fault;     ///< key of the fault they are put down to, still open; may be empty
  std::vector<UnitId> units;  ///< those that failed in the window
  /// What they were, each once, in order of failure: keys of parts, or descriptions.
  std::vector<std::string> failed;
  std::string safety_note;
};

/// What needs doing today.
struct NowAnswer {
  Date as_of;
  std::vector<DownLine> down;
  std::vector<DueLine> due;          ///< overdue or due within the look-ahead
  std::vector<ReorderLine> reorder;  ///< parts at or below their reorder point
  std::vector<OpenOrderLine> orders;
  std::vector<FaultSign> signs;  ///< rarest first
  std::vector<std::string> notes;
  bool anything() const {
    return !down.empty() || !due.empty() || !reorder.empty() || !signs.empty();
  }
};

/// A position that can stop or hurt, with what covers it.
struct ExposureLine {
  std::string position, name, rig;
  domain::Severity severity = domain::Severity::degraded;
  double chance_fails = 0;   ///< at least one failure in the window
  std::string certain;       ///< why that is sure, where it is: nothing recorded as fitted ...
  std::int64_t spares = 0;   ///< usable and fitting, aboard
  std::string workaround;    ///< declared workaround; empty when none
  std::string class_advice;  ///< what the class says may get a person by; counts for nothing
  std::string part, class_key, safety_note;
};

/// One line of a packing list. `bin` is empty for what is to be bought and has no bin yet.
struct PackLine {
  std::string bin, bin_name, part, name, batch;
  std::int64_t quantity = 0;
  bool aboard = true;
  std::string remark;  ///< runs out, quarantined, worn; load, leave, buy
};

/// Exposure ahead, by meter.
struct UseLine {
  std::string meter;
  std::string unit;
  double amount = 0;
  bool planned = false;  ///< given; else from the usual rate
};

/// One belief the report rests on.
struct AssumptionLine {
  std::string part, name, unit;
  double life_low = 0, life_median = 0, life_high = 0;  ///< characteristic life, 80 % interval
  int failures = 0;
  double exposure = 0;
  double share_learnt = 0;
  bool contradicted = false;  ///< class belief and record do not fit together
};

/// The trip that the report is for, and the last days to order for it.
struct TripView {
  std::string key, name;
  Date from, to;
  struct Leg {
    Date from, to;
    std::string route;
    bool signal = true;  ///< false: nobody can be called or written to
  };
  struct Stop {
    Date date;
    std::string place;
    bool parcels = false;  ///< takes parcels in
    std::string sold;      ///< what can be bought there, in words; may be empty
  };
  std::vector<Leg> legs;
  std::vector<Stop> stops;
  struct OrderBy {
    std::string part, name;
    Date by;            ///< last day to order
    std::string where;  ///< stop or bin that it is sent to
    Date received;      ///< day by which it is there
  };
  std::vector<OrderBy> orders;
  /// Parts whose last days to order are all over: they may still come in time, but less surely than
  /// planned with. Keys with names, severest first.
  std::vector<std::pair<std::string, std::string>> late;
};

/// What would stop us: every position that a failure would tell on.
struct WeakAnswer {
  Date as_of;
  Window window;
  std::vector<ExposureLine> uncovered;     ///< neither spare nor workaround: single points
  std::vector<ExposureLine> worked_round;  ///< no spare, a workaround
  std::vector<ExposureLine> spared;        ///< a spare aboard
  std::vector<std::string> notes;
};

/// The pre-trip stock report.
struct StockReport {
  std::string title;
  Date as_of;
  std::vector<std::string> rigs;
  std::vector<UseLine> use;
  CarryAnswer carry;
  ReorderAnswer reorder;
  NowAnswer now;
  std::vector<ExposureLine> uncovered;     ///< neither spare nor workaround, worst first
  std::vector<ExposureLine> worked_round;  ///< no spare, a workaround
  std::vector<PackLine> packing;
  std::vector<AssumptionLine> assumptions;
  std::vector<std::pair<std::string, std::string>> cautions;  ///< key, text
  std::optional<TripView> trip;                               ///< none: only a stretch of days
  Frontier frontier;                                          ///< as in carry
};

}  // namespace shearpin::advice
