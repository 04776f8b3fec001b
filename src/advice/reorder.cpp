#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>

#include "advice/base_case.hpp"
#include "advice/part_by_part.hpp"
#include "advice/shared.hpp"
#include "shearpin/advice/advise.hpp"

namespace shearpin::advice {
namespace {

bool wanted_first(const ReorderLine& a, const ReorderLine& b) {
  if (a.wanted() != b.wanted()) {
    return a.wanted();
  }
  if (a.wanted() && a.severity != b.severity) {
    return a.severity < b.severity;
  }
  return a.part < b.part;
}

/// Where a part ordered now or later can still come aboard: home on the eve of the departure at the
/// latest (a parcel comes in the evening, the trip begins in the morning), then the trip's own
/// chances. Of a trip under way only these are left.
std::vector<OrderChance> chances_of(const CarryAnswer& carry, const CarryLine& line,
                                    double lead_days) {
  const auto& trip = *carry.window.trip;
  const Date today = carry.as_of;
  const auto lead = std::chrono::days(static_cast<int>(std::ceil(lead_days)));
  std::vector<OrderChance> chances;
  if (!carry.window.today) {
    const Date eve = trip.departure() - std::chrono::days(1);
    const Date by = eve - lead;
    chances.push_back({"home", by, eve, false, by < today});
  }
  for (const auto& receipt : line.trip->receipts) {
    if (receipt.how == domain::Receipt::How::home || receipt.how == domain::Receipt::How::waits) {
      continue;
    }
    const bool bought = receipt.how == domain::Receipt::How::bought;
    chances.push_back({receipt.place, receipt.cutoff, receipt.day, bought, receipt.cutoff < today});
  }
  return chances;
}

void add_chances(const CarryAnswer& carry, ReorderLine& line) {
  const auto found = std::find_if(carry.lines.begin(), carry.lines.end(),
                                  [&](const auto& candidate) { return candidate.id == line.id; });
  if (found != carry.lines.end() && found->trip && found->carry > line.position) {
    line.chances = chances_of(carry, *found, line.lead_planning);
  }
}

}  // namespace

BaseLines base_lines(const Analyst& analyst, std::span<const PartId> parts) {
  std::vector<PartId> bought;
  std::copy_if(parts.begin(), parts.end(), std::back_inserter(bought), [&](PartId part) {
    return !analyst.catalogue().at(part).retired;  // a retired part is used up, not bought again
  });
  BaseLines base;
  base.lines.resize(bought.size());
  const auto reasons = for_each_apart(
      bought.size(), [&](std::size_t i) { base.lines[i] = base_case(analyst, bought[i]).line; });
  drop_unworked(base.lines, reasons);
  const auto name = [&](std::size_t i) { return analyst.catalogue().at(bought[i]).key; };
  note_unworked(reasons, name, base.notes);
  note_impossible(analyst, base.notes);
  return base;
}

ReorderAnswer reorder_answer(const Analyst& analyst, BaseLines base, const CarryAnswer* carry) {
  ReorderAnswer answer;
  answer.as_of = analyst.snapshot().as_of;
  answer.review_days = analyst.policy().review_days;
  answer.lines = std::move(base.lines);
  answer.notes = std::move(base.notes);
  if (carry != nullptr) {
    answer.window = carry->window;
    std::map<PartId, const CarryLine*> stretches;
    for (const auto& line : carry->lines) {
      stretches.emplace(line.id, &line);
    }
    for (auto& line : answer.lines) {
      const auto stretch = stretches.find(line.id);
      set_order(analyst, stretch == stretches.end() ? nullptr : stretch->second, line);
      if (carry->window.trip) {
        add_chances(*carry, line);
      }
    }
  }
  if (carry != nullptr) {
    for (const auto& note : carry->notes) {
      if (std::find(answer.notes.begin(), answer.notes.end(), note) == answer.notes.end()) {
        answer.notes.push_back(note);
      }
    }
  }
  std::stable_sort(answer.lines.begin(), answer.lines.end(), wanted_first);
  for (const auto& line : answer.lines) {
    if (line.wanted() && line.cost) {
      answer.cost = answer.cost + *line.cost;
    } else if (line.wanted()) {
      answer.unpriced.push_back(line.part);
    }
  }
  return answer;
}

ReorderAnswer advise_reorder(const domain::Snapshot& snapshot, const std::optional<Window>& window,
                             std::span<const PartId> only) {
  const Analyst analyst(snapshot);
  const auto parts = parts_asked(analyst, only);
  auto base = base_lines(analyst, parts);
  refuse_empty(parts.size(), base.lines.size(), base.notes);
  if (!window) {
    return reorder_answer(analyst, std::move(base), nullptr);
  }
  const auto carry = carry_answer(analyst, *window, parts);
  return reorder_answer(analyst, std::move(base), &carry);
}

}  // namespace shearpin::advice
