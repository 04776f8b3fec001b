#pragma once
/// How often a part fails, and why that many are advised: as text and JSON. Formats: docs/json.md;
/// general rules as in carry.hpp.

#include <string>

#include "report/cautions.hpp"
#include "shearpin/advice/inquiry.hpp"

namespace shearpin::report {

/// How long tables are shown.
struct Detail {
  bool all_rows = false;  ///< every record and every row; else long tables are cut, with a count
};

/// Belief, record, what is believed now, and r/T with its interval, in a dozen lines.
std::string rate_text(const advice::RateAnswer& answer, const Detail& detail = {});
std::string rate_json(const advice::RateAnswer& answer);

/// Two parts side by side and the verdict.
std::string compare_text(const advice::CompareAnswer& answer);
std::string compare_json(const advice::CompareAnswer& answer);

/// One sentence on failures that look like a fault, for the answer to `fail`.
std::string fault_warning(const advice::FaultSign& sign);

/// The whole chain in numbered steps, each with its figures, up to the verdict.
std::string explain_text(const advice::ExplainAnswer& answer, const Detail& detail = {},
                         const Cautions& cautions = {});
std::string explain_json(const advice::ExplainAnswer& answer);

}  // namespace shearpin::report
