#include <algorithm>
#include <cmath>

#include "advice/outlook.hpp"
#include "advice/part_by_part.hpp"
#include "advice/shared.hpp"
#include "domain/plan_fitting.hpp"
#include "shearpin/advice/advise.hpp"

namespace shearpin::advice {
namespace {

/// Chance to get through the window. A unit that is seen to fail before the start is put right
/// then, so it is taken to be sound at the start; of one that fails unseen nobody knows.
double survival(const stats::WeibullNode& node, const domain::FittedNow& unit, double before,
                double ahead) {
  const auto hazard = [&](double age) { return std::pow(age / node.scale, node.shape); };
  const double known_sound = unit.age + (unit.untested > 0 ? 0 : before);
  return std::exp(hazard(known_sound) - hazard(unit.age + unit.untested + before + ahead));
}

/// Why a unit of the position is out of action, or will be, in the window; empty where that is a
/// matter of chance.
std::string certain_words(const Analyst& analyst, const domain::Position& position, Date home) {
  for (const auto& unit : analyst.lives().now(position.id)) {
    switch (unit.state) {
      case domain::PlaceState::empty:
        return "nothing is recorded as fitted";
      case domain::PlaceState::dead:
        return "dead today";
      case domain::PlaceState::workaround:
      case domain::PlaceState::stand_in:
        return "getting by today";
      case domain::PlaceState::fitted:
        break;
    }
    if (unit.marked_end && *unit.marked_end <= home) {
      return "its marked end comes on " + shearpin::to_text(*unit.marked_end);
    }
  }
  return {};
}

/// Chance that at least one unit of the position is, or comes to be, out of action in the window.
/// Units of one part share its unknown life; all are in action now, with no marked end in it.
double chance_fails(const Analyst& analyst, const domain::Position& position,
                    const Window& window) {
  const double ahead = exposure_over(analyst, position, window);
  const double before = exposure_before(analyst, position, window);
  std::map<std::optional<PartId>, std::vector<domain::FittedNow>> by_part;
  for (const auto& unit : analyst.lives().now(position.id)) {
    by_part[unit.part].push_back(unit);
  }
  double survives = 1;
  for (const auto& [part, units] : by_part) {
    const auto belief =
        part ? analyst.life_belief(*part) : analyst.life_belief_of_position(position);
    double all_survive = 0;
    for (const auto& node : belief.posterior.nodes) {
      double here = node.weight;
      for (const auto& unit : units) {
        here *= survival(node, unit, before, ahead);
      }
      all_survive += here;
    }
    survives *= all_survive;
  }
  return std::clamp(1 - survives, 0.0, 1.0);
}

std::int64_t fitting_spares(const Analyst& analyst, const domain::Position& position,
                            const Window& window) {
  std::int64_t spares = 0;
  for (const auto& fitting : domain::fitting_parts(analyst.catalogue(), position)) {
    const auto stock =
        analyst.stock_of(fitting.part, window.start + std::chrono::days(window.days));
    spares += stock.aboard / position.pieces;  // a part of a set helps nobody
  }
  return spares;
}

ExposureLine exposure_line(const Analyst& analyst, const domain::Position& position,
                           const Window& window) {
  const auto& catalogue = analyst.catalogue();
  ExposureLine line;
  line.position = position.key;
  line.name = position.name;
  line.rig = catalogue.at(position.rig).key;
  line.severity = catalogue.severity_of(position);
  line.certain = certain_words(analyst, position, window.start + std::chrono::days(window.days));
  line.chance_fails = line.certain.empty() ? chance_fails(analyst, position, window) : 1;
  line.spares = fitting_spares(analyst, position, window);
  line.workaround = domain::Catalogue::has_workaround(position) ? position.workaround : "";
  if (position.part) {
    line.part = catalogue.at(*position.part).key;
  }
  if (const auto* its_class = catalogue.class_of(position)) {
    line.class_key = its_class->key;
    line.class_advice = its_class->workaround;
    line.safety_note = its_class->safety_note;
  }
  return line;
}

}  // namespace

/// Worst first: the day's cost of the severity times the chance.
WeakAnswer weak_answer(const Analyst& analyst, const Window& window, domain::Severity least) {
  WeakAnswer answer;
  answer.as_of = analyst.snapshot().as_of;
  answer.window = window;
  std::vector<const domain::Position*> positions;
  for (const auto& position : analyst.catalogue().positions) {
    if (!position.retired && !analyst.catalogue().at(position.rig).retired &&
        analyst.catalogue().severity_of(position) <= least) {
      positions.push_back(&position);
    }
  }
  std::vector<ExposureLine> lines(positions.size());
  const auto reasons = for_each_apart(positions.size(), [&](std::size_t i) {
    lines[i] = exposure_line(analyst, *positions[i], window);
  });
  drop_unworked(lines, reasons);
  note_unworked(
      reasons, [&](std::size_t i) { return positions[i]->key; }, answer.notes);
  const auto weight = [&](const ExposureLine& line) {
    return line.chance_fails * analyst.policy().cost_of_day(line.severity);
  };
  std::stable_sort(lines.begin(), lines.end(), [&](const ExposureLine& a, const ExposureLine& b) {
    return weight(a) > weight(b);
  });
  for (auto& line : lines) {
    auto& list = line.spares > 0           ? answer.spared
                 : line.workaround.empty() ? answer.uncovered
                                           : answer.worked_round;
    list.push_back(std::move(line));
  }
  return answer;
}

WeakAnswer advise_weak(const domain::Snapshot& snapshot, const Window& window) {
  const Analyst analyst(snapshot);
  auto answer = weak_answer(analyst, window);
  refuse_empty(analyst.catalogue().positions.size(),
               answer.uncovered.size() + answer.worked_round.size() + answer.spared.size(),
               answer.notes);
  return answer;
}

}  // namespace shearpin::advice
