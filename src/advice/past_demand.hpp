#pragma once
/// What was really asked for, part by part, with its days.

#include <map>
#include <vector>

#include "shearpin/domain/snapshot.hpp"

namespace shearpin::advice {

struct PastDemand {
  Date date;
  std::int64_t pieces = 1;
};

/// By part, by date. Failures count for the part their position calls for, with the position's
/// pieces; so do marked ends reached, repairs that took a part, and fitted units lost. Stand-ins
/// ask for nothing.
std::map<PartId, std::vector<PastDemand>> past_demand(const domain::Snapshot& snapshot);

/// Pieces asked for on the days after `from` up to and with `to`.
std::int64_t pieces_between(const std::vector<PastDemand>& demand, Date from, Date to);

}  // namespace shearpin::advice
