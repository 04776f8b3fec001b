#pragma once
/// Would this advice have helped: the past played again, as text, JSON and CSV. Formats:
/// docs/json.md; general rules as in carry.hpp.

#include <string>

#include "advice/replay.hpp"

namespace shearpin::report {

/// Rules side by side, the promise by severity, chances told against what came, the periods that
/// ran short.
std::string replay_text(const advice::ReplayAnswer& answer);
std::string replay_json(const advice::ReplayAnswer& answer);
/// One line a period.
std::string replay_csv(const advice::ReplayAnswer& answer);

}  // namespace shearpin::report
