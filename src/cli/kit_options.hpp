#pragma once
/// The options that limit a kit and play a trip through.

#include <vector>

#include "cli/command.hpp"
#include "cli/progress.hpp"
#include "shearpin/advice/advise.hpp"

namespace shearpin::cli {

/// --max-mass, --max-volume, --max-cost, --add-mass, --add-volume, --add-cost, --max-risk.
std::vector<OptionSpec> kit_options();
/// --simulate, --runs, --seed, --planned-leads.
std::vector<OptionSpec> simulate_options();

/// InputError for amounts that are none, risks outside (0, 1), a severity named twice.
advice::KitLimits limits_of(const Arguments& arguments);

/// Nothing without --simulate; UsageError where one of its options stands alone. `bar` must outlive
/// the run.
std::optional<advice::SimulateOptions> simulation_of(const Arguments& arguments, Progress& bar);

}  // namespace shearpin::cli
