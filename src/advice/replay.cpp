#include "advice/replay.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "advice/past_demand.hpp"
#include "advice/shared.hpp"
#include "shearpin/base/error.hpp"
#include "stocking/levels.hpp"

namespace shearpin::advice {
namespace {

constexpr std::array<double, 7> kEdges{0, 0.01, 0.05, 0.2, 0.5, 0.8, 1};
constexpr std::array<const char*, 4> kRuleNames{"the advice", "none", "one of each",
                                                "as last year"};

/// One part over one period.
struct Case {
  const CarryLine* line;
  const std::vector<PastDemand>* events;
  Date from, to;
  double cost_of_day;
  double piece_cost;
};

void count(const Case& played, std::int64_t carried, ReplayRule& rule) {
  ++rule.cases;
  rule.carried += carried;
  std::int64_t left = carried;
  bool short_of_it = false;
  for (const auto& event : *played.events) {
    if (event.date <= played.from || event.date > played.to) {
      continue;
    }
    const auto uncovered = std::max<std::int64_t>(0, event.pieces - left);
    left = std::max<std::int64_t>(0, left - event.pieces);
    short_of_it = short_of_it || uncovered > 0;
    const double days = static_cast<double>(uncovered) * days_between(event.date, played.to);
    rule.days_without += days;
    rule.cost_without += days * played.cost_of_day;
  }
  rule.shortages += short_of_it ? 1 : 0;
  rule.for_nothing += left;
  rule.cost_carried += static_cast<double>(carried) * played.piece_cost;
}

class Player {
 public:
  explicit Player(const domain::Snapshot& today) : demand_(past_demand(today)) {
    answer_.as_of = today.as_of;
    for (const char* name : kRuleNames) {
      answer_.rules.emplace_back().name = name;
    }
    for (std::size_t i = 0; i + 1 < kEdges.size(); ++i) {
      answer_.calibration.push_back({kEdges[i], kEdges[i + 1], 0, 0, 0});
    }
  }

  void play(const domain::Snapshot& known, Date from, Date to) {
    const Analyst analyst(known);
    Window window;
    window.start = from;
    window.days = days_between(from, to);
    std::vector<PartId> parts;
    for (const PartId part : parts_asked(analyst, {})) {
      if (analyst.first_record_of(part) < from) {
        parts.push_back(part);
      }
    }
    if (parts.empty()) {
      return;
    }
    const auto carry = carry_answer(analyst, window, parts);
    auto& period = answer_.periods.emplace_back();
    period.from = from;
    period.to = to;
    for (const auto& line : carry.lines) {
      play(analyst, line, period);
    }
  }

  ReplayAnswer finish() {
    std::erase_if(answer_.targets, [](const auto& target) { return target.cases == 0; });
    return std::move(answer_);
  }

 private:
  void play(const Analyst& analyst, const CarryLine& line, ReplayPeriod& period) {
    static const std::vector<PastDemand> kNone;
    const auto found = demand_.find(line.id);
    const auto& events = found == demand_.end() ? kNone : found->second;
    const auto& part = analyst.catalogue().at(line.id);
    const auto price = analyst.catalogue().price_of(part);
    stocking::HoldingCost holding;
    holding.price = price ? price->major() : 0;
    holding.mass_kg = analyst.catalogue().mass_of(part).value_or(0) / 1000;
    holding.yearly_share = analyst.policy().holding_share;
    holding.kg_month = analyst.policy().carry_cost;
    const Case played{&line,
                      &events,
                      period.from,
                      period.to,
                      analyst.policy().cost_of_day(line.severity),
                      holding.of_one_piece(days_between(period.from, period.to))};
    const auto asked = pieces_between(events, period.from, period.to);
    const auto last_year =
        pieces_between(events, period.from - std::chrono::days(365), period.from);
    const std::array<std::int64_t, 4> carried{line.carry, 0, 1, last_year};
    for (std::size_t i = 0; i < carried.size(); ++i) {
      count(played, carried[i], answer_.rules[i]);
    }
    ++period.parts;
    period.demand += asked;
    period.carried += line.carry;
    if (asked > line.carry) {
      period.short_of.push_back(line.part);
    }
    keep_promise(line, asked);
    calibrate(1 - line.demand.total.front(), asked);
  }

  void keep_promise(const CarryLine& line, std::int64_t asked) {
    auto target = std::find_if(answer_.targets.begin(), answer_.targets.end(),
                               [&](const auto& held) { return held.severity == line.severity; });
    if (target == answer_.targets.end()) {
      answer_.targets.push_back({line.severity, line.target, 0, 0, 0});
      target = answer_.targets.end() - 1;
    }
    target->promised = (target->promised * static_cast<double>(target->cases) + line.chance_carry) /
                       static_cast<double>(target->cases + 1);
    ++target->cases;
    target->kept += asked <= line.carry ? 1 : 0;
  }

  void calibrate(double chance, std::int64_t asked) {
    for (auto& bin : answer_.calibration) {
      if (chance < bin.high || bin.high == 1) {
        ++bin.cases;
        bin.expected += chance;
        bin.happened += asked > 0 ? 1 : 0;
        return;
      }
    }
  }

  std::map<PartId, std::vector<PastDemand>> demand_;
  ReplayAnswer answer_;
};

}  // namespace

ReplayAnswer replay(const domain::Snapshot& today, const SnapshotAt& known_on, int every_days,
                    const ReplayProgress& progress) {
  if (every_days < 7 || every_days > 366) {
    throw InputError(
        fmt::format("periods of {} days: from 7 to 366; example: --every 30", every_days));
  }
  const std::chrono::days step(every_days);
  Player player(today);
  const auto all = static_cast<std::size_t>(
      std::max(0, days_between(today.first_day, today.as_of) / every_days));
  for (std::size_t i = 0; i < all; ++i) {
    // Counted back from today, so that the last period ends with what is known.
    const Date to = today.as_of - step * static_cast<int>(all - 1 - i);
    player.play(known_on(to - step), to - step, to);
    if (progress) {
      progress(i + 1, all);
    }
  }
  return player.finish();
}

}  // namespace shearpin::advice
