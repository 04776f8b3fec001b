#include <algorithm>

#include "advice/base_case.hpp"
#include "advice/parallel.hpp"
#include "shearpin/advice/advise.hpp"

namespace shearpin::advice {
namespace {

bool before(const ReorderLine& a, const ReorderLine& b) {
  if (a.wanted() != b.wanted()) {
    return a.wanted();
  }
  if (a.wanted() && a.severity != b.severity) {
    return a.severity < b.severity;
  }
  return a.part < b.part;
}

}  // namespace

ReorderAnswer advise_reorder(const domain::Snapshot& snapshot, const std::optional<Window>& window,
                             std::span<const PartId> only) {
  const Analyst analyst(snapshot);
  ReorderAnswer answer;
  answer.as_of = snapshot.as_of;
  answer.window = window;
  answer.review_days = analyst.policy().review_days();
  std::vector<PartId> parts =
      only.empty() ? parts_of_interest(analyst) : std::vector<PartId>(only.begin(), only.end());
  // A retired part is used up, not bought again.
  parts.erase(std::remove_if(parts.begin(), parts.end(),
                             [&](PartId part) { return analyst.catalogue().at(part).retired; }),
              parts.end());
  answer.lines.resize(parts.size());
  for_each_index(parts.size(), [&](std::size_t i) {
    const int level = window ? stretch_case(analyst, parts[i], *window).line.carry : 0;
    answer.lines[i] = base_case(analyst, parts[i], level).line;
  });
  std::stable_sort(answer.lines.begin(), answer.lines.end(), before);
  for (const auto& line : answer.lines) {
    if (line.wanted() && line.cost) {
      answer.cost = answer.cost + *line.cost;
    } else if (line.wanted()) {
      answer.unpriced.push_back(line.part);
    }
  }
  return answer;
}

}  // namespace shearpin::advice
