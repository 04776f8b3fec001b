/// trip: add, leg, stop, show, list, edit, remove. Each write stores the whole plan anew.

#include <fmt/format.h>

#include <cmath>
#include <ostream>

#include "apply/trip_leg.hpp"
#include "base/quantity.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/receipt.hpp"
#include "cli/trip_file.hpp"
#include "domain/name_lookup.hpp"
#include "domain/plan_trip.hpp"
#include "report/answers.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {
namespace {

using domain::TripLine;
using ledger::Ledger;

/// `, 2026-06-08 to 2026-07-15, 38 days`; empty without legs.
std::string dates_text(const TripLine& trip) {
  if (trip.legs.empty()) {
    return "";
  }
  const Date from = trip.legs.front().from;
  const Date to = trip.legs.back().to;
  return fmt::format(", {} to {}, {}", shearpin::to_text(from), shearpin::to_text(to),
                     counted(days_between(from, to) + 1, "day"));
}

std::string size_text(const TripLine& trip) {
  return fmt::format("{}, {}", counted(static_cast<long long>(trip.legs.size()), "leg"),
                     counted(static_cast<long long>(trip.stops.size()), "stop"));
}

std::string next_step(const TripLine& trip) {
  if (trip.legs.empty()) {
    return fmt::format("Next: shearpin trip leg {} --from DATE --to DATE", trip.key);
  }
  if (domain::trip_lacks(trip)) {
    return fmt::format("Next: fill the gap; see: shearpin trip show {}", trip.key);
  }
  return fmt::format("Next: shearpin carry --trip {}", trip.key);
}

/// Records the plan as it shall stand; `did` heads the answer.
int keep(Session& session, Context& context, const domain::When& when, const TripLine& trip,
         const std::string& did) {
  const auto plan = domain::plan_trip(session.catalogue(), {when, trip});
  const TripLine& kept = plan.entries.front().trips.front();
  return record_with_receipt(
      session, context, plan, did,
      {fmt::format("Trip {}{}: {}.", kept.key, dates_text(kept), size_text(kept)),
       next_step(kept)});
}

bool tells_a_leg(const Arguments& arguments) {
  return arguments.has("from") || arguments.has("to") || arguments.has("use") ||
         arguments.has("condition") || arguments.has("route") || arguments.flag("no-signal");
}

/// With a whole plan given there is no first leg to tell.
void refuse_leg_beside_plan(const Arguments& arguments) {
  for (const char* option : {"to", "use", "condition", "no-signal", "route"}) {
    if (arguments.has(option)) {
      throw UsageError(fmt::format(
          "--{} describes a first leg, but the plan comes from {}; example: {} next-june --like "
          "june --from 2027-06-07",
          option, arguments.has("file") ? "--file" : "--like", arguments.command()));
    }
  }
}

/// The plan begins on the day of --from, if given.
TripLine moved_to_departure(const TripLine& receipt, const Arguments& arguments,
                            const Session& session) {
  const auto from = arguments.text("from");
  const TripLine trip = domain::in_order(receipt);
  if (!from) {
    return trip;
  }
  if (trip.legs.empty()) {
    refuse("--from {}: a plan without legs has no departure to move", *from);
  }
  return domain::shifted(trip,
                         days_between(trip.legs.front().from, parse_date(*from, session.today())));
}

TripLine new_trip(const Arguments& arguments, Session& session, const std::string& key) {
  TripLine trip;
  if (arguments.has("file") || arguments.has("like")) {
    refuse_leg_beside_plan(arguments);
  }
  if (const auto file = arguments.text("file")) {
    trip = moved_to_departure(read_trip_file(*file, key, session), arguments, session);
  } else if (const auto old = arguments.text("like")) {
    trip = moved_to_departure(session.trip(*old), arguments, session);
    trip.name.clear();  // two trips of one name could not be told apart
  } else if (tells_a_leg(arguments)) {
    trip.legs.push_back(apply::leg(arguments, session));
  }
  trip.key = key;
  if (const auto name = arguments.text("name")) {
    trip.name = *name;
  } else if (trip.name.empty()) {
    trip.name = key;
  }
  return trip;
}

int run_add(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const std::string key = parse_key(arguments.required("KEY"), "trip");
  for (const auto& trip : session.ledger().trips()) {
    if (trip.key == key) {
      refuse(
          "trip {} exists already; change it with trip leg, stop or edit, or first: shearpin trip "
          "remove {}",
          key, key);
    }
  }
  const TripLine trip = new_trip(arguments, session, key);
  return keep(session, context, session.when(arguments), trip,
              fmt::format("Trip kept: {}{}.", key, trip.name == key ? "" : ", " + trip.name));
}

int run_leg(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  TripLine trip = session.trip(arguments.required("KEY"));
  const auto leg = apply::leg(arguments, session);
  trip.legs.push_back(leg);
  return keep(session, context, session.when(arguments), trip,
              fmt::format("Leg added to {}: {} to {}{}.", trip.key, shearpin::to_text(leg.from),
                          shearpin::to_text(leg.to), leg.signal ? "" : ", no signal"));
}

int run_stop(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  TripLine trip = session.trip(arguments.required("KEY"));
  if (arguments.has("extra-days") && !arguments.flag("parcels")) {
    throw UsageError(
        "--extra-days is about parcels: add --parcels; example: --parcels --extra-days 2");
  }
  const auto stop = apply::stop(arguments, session);
  trip.stops.push_back(stop);
  domain::When when;
  when.on = session.on(std::nullopt);  // --on is the day of the stop
  when.today = session.today();
  when.note = arguments.text("note").value_or("");
  const bool nothing = stop.sold.empty() && !stop.parcels;
  return keep(session, context, when, trip,
              fmt::format("Stop added to {}: {} on {}{}.", trip.key, stop.place,
                          shearpin::to_text(stop.date),
                          nothing ? ", where nothing can be had (see --sells, --parcels)" : ""));
}

/// `7`, `7 days`, `-2 weeks`: whole days, earlier with a minus.
int shift_of(const std::string& typed) {
  const auto text = trimmed(typed);
  const bool earlier = !text.empty() && text.front() == '-';
  const bool sign = earlier || (!text.empty() && text.front() == '+');
  const double days = parse_days(sign ? text.substr(1) : text, "shift");
  constexpr double kMost = 1e5;
  if (days < 0 || days > kMost || std::floor(days) < days) {
    refuse("--shift {}: whole days, up to 100000; examples: --shift 7, --shift \"-2 weeks\"",
           typed);
  }
  return static_cast<int>(earlier ? -days : days);
}

std::string drop_leg(TripLine& trip, const std::string& typed) {
  const auto number = parse_count(typed, "leg");
  if (number > static_cast<std::int64_t>(trip.legs.size())) {
    refuse("--drop-leg {}: trip {} has {}; see: shearpin trip show {}", typed, trip.key,
           size_text(trip), trip.key);
  }
  const auto leg = trip.legs.begin() + (number - 1);
  const std::string receipt = fmt::format("leg {} dropped, {} to {}", number,
                                          shearpin::to_text(leg->from), shearpin::to_text(leg->to));
  trip.legs.erase(leg);
  return receipt;
}

/// By its place, or its day.
std::string drop_stop(TripLine& trip, const std::string& typed) {
  std::vector<domain::NameEntry> entries;
  std::vector<std::string> listed;
  for (const auto& stop : trip.stops) {
    entries.push_back({shearpin::to_text(stop.date), stop.place, {}, {}});
    listed.push_back(fmt::format("{} {}", shearpin::to_text(stop.date), stop.place));
  }
  const auto found = domain::find_name(typed, entries);
  if (found.hits.size() != 1) {
    refuse("--drop-stop {}: {} of trip {} are called that; give the place or the day of one{}{}",
           shearpin::quoted(typed), found.hits.empty() ? "no stops" : "several stops", trip.key,
           listed.empty() ? "" : ": ", join(listed, ", "));
  }
  const std::size_t which = found.hits.front();
  trip.stops.erase(trip.stops.begin() + static_cast<std::ptrdiff_t>(which));
  return fmt::format("stop dropped, {}", listed[which]);
}

int run_edit(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  TripLine trip = session.trip(arguments.required("KEY"));
  std::vector<std::string> did;
  if (const auto name = arguments.text("name")) {
    did.push_back(
        fmt::format("name {} is now {}", shearpin::quoted(trip.name), shearpin::quoted(*name)));
    trip.name = *name;
  }
  if (const auto stop = arguments.text("drop-stop")) {
    did.push_back(drop_stop(trip, *stop));
  }
  if (const auto leg = arguments.text("drop-leg")) {
    did.push_back(drop_leg(trip, *leg));
  }
  if (const auto shift = arguments.text("shift")) {
    const int days = shift_of(*shift);
    trip = domain::shifted(trip, days);
    did.push_back(
        fmt::format("moved {} {}", counted(std::abs(days), "day"), days < 0 ? "earlier" : "later"));
  }
  if (did.empty()) {
    throw UsageError(
        fmt::format("what shall change on trip {}? example: shearpin trip edit {} --shift 7",
                    trip.key, trip.key));
  }
  return keep(session, context, session.when(arguments), trip,
              fmt::format("Changed {}: {}.", trip.key, join(did, "; ")));
}

int run_remove(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const TripLine trip = session.trip(arguments.required("KEY"));
  const auto plan = domain::plan_trip_removal(session.when(arguments), trip.key);
  return record_with_receipt(
      session, context, plan,
      fmt::format("Removed trip {}{}: {}.", trip.key, dates_text(trip), size_text(trip)));
}

int run_show(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const TripLine trip = session.trip(arguments.required("KEY"));
  put_echoes(session, context);
  put(context, {[&] {
                  return report::trip_text(trip, session.catalogue(), context.width) + "\n" +
                         fitted_to(next_step(trip), context.width);
                },
                [&] { return report::trip_json(trip, session.catalogue()); }});
  return kDone;
}

int run_list(const Arguments&, Context& context) {
  Session session(context, Ledger::Mode::read);
  const auto trips = session.ledger().trips();
  put(context,
      {[&] { return report::trips_text(trips, context.width); },
       [&] { return report::trips_json(trips); }, [&] { return report::trips_csv(trips); }});
  return kDone;
}

OptionSpec planned_option() { return {"on", "DATE", "day of planning (today)", false}; }
OptionSpec note_option() { return {"note", "TEXT", "a remark", false}; }

constexpr const char* kConditionWords =
    "Conditions are the words that component classes are sensitive to. Those shipped: freezing, "
    "heat, high-altitude, humid, rough-road, salt, smoke-dust; a class may have others of its "
    "own.\n\n";

std::vector<OptionSpec> leg_options(const std::string& from, const std::string& to) {
  return {{"from", "DATE", from, false},
          {"to", "DATE", to, false},
          {"use", "METER=AMOUNT", "planned use in the leg, else the usual rate", true},
          {"condition", "NAME", "smoke-dust, freezing ... on all of the leg, see below", true},
          {"no-signal", "", "no order can be placed on these days", false},
          {"route", "TEXT", "from where to where", false}};
}

CommandSpec child(const std::string& name, const std::string& summary,
                  int (*run)(const Arguments&, Context&), std::vector<OptionSpec> options) {
  return {.name = name,
          .summary = summary,
          .positionals = {{"KEY", "the trip: key, name or words of it"}},
          .options = std::move(options),
          .run = run};
}

CommandSpec add_child() {
  auto options = leg_options("first day; with --file or --like the new departure",
                             "last day of the first leg");
  options.insert(options.begin(),
                 {{"name", "TEXT", "name to read", false},
                  {"file", "FILE", "the whole plan: CSV as import takes it, or JSON", false},
                  {"like", "TRIP", "the plan of another trip", false}});
  options.push_back(planned_option());
  options.push_back(note_option());
  auto spec = child("add", "Keep a new one: empty, its first leg, or a whole plan", run_add,
                    std::move(options));
  spec.positionals = {{"KEY", "lower-case letters, digits and hyphens; a name goes to --name"}};
  spec.at_most_one = {{"file", "like"}};
  spec.details =
      std::string(kConditionWords) +
      "Files: docs/import-files.md, \"trips\"; `trip show KEY --format json` writes one.\n\n"
      "Examples:\n"
      "  shearpin trip add june --name \"June round\" --from 2026-06-08 --to 2026-06-10\n"
      "  shearpin trip add june --file june.json\n"
      "  shearpin trip add next-june --like june --from 2027-06-07";
  return spec;
}

CommandSpec stop_child() {
  auto spec =
      child("stop", "A place on the way where things can be had", run_stop,
            {{"on", "DATE", "day of the stop (needed)", false},
             {"sells", "LIST",
              "all, part:KEY, class:KEY, supplier:KEY, resupply:WORD; commas between", true},
             {"parcels", "", "parcels are taken in", false},
             {"extra-days", "N", "a parcel takes N days more to this place", false},
             note_option()});
  spec.positionals.push_back({"PLACE", "its name"});
  spec.details =
      "Home is the last stop of every trip; it need not be receipt.\n\nExamples:\n"
      "  shearpin trip stop june \"Hollin Spur\" --on 2026-06-24 --parcels --extra-days 2\n"
      "  shearpin trip stop june Ketterfold --on 2026-07-08 --sells supplier:s2,class:tyre-truck";
  return spec;
}

}  // namespace

CommandSpec trip_command() {
  auto leg_words = leg_options("first day (needed)", "last day (needed)");
  leg_words.push_back(planned_option());
  leg_words.push_back(note_option());
  auto leg = child("leg", "Add a leg: days, use, conditions, signal", run_leg, leg_words);
  leg.details =
      std::string(kConditionWords) +
      "Example:\n  shearpin trip leg june --from 2026-06-11 --to 2026-06-19 --use truck-km=480 "
      "--condition rough-road";
  auto edit =
      child("edit", "Rename, move to other days, drop a leg or a stop", run_edit,
            {{"name", "TEXT", "a new name", false},
             {"shift", "DAYS", "all of it later, with a minus earlier: 7, \"-2 weeks\"", false},
             {"drop-leg", "N", "the leg of this number in trip show", false},
             {"drop-stop", "PLACE", "the stop of this place, or day", false},
             planned_option(),
             note_option()});
  const CommandSpec list{.name = "list", .summary = "All of them", .run = run_list};
  return {.name = "trip",
          .group = kAsk,
          .summary = "Trips ahead: legs and stops, kept and used again (add, leg, stop, show, ...)",
          .children = {add_child(), leg, stop_child(),
                       child("show", "Legs, use, stops and what can be had there", run_show, {}),
                       list, edit, debrief_child(),
                       child("remove", "Keep it no more; undo brings it back", run_remove,
                             {planned_option(), note_option()})}};
}

}  // namespace shearpin::cli
