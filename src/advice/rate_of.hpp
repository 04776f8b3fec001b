#pragma once
/// What is known of a part's failure rate, from an analyst already at hand.

#include "advice/analyst.hpp"
#include "shearpin/advice/inquiry.hpp"

namespace shearpin::advice {

RateAnswer rate_of(const Analyst& analyst, PartId part, const LifeBelief& belief);

}  // namespace shearpin::advice
