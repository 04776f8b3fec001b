#include "cli/window_options.hpp"

#include <fmt/format.h>

#include "apply/trip_leg.hpp"
#include "base/quantity.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::cli {
namespace {

std::pair<std::string, std::optional<int>> planned_condition(const std::string& typed) {
  const auto colon = typed.find(':');
  const std::string name = lower_case(trimmed(typed.substr(0, colon)));
  if (name.empty()) {
    refuse(
        "--condition {}: a name, and days if not all the time; example: --condition smoke-dust:12",
        typed);
  }
  if (colon == std::string::npos) {
    return {name, std::nullopt};
  }
  return {name, static_cast<int>(parse_count(typed.substr(colon + 1), "days of the condition", 0))};
}

}  // namespace

namespace {

/// A trip brings its own days and use; conditions may be added to all of its legs.
advice::Window window_of_trip(const std::string& typed, const Arguments& arguments,
                              Session& session) {
  if (arguments.has("days") || arguments.has("use")) {
    throw UsageError(
        "--trip brings its own days and use: leave --days and --use out, or change the plan; "
        "example: shearpin trip show " +
        typed);
  }
  auto window =
      advice::trip_window(domain::usable_trip(session.trip(typed)), session.context().day());
  for (const auto& given : arguments.list("condition")) {
    const auto condition = planned_condition(given);
    if (condition.second) {
      refuse(
          "--condition {}: on a trip a condition named here holds on every leg; leave the days "
          "out, or give it to a leg of the plan",
          given);
    }
    window.conditions.push_back(condition);
  }
  return window;
}

}  // namespace

std::vector<OptionSpec> window_options() {
  return {
      {"trip", "TRIP", "a trip with its legs and stops (see `shearpin trip`)", false},
      {"days", "N", "a stretch of N days with no resupply, from the as-of day", false},
      {"use", "METER=AMOUNT", "planned use over the stretch, else the usual rate", true},
      {"condition", "NAME[:DAYS]", "a condition ahead, for DAYS from the start or all of it", true},
  };
}

std::optional<advice::Window> window_of(const Arguments& arguments, Session& session) {
  const auto days = arguments.text("days");
  if (const auto typed = arguments.text("trip")) {
    return window_of_trip(*typed, arguments, session);
  }
  if (!days) {
    if (arguments.has("use") || arguments.has("condition")) {
      throw UsageError("--use and --condition describe a stretch: say which; example: --days 38");
    }
    return std::nullopt;
  }
  advice::Window window;
  window.start = session.context().day();
  window.days = static_cast<int>(parse_count(*days, "days", 0));
  domain::check_stretch(window.days);
  for (const auto& [meter, amount] :
       apply::planned_amounts(arguments.list("use"), session, "the whole stretch")) {
    domain::check_use(session.catalogue().at(meter), amount, window.days,
                      fmt::format("--use over {} days", window.days));
    window.use.emplace(meter, amount);
  }
  for (const auto& typed : arguments.list("condition")) {
    const auto condition = planned_condition(typed);
    if (condition.second && *condition.second > window.days) {
      refuse(
          "--condition {}: {} days do not fit in a stretch of {}; leave the days out for all of it",
          typed, *condition.second, window.days);
    }
    window.conditions.push_back(condition);
  }
  return window;
}

advice::Window required_window(const Arguments& arguments, Session& session) {
  if (auto window = window_of(arguments, session)) {
    return *window;
  }
  throw UsageError(fmt::format("which stretch or trip? example: {} --days 38, or --trip KEY",
                               arguments.command()));
}

}  // namespace shearpin::cli
