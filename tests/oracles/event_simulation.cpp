#include "oracles/event_simulation.hpp"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <limits>
#include <queue>
#include <random>

#include "shearpin/base/error.hpp"
#include "stocking/tally.hpp"
#include "stocking/trip_clock.hpp"

namespace shearpin::stocking::oracles {
namespace {

constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();
constexpr long kMostRunEvents = 10'000'000;  // of one run

// What happens on one day happens in this order.
enum class Kind { demand, brought, receipt, order };

struct Event {
  double day;
  Kind kind;
  std::uint64_t number;  // first come, first served
  std::size_t who;       // place (demand) or part (receipt, order)
  std::size_t stop = kNone;
  long pieces = 0;
  std::uint64_t fitting = 0;  // of the place when the event was foreseen
};

struct Later {
  bool operator()(const Event& a, const Event& b) const {
    if (a.day != b.day) {
      return a.day > b.day;
    }
    if (a.kind != b.kind) {
      return a.kind > b.kind;
    }
    return a.number > b.number;
  }
};

// A position, or (unit == nullptr) the extra demand of a part.
struct Place {
  std::size_t part = 0;
  const UnitState* unit = nullptr;
  TripClock clock;
  TripStart start;
};

struct Waiting {
  std::size_t place;
  long missing;
  double since;
  bool set;  // of pieces that only serve together

  // How many stand dead meanwhile.
  double needs() const { return set ? 1 : static_cast<double>(missing); }
};

SimulatedMean mean_of(const Tally& tally, long runs) {
  const auto n = static_cast<double>(runs);
  return {tally.mean(n), tally.error(n)};
}

struct PartRun {
  const stats::WeibullNode* node = nullptr;
  double taken = 1;
  long shelf = 0;
  long level = 0;  // what it is brought back to
  long under_way = 0;
  bool short_once = false;
  double days_without = 0;
  double demand = 0;
};

class Simulation {
 public:
  Simulation(std::span<const SimulatedPart> parts, const SimulationOptions& options)
      : parts_(parts), options_(options), random_(options.seed) {
    days_ = parts.empty() ? 0 : parts.front().plan.days;
    for (std::size_t m = 0; m < parts.size(); ++m) {
      for (const UnitState& unit : parts[m].demand.units) {
        TripClock clock = clock_of(unit, days_);
        const TripStart start = start_of(unit, clock);
        places_.push_back({m, &unit, std::move(clock), start});
      }
      extra_place_.push_back(places_.size());
      places_.push_back({m, nullptr, TripClock({}, 0, days_), {}});
    }
    fitting_.assign(places_.size(), 0);
  }

  TripSimulation run() {
    std::vector<Tally> no_shortage(parts_.size());
    std::vector<Tally> days_without(parts_.size());
    std::vector<Tally> demand(parts_.size());
    Tally all;
    const long step = std::max(1L, options_.runs / 100);
    for (long done = 0; done < options_.runs; ++done) {
      if (options_.progress && done % step == 0) {
        options_.progress(done, options_.runs);
      }
      run_once();
      bool none_short = true;
      for (std::size_t m = 0; m < parts_.size(); ++m) {
        no_shortage[m].add(state_[m].short_once ? 0 : 1);
        days_without[m].add(state_[m].days_without);
        demand[m].add(state_[m].demand);
        none_short = none_short && !state_[m].short_once;
      }
      all.add(none_short ? 1 : 0);
    }
    if (options_.progress) {
      options_.progress(options_.runs, options_.runs);
    }
    TripSimulation result;
    for (std::size_t m = 0; m < parts_.size(); ++m) {
      result.parts.push_back({mean_of(no_shortage[m], options_.runs),
                              mean_of(days_without[m], options_.runs),
                              mean_of(demand[m], options_.runs)});
    }
    result.no_shortage = mean_of(all, options_.runs);
    result.runs = options_.runs;
    result.seed = options_.seed;
    return result;
  }

 private:
  double number() { return (static_cast<double>(random_() >> 11U) + 0.5) / 9007199254740992.0; }

  const stats::WeibullNode& draw(std::span<const stats::WeibullNode> nodes) {
    double left = number();
    const stats::WeibullNode* chosen = &nodes.front();
    for (const stats::WeibullNode& node : nodes) {
      if (!(node.weight > 0)) {
        continue;
      }
      chosen = &node;
      if (left < node.weight) {
        break;
      }
      left -= node.weight;
    }
    return *chosen;
  }

  // Exposure that a unit of this age still runs.
  double draw_life(const stats::WeibullNode& node, double age) {
    const double hazard = std::exp(node.shape * std::log(age / node.scale)) - std::log(number());
    return std::max(0.0, node.scale * std::exp(std::log(hazard) / node.shape) - age);
  }

  void foresee(Event event) {
    event.number = next_number_++;
    if (event.number > static_cast<std::uint64_t>(kMostRunEvents)) {
      throw NumericError("a simulated trip has more than 10 million events; ask for a shorter one");
    }
    if (event.day <= days_) {
      events_.push(event);
    }
  }

  void run_once() {
    events_ = {};
    waiting_.clear();
    next_number_ = 0;
    state_.assign(parts_.size(), {});
    for (std::size_t m = 0; m < parts_.size(); ++m) {
      const SimulatedPart& part = parts_[m];
      state_[m].shelf = state_[m].level = part.stock;
      if (!part.demand.nodes.empty()) {
        state_[m].node = &draw(part.demand.nodes);
      }
      if (part.demand.taken) {
        state_[m].taken =
            boost::math::ibeta_inv(part.demand.taken->took, part.demand.taken->none, number());
      }
    }
    for (std::size_t m = 0; m < parts_.size(); ++m) {
      const std::vector<ReceiptStop>& stops = parts_[m].plan.stops;
      for (std::size_t k = 0; k < stops.size(); ++k) {
        if (stops[k].brings > 0) {
          foresee({stops[k].receipt, Kind::brought, 0, m, k, stops[k].brings});
        }
        if (stops[k].sells) {
          foresee({stops[k].cutoff, Kind::order, 0, m, k});
        }
      }
      for (const ExtraDemand& extra : parts_[m].demand.extras) {
        foresee_extra(m, extra);
      }
    }
    for (std::size_t p = 0; p < places_.size(); ++p) {
      if (places_[p].unit != nullptr) {
        start_place(p);
      }
    }
    while (!events_.empty()) {
      const Event event = events_.top();
      events_.pop();
      happen(event);
    }
    for (const Waiting& waits : waiting_) {
      state_[places_[waits.place].part].days_without += waits.needs() * (days_ - waits.since);
    }
  }

  void happen(const Event& event) {
    switch (event.kind) {
      case Kind::demand:
        if (event.fitting == fitting_[event.who]) {
          ask(event.who, event.day, event.pieces);
        }
        return;
      case Kind::brought:
        state_[event.who].level += event.pieces;
        receive(event.who, event.pieces, event.day);
        return;
      case Kind::receipt:
        state_[event.who].under_way -= event.pieces;
        receive(event.who, event.pieces, event.day);
        return;
      case Kind::order:
        order(event.who, event.stop, event.day);
        return;
    }
  }

  void foresee_extra(std::size_t m, const ExtraDemand& extra) {
    const TripClock clock = clock_of(extra, days_);
    const double rate = boost::math::gamma_p_inv(extra.rate.shape, number()) / extra.rate.rate;
    if (!(rate > 0)) {
      return;
    }
    double exposure = 0;
    for (;;) {
      exposure -= std::log(number()) / rate;
      if (exposure > clock.at(days_)) {
        return;
      }
      long pieces = 1;
      while (number() > 1 / extra.rate.mean_size) {
        ++pieces;
      }
      foresee({clock.day_of(exposure), Kind::demand, 0, extra_place_[m], kNone, pieces});
    }
  }

  // What the unit fitted does before the trip is dealt with then; from day 0 on it is foreseen.
  void start_place(std::size_t p) {
    const Place& place = places_[p];
    const UnitState& state = *place.unit;
    const stats::WeibullNode& own = *state_[place.part].node;
    if (place.start.down) {
      foresee({0, Kind::demand, 0, p, kNone, state.pieces, fitting_[p]});
      return;
    }
    double left = draw_life(state.first_life.empty() ? own : draw(state.first_life), state.age);
    left -= place.start.passed;
    if (left <= 0 && place.start.hidden) {
      foresee({0, Kind::demand, 0, p, kNone, state.pieces, fitting_[p]});
      return;
    }
    double day = place.start.from_day;
    double due = place.start.due_day;
    double fails = place.clock.at(day) + left;
    for (;;) {
      const double fails_day = place.clock.day_of(fails);
      const double ends = std::min(fails_day, due);
      if (ends >= 0) {
        foresee({ends, Kind::demand, 0, p, kNone, state.pieces, fitting_[p]});
        return;
      }
      fails = (fails_day <= due ? fails : place.clock.at(due)) + draw_life(own, 0);
      due = ends + state.renewed_every_days;
    }
  }

  // A new unit goes in.
  void fit(std::size_t p, std::size_t part, double day) {
    const Place& place = places_[p];
    if (place.unit == nullptr) {
      return;
    }
    const double fails = place.clock.at(day) + draw_life(*state_[part].node, 0);
    const double ends = std::min(place.clock.day_of(fails), day + place.unit->renewed_every_days);
    foresee({ends, Kind::demand, 0, p, kNone, place.unit->pieces, ++fitting_[p]});
  }

  // Takes what it can of the pieces wanted for a place, of a set all or none; tells from which part
  // the last one came.
  std::size_t take(std::size_t part, long& wanted, bool set) {
    std::size_t from = part;
    if (set) {
      long there = state_[part].shelf;
      for (const std::size_t m : parts_[part].substitutes) there += state_[m].shelf;
      if (there < wanted) return from;
    }
    const auto take_from = [&](std::size_t m) {
      const long taken = std::min(wanted, state_[m].shelf);
      if (taken <= 0) {
        return;
      }
      state_[m].shelf -= taken;
      wanted -= taken;
      from = m;
    };
    take_from(part);
    for (const std::size_t m : parts_[part].substitutes) {
      take_from(m);
    }
    return from;
  }

  void ask(std::size_t p, double day, long pieces) {
    const std::size_t part = places_[p].part;
    PartRun& state = state_[part];
    long wanted = pieces;
    if (parts_[part].demand.taken && places_[p].unit != nullptr) {
      wanted = 0;
      for (long i = 0; i < pieces; ++i) {
        wanted += number() < state.taken ? 1 : 0;
      }
    }
    state.demand += static_cast<double>(wanted);
    const bool set = places_[p].unit != nullptr;
    const std::size_t from = take(part, wanted, set);
    if (wanted == 0) {
      fit(p, from, day);
      return;
    }
    state.short_once = true;
    ++fitting_[p];  // stands still
    if (places_[p].unit == nullptr) {
      --fitting_[p];  // other events go on asking
    }
    waiting_.push_back({p, wanted, day, set});
  }

  void receive(std::size_t m, long pieces, double day) {
    state_[m].shelf += pieces;
    std::size_t kept = 0;
    for (std::size_t i = 0; i < waiting_.size(); ++i) {
      Waiting waits = waiting_[i];
      const std::size_t part = places_[waits.place].part;
      state_[part].days_without += waits.needs() * (day - waits.since);
      const std::size_t from = take(part, waits.missing, waits.set);
      waits.since = day;
      if (waits.missing == 0) {
        fit(waits.place, from, day);
      } else {
        waiting_[kept++] = waits;
      }
    }
    waiting_.resize(kept);
  }

  void order(std::size_t m, std::size_t k, double day) {
    const SimulatedPart& part = parts_[m];
    const ReceiptStop& stop = part.plan.stops[k];
    long owed = 0;
    for (const Waiting& waits : waiting_) {
      if (places_[waits.place].part == m) {
        owed += waits.missing;
      }
    }
    const long net = state_[m].shelf - owed;
    if (stop.cutoff == stop.receipt) {
      if (state_[m].level > net) {
        receive(m, state_[m].level - net, day);
      }
      return;
    }
    const long pieces = state_[m].level - net - state_[m].under_way;
    if (pieces <= 0) {
      return;
    }
    std::size_t at = k;
    if (part.lead) {
      const double arrives = day + part.lead(number());
      while (at < part.plan.stops.size() && part.plan.stops[at].receipt < arrives) {
        ++at;
      }
    }
    state_[m].under_way += pieces;
    if (at < part.plan.stops.size()) {
      foresee({part.plan.stops[at].receipt, Kind::receipt, 0, m, kNone, pieces});
    }
  }

  std::span<const SimulatedPart> parts_;
  const SimulationOptions& options_;
  std::mt19937_64 random_;
  double days_ = 0;
  std::vector<Place> places_;
  std::vector<std::size_t> extra_place_;  // by part
  std::vector<std::uint64_t> fitting_;    // by place: counts what was fitted
  std::priority_queue<Event, std::vector<Event>, Later> events_;
  std::vector<Waiting> waiting_;  // longest first
  std::vector<PartRun> state_;
  std::uint64_t next_number_ = 0;
};

}  // namespace

TripSimulation simulate_by_events(std::span<const SimulatedPart> parts,
                                  const SimulationOptions& options) {
  return Simulation(parts, options).run();
}

}  // namespace shearpin::stocking::oracles
