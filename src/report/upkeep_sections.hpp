#pragma once
/// Sentences about what to do before a failure, what a condition does, and signs of a fault.

#include <string>
#include <vector>

#include "shearpin/advice/inquiry.hpp"

namespace shearpin::report {

/// What the other parts of the class lent; empty where none did.
std::string borrowed_text(const advice::RateAnswer& answer);

/// Maximum likelihood beside it; empty where there is no fit.
std::string classical_text(const advice::RateAnswer& answer);

/// Replacement age and test interval; empty where neither applies.
std::string upkeep_text(const advice::RateAnswer& answer);

/// Table of condition factors; empty without any.
std::string factors_text(const advice::RateAnswer& answer);

/// One sentence a sign: what was seen, how likely by luck, what to do first.
std::string sign_text(const advice::FaultSign& sign);

/// All of them as bullets.
std::string signs_text(const std::vector<advice::FaultSign>& signs);

}  // namespace shearpin::report
