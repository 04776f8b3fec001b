#pragma once
/// A good kit within the limits, quickly: what the search starts from.

#include "stocking/kit_bound.hpp"
#include "stocking/kit_choice.hpp"

namespace shearpin::stocking {

/// Changes one class at a time, by the least priced cost for what is gained, until the picks are
/// within the limits. False where no single change gains any more.
bool repair(const Choice& choice, const Multipliers& price, Picks& picks, double& work);

/// Lowers the cost of picks within the limits by changing one class at a time, then two at once
/// (among the options nearest to the relaxed choice), until nothing is gained.
void improve(const Choice& choice, const Multipliers& price, Picks& picks, double& work);

/// Iterated local search (Lourenco, Martin & Stuetzle 2003): a few of the changes nearest to the
/// relaxed choice at random (fixed seed), then repair and improve; kept where the cost is lower.
/// Ends after `work_allowed` looks at options.
void shake(const Choice& choice, const Multipliers& price, Picks& picks, double work_allowed,
           double& work);

}  // namespace shearpin::stocking
