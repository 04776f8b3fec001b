#pragma once
/// What to order: as text, JSON and CSV. Formats: docs/json.md; general rules as in carry.hpp.

#include <string>

#include "report/cautions.hpp"
#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

/// To order now with supplier, date and cost; what is on its way; a count of what needs nothing.
std::string reorder_text(const advice::ReorderAnswer& answer, const Cautions& cautions = {});
std::string reorder_json(const advice::ReorderAnswer& answer);
std::string reorder_csv(const advice::ReorderAnswer& answer);

}  // namespace shearpin::report
