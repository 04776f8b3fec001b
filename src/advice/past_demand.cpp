#include "advice/past_demand.hpp"

#include <algorithm>

namespace shearpin::advice {
namespace {

bool asks(domain::EndKind kind) {
  switch (kind) {
    case domain::EndKind::failed:
    case domain::EndKind::failed_on_test:
    case domain::EndKind::expired:
    case domain::EndKind::lost:
      return true;
    case domain::EndKind::renewed:
    case domain::EndKind::stand_in_removed:
      return false;
  }
  return false;
}

}  // namespace

std::map<PartId, std::vector<PastDemand>> past_demand(const domain::Snapshot& snapshot) {
  std::map<PartId, std::vector<PastDemand>> demand;
  for (const auto& life : snapshot.lives) {
    const auto& position = snapshot.catalogue->at(life.position);
    const auto part = position.part ? position.part : life.part;
    if (!part || life.stand_in) {
      continue;
    }
    if (life.end && asks(life.end->kind)) {
      demand[*part].push_back({life.end->test_date.value_or(life.end->date), position.pieces});
    }
    for (std::size_t i = 0; i < life.repairs.size(); ++i) {
      if (i < life.repair_took_part.size() && life.repair_took_part[i]) {
        demand[*part].push_back({life.repairs[i], position.pieces});
      }
    }
  }
  for (const auto& usage : snapshot.usages) {
    demand[usage.part].push_back({usage.date, usage.quantity});
  }
  for (const auto& loss : snapshot.losses) {
    if (loss.part && !loss.position) {  // a fitted unit lost stands among the lives
      demand[*loss.part].push_back({loss.date, loss.quantity});
    }
  }
  for (auto& [part, events] : demand) {
    std::stable_sort(events.begin(), events.end(),
                     [](const auto& a, const auto& b) { return a.date < b.date; });
  }
  return demand;
}

std::int64_t pieces_between(const std::vector<PastDemand>& demand, Date from, Date to) {
  std::int64_t pieces = 0;
  for (const auto& event : demand) {
    pieces += event.date > from && event.date <= to ? event.pieces : 0;
  }
  return pieces;
}

}  // namespace shearpin::advice
