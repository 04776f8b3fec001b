#include "cli/kit_options.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/quantity.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/base/money.hpp"

namespace shearpin::cli {
namespace {

constexpr std::int64_t kMostRuns = 1'000'000;

std::optional<double> money_option(const Arguments& arguments, std::string_view name) {
  const auto typed = arguments.text(name);
  return typed ? std::optional(parse_money(*typed).major()) : std::nullopt;
}

std::pair<domain::Severity, double> risk_of(const std::string& typed) {
  const auto equals = typed.find('=');
  if (equals == std::string::npos) {
    refuse("--max-risk {}: a severity and the most chance; example: --max-risk stranded=2%", typed);
  }
  const auto severity = domain::parse_severity(lower_case(typed.substr(0, equals)));
  const double most = parse_share(typed.substr(equals + 1), "risk");
  if (!(most > 0 && most < 1)) {
    refuse("--max-risk {}: above 0 and below 1; example: --max-risk stranded=2%", typed);
  }
  return {severity, most};
}

}  // namespace

std::vector<OptionSpec> kit_options() {
  return {
      {"max-mass", "MASS", "most that all spares aboard may weigh: 80kg", false},
      {"max-volume", "VOLUME", "most room they may take, carriers outside left out: 28l", false},
      {"max-cost", "MONEY", "most that they may be worth: 900", false},
      {"add-mass", "MASS", "most that what is added to that aboard may weigh: 5kg", false},
      {"add-volume", "VOLUME", "most room that what is added may take: 5l", false},
      {"add-cost", "MONEY", "most to spend on what is bought", false},
      {"max-risk", "SEVERITY=P", "most chance of one so severe without cover: stranded=2%", true},
  };
}

std::vector<OptionSpec> simulate_options() {
  return {
      {"simulate", "", "play the trip through many times with the kit", false},
      {"runs", "N", "how many times (10000)", false},
      {"seed", "N", "of the random numbers (1)", false},
      {"planned-leads", "", "every parcel takes its planning lead time", false},
  };
}

advice::KitLimits limits_of(const Arguments& arguments) {
  advice::KitLimits limits;
  const auto mass = [&](std::string_view name) {
    const auto typed = arguments.text(name);
    return typed ? std::optional(parse_mass_g(*typed)) : std::nullopt;
  };
  const auto volume = [&](std::string_view name) {
    const auto typed = arguments.text(name);
    return typed ? std::optional(parse_volume_ml(*typed)) : std::nullopt;
  };
  limits.max_mass_g = mass("max-mass");
  limits.add_mass_g = mass("add-mass");
  limits.max_volume_ml = volume("max-volume");
  limits.add_volume_ml = volume("add-volume");
  limits.max_cost = money_option(arguments, "max-cost");
  limits.add_cost = money_option(arguments, "add-cost");
  for (const auto& typed : arguments.list("max-risk")) {
    const auto risk = risk_of(typed);
    const bool again = std::any_of(limits.max_risk.begin(), limits.max_risk.end(),
                                   [&](const auto& given) { return given.first == risk.first; });
    if (again) {
      refuse("--max-risk {}: that severity has a limit already", typed);
    }
    limits.max_risk.push_back(risk);
  }
  return limits;
}

std::optional<advice::SimulateOptions> simulation_of(const Arguments& arguments, Progress& bar) {
  if (!arguments.flag("simulate")) {
    for (const char* name : {"runs", "seed", "planned-leads"}) {
      if (arguments.has(name)) {
        throw UsageError(
            fmt::format("--{} belongs to --simulate; example: --simulate --runs 20000", name));
      }
    }
    return std::nullopt;
  }
  advice::SimulateOptions options;
  if (const auto runs = arguments.text("runs")) {
    options.runs = static_cast<long>(parse_count(*runs, "runs", 1));
    if (options.runs > kMostRuns) {
      refuse("--runs {}: at most {}; example: --runs 20000", *runs, kMostRuns);
    }
  }
  if (const auto seed = arguments.text("seed")) {
    options.seed = static_cast<std::uint64_t>(parse_count(*seed, "seed", 0));
  }
  options.random_leads = !arguments.flag("planned-leads");
  options.progress = [&bar](long done, long all) {
    bar.show(static_cast<std::size_t>(done), static_cast<std::size_t>(all));
  };
  return options;
}

}  // namespace shearpin::cli
