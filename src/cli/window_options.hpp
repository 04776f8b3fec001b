#pragma once
/// The options that say which stretch a question is about: --days, --use, --condition.

#include <optional>
#include <vector>

#include "cli/command.hpp"
#include "cli/session.hpp"
#include "shearpin/advice/window.hpp"

namespace shearpin::cli {

/// --days N, --use METER=AMOUNT, --condition NAME[:DAYS], for the help and the parser.
std::vector<OptionSpec> window_options();

/// The stretch asked about; none without --days. InputError for a bad amount, an unknown meter,
/// days out of range; UsageError where --use or --condition stand without --days.
std::optional<advice::Window> window_of(const Arguments& arguments, Session& session);

/// The same, for commands that make no sense without it: UsageError with an example.
advice::Window required_window(const Arguments& arguments, Session& session);

}  // namespace shearpin::cli
