#include <fmt/format.h>

#include <algorithm>

#include "advice/analyst.hpp"
#include "advice/fault_watch.hpp"
#include "advice/shared.hpp"
#include "base/text.hpp"
#include "shearpin/advice/advise.hpp"

namespace shearpin::advice {
namespace {

std::string note_key(const Analyst& analyst, const domain::Position& position) {
  const auto* its_class = analyst.catalogue().class_of(position);
  return its_class == nullptr ? std::string{} : its_class->safety_note;
}

void add_spares(const Analyst& analyst, PartId part, DownLine& line) {
  const auto stock = analyst.stock_of(part, analyst.snapshot().as_of);
  line.part = analyst.catalogue().at(part).key;
  line.aboard = stock.aboard;
  line.ashore = stock.ashore;
  line.on_order = stock.on_order;
  for (const auto& bin : stock.bins) {
    if (!bin.aboard && line.ashore_bin.empty()) {
      line.ashore_bin = bin.bin;
    }
  }
}

std::vector<DownLine> down_lines(const Analyst& analyst) {
  std::vector<DownLine> lines;
  const auto& catalogue = analyst.catalogue();
  for (const auto& open : analyst.snapshot().open_places) {
    const auto& position = catalogue.at(open.position);
    if (position.retired || open.state == domain::PlaceState::empty) {
      continue;
    }
    DownLine line;
    line.position = position.key;
    line.name = position.name;
    line.rig = catalogue.at(position.rig).key;
    line.unit = open.unit;
    line.several = position.units > 1;
    line.state = open.state;
    line.since = open.since;
    line.severity = catalogue.severity_of(position);
    line.getting_by = open.note.empty() && domain::Catalogue::has_workaround(position)
                          ? position.workaround
                          : open.note;
    if (position.part) {
      add_spares(analyst, *position.part, line);
    }
    if (line.getting_by.empty()) {
      const auto* kind = catalogue.class_of(position);
      line.class_advice = kind == nullptr ? "" : kind->workaround;
    }
    line.safety_note = note_key(analyst, position);
    lines.push_back(std::move(line));
  }
  std::stable_sort(lines.begin(), lines.end(),
                   [](const DownLine& a, const DownLine& b) { return a.severity < b.severity; });
  return lines;
}

/// Places that nothing was ever recorded as fitted at, and how to say what is there.
void add_never_fitted(const Analyst& analyst, std::vector<std::string>& notes) {
  std::vector<std::string> with_part, without;
  for (const auto& position : analyst.catalogue().positions) {
    if (position.retired) {
      continue;
    }
    for (const auto& unit : analyst.lives().now(position.id)) {
      if (unit.state == domain::PlaceState::empty) {
        (position.part ? with_part : without)
            .push_back(position.units > 1 ? fmt::format("{}/{}", position.key, unit.unit)
                                          : position.key);
      }
    }
  }
  if (!with_part.empty()) {
    notes.push_back(fmt::format(
        "Nothing is recorded as fitted at {}, so the advice takes a part as wanting there. If "
        "something is in place: shearpin fit {} --age unknown.",
        join_words(with_part), with_part.front()));
  }
  if (!without.empty()) {
    notes.push_back(fmt::format(
        "Nothing is recorded as fitted at {}. If something is in place: shearpin fit {} --no-part "
        "\"what it is\" --age unknown.",
        join_words(without), without.front()));
  }
}

void add_tests(const Analyst& analyst, Date until, std::vector<DueLine>& due) {
  for (const auto& test : domain::tests_due(analyst.snapshot())) {
    if (test.due > until) {
      continue;
    }
    const auto& position = analyst.catalogue().at(test.position);
    DueLine line;
    line.kind = DueLine::Kind::test;
    line.what = test.unit ? position.key + '/' + std::to_string(*test.unit) : position.key;
    line.name = position.name;
    line.due = test.due;
    line.detail = (test.tested ? "last passed " : "never tested, fitted ") +
                  shearpin::to_text(test.last_good);
    line.safety_note = note_key(analyst, position);
    due.push_back(std::move(line));
  }
}

void add_fitted_ends(const Analyst& analyst, Date until, std::vector<DueLine>& due) {
  for (const auto& life : analyst.snapshot().lives) {
    const auto& position = analyst.catalogue().at(life.position);
    if (life.end || !life.marked_end || *life.marked_end > until || position.retired) {
      continue;
    }
    DueLine line;
    line.kind = DueLine::Kind::marked_end;
    line.what = position.key;
    line.name = position.name;
    line.due = *life.marked_end;
    line.detail = "fitted unit's marked end";
    line.safety_note = note_key(analyst, position);
    due.push_back(std::move(line));
  }
}

void add_spare_ends(const Analyst& analyst, Date until, std::vector<DueLine>& due) {
  for (const auto& stock : analyst.snapshot().stock) {
    if (!stock.ends || *stock.ends > until) {
      continue;
    }
    const auto& part = analyst.catalogue().at(stock.part);
    DueLine line;
    line.kind = DueLine::Kind::spare_end;
    line.what = part.key;
    line.name = part.name;
    line.due = *stock.ends;
    line.detail = std::to_string(stock.quantity) + " in " + analyst.catalogue().at(stock.bin).key;
    const auto* its_class = analyst.catalogue().class_of(part);
    line.safety_note = its_class == nullptr ? std::string{} : its_class->safety_note;
    due.push_back(std::move(line));
  }
}

std::vector<DueLine> due_lines(const Analyst& analyst, int ahead_days) {
  const Date today = analyst.snapshot().as_of;
  std::vector<DueLine> due;
  add_tests(analyst, today + std::chrono::days(ahead_days), due);
  add_fitted_ends(analyst, today + std::chrono::days(ahead_days), due);
  add_spare_ends(analyst, today + std::chrono::days(ahead_days), due);
  for (auto& line : due) {
    line.days_over = days_between(line.due, today);
  }
  std::stable_sort(due.begin(), due.end(),
                   [](const DueLine& a, const DueLine& b) { return a.due < b.due; });
  return due;
}

std::vector<OpenOrderLine> open_orders(const Analyst& analyst) {
  std::vector<OpenOrderLine> lines;
  for (const auto& order : analyst.snapshot().orders) {
    if (order.completed || order.cancelled) {
      continue;
    }
    const auto& part = analyst.catalogue().at(order.part);
    const auto lead = analyst.lead_belief(order.part, domain::Severity::degraded);
    OpenOrderLine line;
    line.number = order.number;
    line.part = part.key;
    line.name = part.name;
    line.supplier = analyst.catalogue().at(order.supplier).key;
    line.quantity = order.quantity - order.received;
    line.ordered = order.ordered;
    line.days_waited = days_between(order.ordered, analyst.snapshot().as_of);
    line.chance_in_week = stats::chance_arrived(lead.posterior, line.days_waited, 7);
    lines.push_back(std::move(line));
  }
  return lines;
}

}  // namespace

NowAnswer now_answer(const Analyst& analyst, int ahead_days, BaseLines base) {
  NowAnswer answer;
  answer.as_of = analyst.snapshot().as_of;
  answer.down = down_lines(analyst);
  answer.due = due_lines(analyst, ahead_days);
  answer.orders = open_orders(analyst);
  auto ordered = reorder_answer(analyst, std::move(base), nullptr);
  answer.notes = std::move(ordered.notes);
  for (auto& line : ordered.lines) {
    if (line.wanted()) {
      answer.reorder.push_back(std::move(line));
    }
  }
  answer.signs = fault_signs(analyst, answer.notes);
  add_never_fitted(analyst, answer.notes);
  return answer;
}

std::optional<FaultSign> advise_fault(const domain::Snapshot& snapshot, PositionId position) {
  const Analyst analyst(snapshot);
  return fault_sign(analyst, analyst.catalogue().at(position));
}

NowAnswer advise_now(const domain::Snapshot& snapshot, int ahead_days) {
  const Analyst analyst(snapshot);
  return now_answer(analyst, ahead_days, base_lines(analyst, parts_asked(analyst, {})));
}

}  // namespace shearpin::advice
