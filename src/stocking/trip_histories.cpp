#include "stocking/trip_histories.hpp"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stocking/life.hpp"

namespace shearpin::stocking {
namespace {

constexpr long kMostPlayEvents = 1'000'000;  // of one play
// What is drawn for one place, or one part.
constexpr std::size_t kStreams = 3;

/// Exposure left to a unit of age `age`, from a number in (0, 1).
double life_left(const stats::WeibullNode& node, double age, double number) {
  return Life(node.scale, node.shape).reach(age, -std::log(number));
}

const stats::WeibullNode& chosen(std::span<const stats::WeibullNode> nodes, double number) {
  const stats::WeibullNode* node = &nodes.front();
  for (const stats::WeibullNode& each : nodes) {
    if (!(each.weight > 0)) {
      continue;
    }
    node = &each;
    if (number < each.weight) {
      break;
    }
    number -= each.weight;
  }
  return *node;
}

}  // namespace

std::uint64_t next_number(std::uint64_t& state) {
  state += 0x9e3779b97f4a7c15ULL;
  std::uint64_t z = state;
  z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9ULL;
  z = (z ^ (z >> 27U)) * 0x94d049bb133111ebULL;
  return z ^ (z >> 31U);
}

double uniform(std::uint64_t bits) {
  return (static_cast<double>(bits >> 11U) + 0.5) / 9007199254740992.0;
}

TripHistories::TripHistories(std::span<const StandInPart> parts, std::span<const LeadSampler> leads)
    : parts_(parts), leads_(leads) {
  days_ = parts.empty() ? 0 : parts.front().plan.days;
  for (std::size_t m = 0; m < parts.size(); ++m) {
    const StandInPart& part = parts[m];
    for (std::size_t i = 0; i < part.demand.units.size(); ++i) {
      const UnitState& unit = part.demand.units[i];
      TripClock clock = clock_of(unit, days_);
      const TripStart start = start_of(unit, clock);
      places_.push_back({m, &unit, std::move(clock), start, part.unit_costs[i]});
    }
    double cutoff = 0;
    for (std::size_t k = 0; k < part.plan.stops.size(); ++k) {
      if (part.plan.stops[k].sells) {
        cutoff = std::max(cutoff, part.plan.stops[k].cutoff);
        orders_.push_back({cutoff, m, k});
      }
    }
  }
  for (std::size_t m = 0; m < parts.size(); ++m) {  // what is used up has a place of its own
    places_.push_back({m, nullptr, TripClock({}, 0, days_), {}, parts[m].extra_cost});
  }
  std::stable_sort(orders_.begin(), orders_.end(),
                   [](const Order& a, const Order& b) { return a.day < b.day; });
  nodes_.resize(parts.size());
  taken_.resize(parts.size());
  uses_.resize(parts.size());
}

// Independent numbers for every stream and place of a history: the same whatever is aboard.
double TripHistories::number(std::size_t stream, std::size_t place) const {
  if (const std::size_t given = given_place(stream, place); given < given_.size()) {
    return given_[given];
  }
  std::uint64_t state =
      key_ ^ (static_cast<std::uint64_t>(stream) << 28U) ^ static_cast<std::uint64_t>(place);
  return uniform(next_number(state));
}

// Where the number stands among those given, if it is one of the first.
std::size_t TripHistories::given_place(std::size_t stream, std::size_t place) const {
  if (given_.empty()) {
    return kAll;
  }
  const std::size_t of_part = kStreams * places_.size();
  const std::size_t of_use = of_part + kStreams * parts_.size();
  const std::size_t extras = parts_.front().demand.extras.size();
  const std::size_t units = places_.size() - parts_.size();
  if (stream >= of_use) {
    return stream < of_use + extras && place < 2 ? 2 + 2 * (stream - of_use) + place : kAll;
  }
  if (stream >= of_part) {
    return place == 0 ? stream - of_part : kAll;
  }
  const bool is_life = stream % kStreams == 0 && place < 3;
  return is_life ? 2 + 2 * extras + place * units + stream / kStreams : kAll;
}

double TripHistories::life(std::size_t place, std::size_t part, std::size_t count,
                           double age) const {
  return life_left(*nodes_[part], age, number(kStreams * place, count));
}

double TripHistories::first_life(std::size_t p) const {
  const UnitState& state = *places_[p].unit;
  if (state.first_life.empty()) {
    return life(p, places_[p].part, 0, state.age);
  }
  return life_left(chosen(state.first_life, number(kStreams * p + 1, 0)), state.age,
                   number(kStreams * p, 0));
}

// What the unit fitted does before the trip is dealt with then.
void TripHistories::start_place(std::size_t p) {
  Place& place = places_[p];
  const double every = place.unit->renewed_every_days;
  place.lives = 1;
  place.first_day = 0;
  if (place.start.down) {
    return;
  }
  const double left = first_life(p) - place.start.passed;
  if (left <= 0 && place.start.hidden) {
    return;
  }
  double due = place.start.due_day;
  double fails = place.clock.at(place.start.from_day) + left;
  for (;;) {
    const double fails_day = place.clock.day_of(fails);
    const double ends = std::min(fails_day, due);
    if (ends >= 0) {
      place.first_day = ends <= days_ ? ends : kNever;
      return;
    }
    const double from = fails_day <= due ? fails : place.clock.at(due);
    fails = from + life(p, place.part, place.lives++, 0);
    due = ends + every;
  }
}

void TripHistories::draw_use(std::size_t m) {
  uses_[m].clear();
  const auto& extras = parts_[m].demand.extras;
  for (std::size_t e = 0; e < extras.size(); ++e) {
    const ExtraDemand& extra = extras[e];
    const TripClock clock = clock_of(extra, days_);
    const std::size_t stream = kStreams * (places_.size() + parts_.size() + m) + e;
    std::size_t drawn = 0;
    const auto next = [&] { return number(stream, drawn++); };
    const double rate = boost::math::gamma_p_inv(extra.rate.shape, next()) / extra.rate.rate;
    double exposure = rate > 0 ? -std::log(next()) / rate : kNever;
    while (exposure <= clock.at(days_)) {
      long pieces = 1;
      while (next() > 1 / extra.rate.mean_size) {
        ++pieces;
      }
      uses_[m].push_back({clock.day_of(exposure), pieces});
      exposure -= std::log(next()) / rate;
    }
  }
  std::stable_sort(uses_[m].begin(), uses_[m].end(),
                   [](const Ask& a, const Ask& b) { return a.day < b.day; });
}

bool TripHistories::start(std::uint64_t key, std::span<const double> given) {
  key_ = key;
  given_ = given;
  bool any = false;
  for (std::size_t m = 0; m < parts_.size(); ++m) {
    const TripDemandInput& demand = parts_[m].demand;
    const std::size_t stream = kStreams * (places_.size() + m);
    if (!demand.nodes.empty()) {
      nodes_[m] = &chosen(demand.nodes, number(stream, 0));
    }
    if (demand.taken) {
      taken_[m] =
          boost::math::ibeta_inv(demand.taken->took, demand.taken->none, number(stream + 1, 0));
    }
    draw_use(m);
    any = any || !uses_[m].empty();
  }
  for (std::size_t p = 0; p < places_.size(); ++p) {
    if (places_[p].unit != nullptr) {
      start_place(p);
      any = any || places_[p].first_day <= days_;
    }
  }
  return any;
}

// Of the pieces that a unit asks for the `count`th time, those that a repair does not spare.
long TripHistories::taken_of(std::size_t p, std::size_t count, long pieces) const {
  if (!parts_[places_[p].part].demand.taken) {
    return pieces;
  }
  long taken = 0;
  for (long i = 0; i < pieces; ++i) {
    const auto place = count * static_cast<std::size_t>(pieces) + static_cast<std::size_t>(i);
    taken += number(kStreams * p + 2, place) < taken_[places_[p].part] ? 1 : 0;
  }
  return taken;
}

// The day of receipt of what is ordered, infinity for never.
double TripHistories::arrival(const Order& order) const {
  const std::vector<ReceiptStop>& stops = parts_[order.part].plan.stops;
  if (leads_.empty() || !leads_[order.part]) {
    return stops[order.stop].receipt;
  }
  const std::size_t stream = kStreams * (places_.size() + parts_.size() * 2 + order.part);
  const double arrives = order.day + leads_[order.part](number(stream, order.stop));
  for (std::size_t k = order.stop; k < stops.size(); ++k) {
    if (stops[k].receipt >= arrives) {
      return stops[k].receipt;
    }
  }
  return kNever;
}

/// One play, event by event. On one day what is asked for comes first, then what is received, then
/// what is ordered.
class TripHistories::Run {
 public:
  Run(const TripHistories& history, const std::vector<long>& stock, bool lend, std::size_t only)
      : of_(history), lend_(lend), only_(only), shelf_(stock), level_(stock) {
    played_.parts.resize(of_.parts_.size());
    under_way_.assign(of_.parts_.size(), 0);
    next_use_.assign(of_.parts_.size(), 0);
    lives_.assign(of_.places_.size(), 0);
    asked_.assign(of_.places_.size(), 0);
    next_.assign(of_.places_.size(), kNever);
    for (std::size_t p = 0; p < of_.places_.size(); ++p) {
      if (of_.places_[p].unit != nullptr && plays(of_.places_[p].part)) {
        next_[p] = of_.places_[p].first_day;
        lives_[p] = of_.places_[p].lives;
      }
    }
    for (std::size_t m = 0; m < of_.parts_.size(); ++m) {
      for (const ReceiptStop& stop : of_.parts_[m].plan.stops) {
        if (stop.brings > 0 && plays(m)) {
          parcels_.push_back({stop.receipt, m, stop.brings, true});
        }
      }
    }
  }

  /// What is asked for goes on a list, too.
  void keep(std::vector<Ask>& asked) { asked_for_ = &asked; }

  Played end() {
    for (long events = 0; happen(); ++events) {
      if (events > kMostPlayEvents) {
        throw NumericError(
            "a trip of a group of parts has more than a million events; ask for a "
            "shorter one");
      }
    }
    for (const Waiting& waits : waiting_) {
      add_days(waits, of_.days_);
    }
    return std::move(played_);
  }

 private:
  struct Waiting {
    std::size_t place;
    long missing;
    double since;
    bool set;  // of pieces that only serve together

    double needs() const { return set ? 1 : static_cast<double>(missing); }
  };
  struct Parcel {
    double day;
    std::size_t part;
    long pieces;
    bool brought;  // ordered before the departure
  };

  bool plays(std::size_t part) const { return only_ == kAll || only_ == part; }

  // The next event, if any is left within the days of the trip.
  bool happen() {
    const auto place =
        static_cast<std::size_t>(std::min_element(next_.begin(), next_.end()) - next_.begin());
    const double fails = next_.empty() ? kNever : next_[place];
    std::size_t user = kAll;
    double used = kNever;
    for (std::size_t m = 0; m < of_.parts_.size(); ++m) {
      if (plays(m) && next_use_[m] < of_.uses_[m].size() && of_.uses_[m][next_use_[m]].day < used) {
        user = m;
        used = of_.uses_[m][next_use_[m]].day;
      }
    }
    const auto parcel =
        std::min_element(parcels_.begin(), parcels_.end(),
                         [](const Parcel& a, const Parcel& b) { return a.day < b.day; });
    const double received = parcel == parcels_.end() ? kNever : parcel->day;
    while (next_order_ < of_.orders_.size() && !plays(of_.orders_[next_order_].part)) {
      ++next_order_;
    }
    const double ordered = next_order_ < of_.orders_.size() ? of_.orders_[next_order_].day : kNever;
    const double day = std::min({fails, used, received, ordered});
    if (!(day <= of_.days_)) {
      return false;
    }
    if (fails == day) {
      const auto count = asked_[place]++;
      ask(place, day, of_.taken_of(place, count, of_.places_[place].unit->pieces));
    } else if (used == day) {
      const Ask& use = of_.uses_[user][next_use_[user]++];
      ask(of_.places_.size() - of_.parts_.size() + user, day, use.pieces);
    } else if (received == day) {
      const Parcel came = *parcel;
      parcels_.erase(parcel);
      (came.brought ? level_ : under_way_)[came.part] += came.brought ? came.pieces : -came.pieces;
      receive(came.part, came.pieces, day);
    } else {
      order(of_.orders_[next_order_++], day);
    }
    return true;
  }

  // Takes what it can of the pieces wanted, of a set all or none; tells from which part the last
  // one came.
  std::size_t take(std::size_t part, long& wanted, bool set) {
    std::size_t from = part;
    if (set) {
      long there = shelf_[part];
      for (const std::size_t m : of_.parts_[part].stand_ins) there += lend_ ? shelf_[m] : 0;
      if (there < wanted) return from;
    }
    const auto take_from = [&](std::size_t m) {
      const long taken = std::min(wanted, shelf_[m]);
      if (taken > 0) {
        shelf_[m] -= taken;
        wanted -= taken;
        from = m;
      }
    };
    take_from(part);
    if (lend_) {
      for (const std::size_t m : of_.parts_[part].stand_ins) {
        take_from(m);
      }
    }
    return from;
  }

  void ask(std::size_t p, double day, long wanted) {
    const std::size_t part = of_.places_[p].part;
    const bool set = of_.places_[p].unit != nullptr;
    played_.parts[part].asked += static_cast<double>(wanted);
    if (asked_for_ != nullptr) {
      asked_for_->push_back({day, wanted});
    }
    const std::size_t from = take(part, wanted, set);
    next_[p] = kNever;
    if (wanted == 0) {
      fit(p, from, day);
      return;
    }
    played_.parts[part].was_short = true;
    waiting_.push_back({p, wanted, day, set});
  }

  void fit(std::size_t p, std::size_t part, double day) {
    const Place& place = of_.places_[p];
    if (place.unit == nullptr) {
      return;
    }
    const double fails = place.clock.at(day) + of_.life(p, part, lives_[p]++, 0);
    next_[p] = std::min(place.clock.day_of(fails), day + place.unit->renewed_every_days);
  }

  void receive(std::size_t m, long pieces, double day) {
    shelf_[m] += pieces;
    std::vector<Waiting> still;
    for (Waiting waits : waiting_) {
      add_days(waits, day);
      const std::size_t from = take(of_.places_[waits.place].part, waits.missing, waits.set);
      waits.since = day;
      if (waits.missing == 0) {
        fit(waits.place, from, day);
      } else {
        still.push_back(waits);
      }
    }
    waiting_ = std::move(still);
  }

  void order(const Order& one, double day) {
    long owed = 0;
    for (const Waiting& waits : waiting_) {
      owed += of_.places_[waits.place].part == one.part ? waits.missing : 0;
    }
    const bool sold = of_.parts_[one.part].plan.stops[one.stop].receipt <= day;
    const long wanted =
        level_[one.part] - (shelf_[one.part] - owed) - (sold ? 0 : under_way_[one.part]);
    if (wanted <= 0) {
      return;
    }
    if (sold) {
      receive(one.part, wanted, day);
      return;
    }
    under_way_[one.part] += wanted;
    parcels_.push_back({of_.arrival(one), one.part, wanted, false});
  }

  void add_days(const Waiting& waits, double until) {
    const DayCost& cost = of_.places_[waits.place].cost;
    const double days = waits.needs() * (until - waits.since);
    played_.parts[of_.places_[waits.place].part].days += days;
    played_.days += days;
    played_.cost += days * cost.cost;
    played_.safety += days * cost.safety;
  }

  const TripHistories& of_;
  bool lend_;
  std::size_t only_;
  std::vector<long> shelf_;
  std::vector<long> level_;  // what a part is brought back to
  std::vector<long> under_way_;
  std::vector<std::size_t> next_use_;
  std::vector<std::size_t> lives_;
  std::vector<std::size_t> asked_;
  std::vector<double> next_;      // by place: day on which it asks next
  std::vector<Waiting> waiting_;  // longest first
  std::vector<Parcel> parcels_;
  std::size_t next_order_ = 0;
  std::vector<Ask>* asked_for_ = nullptr;
  Played played_;
};

Played TripHistories::run(const std::vector<long>& stock, bool lend, std::size_t only) const {
  return Run(*this, stock, lend, only).end();
}

std::vector<Ask> TripHistories::asked() const {
  std::vector<Ask> asked;
  Run run(*this, {kMostPlayEvents * 1000}, false, kAll);
  run.keep(asked);
  run.end();
  return asked;
}

Played TripHistories::play_alone(std::size_t part, long pieces) const {
  std::vector<long> stock(parts_.size(), 0);
  stock[part] = pieces;
  return run(stock, false, part);
}

}  // namespace shearpin::stocking
