#pragma once
/// Bad luck or a fault: failures at one position against what its part's life makes likely.

#include <optional>
#include <vector>

#include "advice/analyst.hpp"

namespace shearpin::advice {

/// The sign at one position, or nothing: fewer than two failures in the policy's window, or as many
/// as luck may well give, and no trend. Failures put down to a fault that is closed do not count;
/// with one that is open there is always a sign.
/// The chance is that of as many failures or more in the window, a third or a ninth of it, by the
/// posterior of the part's other lives, those at the position cut off where the window begins,
/// times the positions watched; the least of the three is told.
std::optional<FaultSign> fault_sign(const Analyst& analyst, const domain::Position& position);

/// At all positions that called for `part` or had it fitted; of all parts. Rarest first.
std::vector<FaultSign> fault_signs(const Analyst& analyst, PartId part);
/// At all positions; a sentence is added to `notes` for each that could not be judged.
std::vector<FaultSign> fault_signs(const Analyst& analyst, std::vector<std::string>& notes);

/// The records of a part with the failures of the signs counted as lives that went on.
std::vector<domain::AgeRecord> records_without(const Analyst& analyst, PartId part,
                                               const std::vector<FaultSign>& signs);

}  // namespace shearpin::advice
