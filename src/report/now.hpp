#pragma once
/// What needs doing today: as text, JSON and CSV. Formats: docs/json.md; general rules as in
/// carry.hpp.

#include <string>

#include "report/cautions.hpp"
#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

/// Most urgent first: down, due, low, on the way, notes. With nothing to do it says so and names
/// the command that comes next.
std::string now_text(const advice::NowAnswer& answer, const Cautions& cautions = {});
std::string now_json(const advice::NowAnswer& answer);

/// One line a thing: kind (down, due, reorder, order), key, name, date, days, pieces, detail.
std::string now_csv(const advice::NowAnswer& answer);

}  // namespace shearpin::report
