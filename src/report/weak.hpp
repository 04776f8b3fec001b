#pragma once
/// What would stop us: as text, JSON and CSV. Formats: docs/json.md; general rules as in carry.hpp.

#include <string>

#include "report/cautions.hpp"
#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

/// Single points first, then what a workaround covers, then what a spare does.
std::string weak_text(const advice::WeakAnswer& answer, bool all, const Cautions& cautions = {});
std::string weak_json(const advice::WeakAnswer& answer);
std::string weak_csv(const advice::WeakAnswer& answer);

/// Notes of what nothing covers.
std::vector<std::string> safety_keys(const advice::WeakAnswer& answer);

}  // namespace shearpin::report
