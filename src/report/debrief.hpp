#pragma once
/// After a trip, as text and JSON. Formats: docs/json.md; general rules as in carry.hpp.

#include <string>

#include "advice/debrief.hpp"

namespace shearpin::report {

/// What broke, what was short, what came back unused, stocktake differences, what has been learnt.
std::string debrief_text(const advice::DebriefAnswer& answer);
std::string debrief_json(const advice::DebriefAnswer& answer);

}  // namespace shearpin::report
