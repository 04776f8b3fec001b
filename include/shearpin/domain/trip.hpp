#pragma once
/// A planned trip: its legs, its stops, and what a part can be had by on the way. Pure.
///
/// Days are whole. The trip begins on the morning of its first leg's first day and ends on the
/// evening of its last leg's last day, at home: from 8 to 10 June are three days. What happens at a
/// stop or is ordered on a day happens on its evening.

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shearpin/base/date.hpp"
#include "shearpin/base/id.hpp"
#include "shearpin/domain/catalogue.hpp"
#include "shearpin/domain/draft.hpp"
#include "shearpin/domain/vocabulary.hpp"

namespace shearpin::domain {

/// One word of what a stop sells: everything, or the parts of one kind.
struct Sold {
  enum class Kind { all, part, component_class, supplier, resupply };
  Kind kind = Kind::all;
  std::string key;                         ///< of the part, class or supplier
  Resupply resupply = Resupply::anywhere;  ///< parts of exactly this class of resupply
  friend bool operator==(const Sold&, const Sold&) = default;
};

/// Reads `all`, `part:KEY`, `class:KEY`, `supplier:KEY`, `resupply:hardware-store`; whether the
/// key names anything is not asked. InputError naming the word, the rule and an example.
Sold parse_sold(std::string_view word);
std::string to_text(const Sold& sold);

/// A place on the way where things can be had.
struct TripStop {
  Date date;
  std::string place;
  std::vector<Sold> sold;  ///< may be empty: nothing for sale
  bool parcels = false;    ///< parcels are taken in
  int extra_days = 0;      ///< a parcel takes so many days more than elsewhere
};

/// A trip that questions can be asked about: at least one leg, each day of the trip in exactly one,
/// every stop on a day of the trip. Home is no stop of the list: it is the end, where everything
/// can be had.
struct Trip {
  std::string key, name;
  std::vector<TripLegDraft> legs;  ///< by day, numbered from 1
  std::vector<TripStop> stops;     ///< by day
  Date departure() const { return legs.front().from; }
  Date end() const { return legs.back().to; }
  /// Days on the way, the first and the last counted: at least 1.
  int days() const;
};

/// The plan with its legs by day and numbered from 1, its stops by day, conditions named once a
/// leg.
TripLine in_order(TripLine trip);

/// Throws InputError unless the plan may be kept (it may still lack legs): a name; every leg ends
/// on or after the day it begins and no two share a day; amounts of use are zero or more, one a
/// meter and leg; conditions are keys; stops have a place, lie within the legs, are named once a
/// day, take 0 to 366 extra days, and sell words that parse_sold takes; at most kLongestStretch
/// days from first to last. Legs may come in any order.
void check_trip(const TripLine& trip);

/// What keeps a plan from being used, as a sentence with an example; none for a whole trip. Besides
/// what check_trip refuses: no legs, or a day between two legs that is in none.
std::optional<std::string> trip_lacks(const TripLine& trip);

/// The trip that a plan means; InputError with what it lacks.
Trip usable_trip(const TripLine& trip);

/// The longest stretch or trip that can be asked about, in days: ten years.
inline constexpr int kLongestStretch = 3650;
/// InputError for days below 0 or above kLongestStretch, as of `--days`.
void check_stretch(int days);

/// InputError for more use than a meter can count in so many days: 24 hours, 86,400 cycles, one
/// night or 2,000 km a day. `stored` as stored_amount has it; `what` names the stretch or leg.
void check_use(const Meter& meter, double stored, int days, const std::string& what);

/// True for the plan that stands for a removed trip.
bool is_removed(const TripLine& trip);

/// All days moved by `days` (negative: earlier); InputError past the years 1950 to 2199.
TripLine shifted(TripLine trip, int days);

/// Days from the departure to the evening of `date`: 1 on the day of departure, Trip::days() on
/// the last; 0 or less before.
int elapsed_days(const Trip& trip, Date date);

/// An amount of use as the meter shows it (miles for a meter in miles, which the ledger keeps in
/// km), to nine decimals, so that an amount typed in miles comes back as typed; and the way in.
double shown_amount(const Meter& meter, double stored);
double stored_amount(const Meter& meter, double shown);

/// What a meter is planned to count in one leg; none: nothing planned, so its usual rate holds.
struct LegUse {
  Date from, to;
  std::optional<double> amount;  ///< km for a meter in miles
};
/// One for each leg, in order.
std::vector<LegUse> use_by_leg(const Trip& trip, MeterId meter);

/// Planned use summed over the legs, by meter; meters that no leg names are left out.
std::map<MeterId, double> planned_use(const TripLine& trip);

/// Days on which a condition holds without a break, both counted.
struct ConditionStretch {
  std::string condition;
  Date from, to;
  friend bool operator==(const ConditionStretch&, const ConditionStretch&) = default;
};
/// By first day, then name; stretches of legs that follow each other are one.
std::vector<ConditionStretch> condition_stretches(const TripLine& trip);

/// The last day with signal on or before `day`, not before the departure; none where there is none.
std::optional<Date> last_signal_day(const TripLine& trip, Date day);

/// What decides where a part can be received.
struct PartSupply {
  std::string part;             ///< key
  std::string component_class;  ///< key; empty: none
  std::string supplier;         ///< key; empty: none
  Resupply resupply = Resupply::order_online;
  double lead_days = 0;  ///< planning lead time
};
PartSupply part_supply(const Catalogue& catalogue, PartId part, double lead_days);

/// True where one of the stop's words covers the part.
bool sells(const TripStop& stop, const PartSupply& part);

/// A chance to receive a part on the way: what failed up to `cutoff` is made good on `day`.
struct Receipt {
  /// waits: only what was ordered before the departure, `waiting` pieces, comes aboard there.
  enum class How { bought, parcel, waits, home };
  Date day;     ///< d_k
  Date cutoff;  ///< c_k <= d_k
  std::string place;
  How how = How::home;
  long waiting = 0;  ///< pieces ordered before the departure that wait there
};

/// Where a part can be received, by day, the last one home (place "home").
/// Bought: the cut-off is the stop's day. By parcel: ordered lead and extra days before (a part of
/// a day counts whole), on that day or the last one with signal before it; a stop for which no such
/// day is left from the departure on does not count. Several stops on one day are one chance, the
/// one with the latest cut-off. A later stop whose cut-off is no later than that of a stop before
/// brings nothing that the earlier one did not, and is left out; so cut-offs rise. A stop on the
/// last day is home, whose cut-off is its day.
/// InputError for a lead time that is negative or not finite.
std::vector<Receipt> receipts(const Trip& trip, const PartSupply& part);

}  // namespace shearpin::domain
