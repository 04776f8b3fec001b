#include "domain/plan_fault.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_support.hpp"

namespace shearpin::domain {

using namespace planning;

namespace {

const Fault& fault_of(const Snapshot& now, FaultId id, Date on) {
  const auto fault = std::find_if(now.faults.begin(), now.faults.end(),
                                  [&](const Fault& one) { return one.id == id; });
  if (fault == now.faults.end() || fault->opened > on) {
    refuse("that fault was not open yet on {}; name one that was, or leave the fault out",
           to_text(on));
  }
  return *fault;
}

/// Failures of the position from `since` to `until` that no fault is blamed for.
std::vector<AttributeLine> failures_between(const Snapshot& now, PositionId position,
                                            const std::string& fault, Date since, Date until) {
  std::vector<AttributeLine> lines;
  for (const UnitLife& life : now.lives) {
    const bool failed = life.end && (life.end->kind == EndKind::failed ||
                                     life.end->kind == EndKind::failed_on_test);
    if (life.position == position && failed && !life.end->fault && life.end->date >= since &&
        life.end->date <= until) {
      lines.push_back({fault, life.id});
    }
  }
  return lines;
}

void check_since(Date since, const When& when) {
  if (since > when.on) {
    refuse("--since {} lies after {}; give the day of the first failure that the fault explains",
           to_text(since), to_text(when.on));
  }
}

}  // namespace

Plan plan_fault_open(const Snapshot& now, const FaultOpenRequest& request) {
  check_when(request.when);
  const std::string key = parse_key(request.key, "fault");
  const auto same = std::find_if(now.faults.begin(), now.faults.end(),
                                 [&](const Fault& one) { return one.key == key; });
  if (same != now.faults.end()) {
    refuse("fault {} was opened on {} already; take another key, such as {}-2", key,
           to_text(same->opened), key);
  }
  Plan plan;
  plan.outcome.position = request.position;
  EntryDraft opening = start_entry(EntryKind::fault_open, request.when);
  FaultLine line;
  line.key = key;
  line.position = request.position;
  line.note = request.when.note;
  opening.faults.push_back(line);
  plan.entries.push_back(std::move(opening));
  if (!request.since) {
    return plan;
  }
  check_since(*request.since, request.when);
  EntryDraft blame = start_entry(EntryKind::attribute, request.when);
  blame.attributions =
      failures_between(now, request.position, key, *request.since, request.when.on);
  const std::size_t count = blame.attributions.size();
  if (count > 0) {
    plan.entries.push_back(std::move(blame));
  }
  plan.outcome.notes.push_back(fmt::format("{} since {} set down to it",
                                           counted(static_cast<long long>(count), "failure"),
                                           to_text(*request.since)));
  return plan;
}

Plan plan_fault_close(const Snapshot& now, const FaultCloseRequest& request) {
  check_when(request.when);
  const Fault& fault = fault_of(now, request.fault, request.when.on);
  if (fault.closed) {
    refuse("fault {} was closed on {} already", fault.key, to_text(*fault.closed));
  }
  Plan plan;
  if (request.renew) {
    plan = plan_renew(now, *request.renew);
  }
  plan.outcome.position = fault.position;
  EntryDraft closing = start_entry(EntryKind::fault_close, request.when);
  FaultLine line;
  line.key = fault.key;
  line.closes = true;
  line.note = request.when.note;
  closing.faults.push_back(line);
  plan.entries.insert(plan.entries.begin(), std::move(closing));
  return plan;
}

Plan plan_attribute(const Snapshot& now, const AttributeRequest& request) {
  check_when(request.when);
  check_since(request.since, request.when);
  const Fault& fault = fault_of(now, request.fault, request.when.on);
  Plan plan;
  plan.outcome.position = request.position;
  EntryDraft entry = start_entry(EntryKind::attribute, request.when);
  entry.attributions = failures_between(now, request.position, fault.key, request.since,
                                        request.until.value_or(request.when.on));
  if (entry.attributions.empty()) {
    refuse("{} has no failure since {} that is not set down to a fault already",
           now.catalogue->at(request.position).key, to_text(request.since));
  }
  plan.entries.push_back(std::move(entry));
  return plan;
}

}  // namespace shearpin::domain
