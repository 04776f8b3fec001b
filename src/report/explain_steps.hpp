#pragma once
/// Steps 4 to 9 of the reasoning, each a block of text.

#include <string>

#include "report/reasoning.hpp"
#include "shearpin/advice/inquiry.hpp"

namespace shearpin::report {

std::string exposure_step(const advice::ExplainAnswer& answer);

/// Demand over the window, else over review and lead time: k, P(= k), P(<= k), with the levels
/// marked.
std::string demand_step(const advice::ExplainAnswer& answer, const Detail& detail);

std::string target_step(const advice::ExplainAnswer& answer);
std::string worth_step(const advice::ExplainAnswer& answer, const Detail& detail);
std::string lead_step(const advice::ExplainAnswer& answer, const Detail& detail);
std::string verdict_step(const advice::ExplainAnswer& answer);

}  // namespace shearpin::report
