#include <fmt/format.h>

#include <algorithm>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_spare.hpp"
#include "domain/plan_stock.hpp"

namespace shearpin::domain {

using namespace planning;

namespace {

/// Movements of what was taken to one place outside, and the outcome told.
Plan pieces_plan(EntryDraft entry, const Snapshot& now, const PiecesRequest& request,
                 const std::vector<Taken>& taken, const std::string& why, Outside where_to) {
  Plan plan;
  for (const Taken& one : taken) {
    add_movement(entry, {*one.lot, one.pieces, *one.bin, where_to});
  }
  Fill told;
  told.taken = taken;
  told.why = why;
  told.notes = doubts(now, taken, request.when.on);
  add_fill_line(plan.outcome, told);
  plan.outcome.position = request.position;
  plan.entries.push_back(std::move(entry));
  add_stock_line(plan.outcome, now, plan.entries, request.part, request.when.on);
  return plan;
}

Plan taken_pieces(const Snapshot& now, const PiecesRequest& request, EntryKind kind,
                  Outside where_to) {
  check_when(request.when);
  check_pieces(request.pieces, now.catalogue->at(request.part).key);
  const bool lost = where_to == Outside::lost;
  Source source;
  source.bin = request.from;
  source.batch = request.batch;
  source.doubtful_too = request.from || lost;
  Shelf shelf(now, request.when.on);
  const std::string why = shelf.why_first(request.part, source);
  const std::vector<Taken> taken = shelf.take(request.part, request.pieces, source);
  EntryDraft entry = start_entry(kind, request.when);
  entry.usages.push_back({request.part, request.position, request.pieces, lost});
  add_note(entry, request.cause);
  return pieces_plan(std::move(entry), now, request, taken, why, where_to);
}

/// Least trusted first: expired, quarantined, then the others as they would be taken for use.
int doubt_rank(const StockLine& line, Date on) {
  return expired(line, on) ? 0 : line.quarantined ? 1 : 2;
}

std::vector<const StockLine*> scrap_order(const Snapshot& now, const PiecesRequest& request,
                                          bool only_expired) {
  const Date on = request.when.on;
  std::vector<const StockLine*> lines;
  for (const StockLine& line : now.stock) {
    const bool wanted = line.part == request.part && line.quantity > 0 &&
                        (!request.from || line.bin == *request.from) &&
                        (request.batch.empty() || line.batch == request.batch);
    if (wanted && (!only_expired || expired(line, on))) {
      lines.push_back(&line);
    }
  }
  std::stable_sort(lines.begin(), lines.end(), [&](const StockLine* a, const StockLine* b) {
    const bool a_ashore = now.catalogue->at(a->bin).ashore;
    const bool b_ashore = now.catalogue->at(b->bin).ashore;
    if (a_ashore != b_ashore) {
      return b_ashore;
    }
    const int a_rank = doubt_rank(*a, on);
    const int b_rank = doubt_rank(*b, on);
    return a_rank != b_rank ? a_rank < b_rank : taken_before(*a, *b);
  });
  return lines;
}

[[noreturn]] void refuse_scrap(const Snapshot& now, const PiecesRequest& request,
                               std::int64_t there, bool only_expired) {
  const std::string& key = now.catalogue->at(request.part).key;
  const std::string bin = request.from ? now.catalogue->at(*request.from).key : "BIN";
  std::string held = request.from ? fmt::format("{} holds {} of {}", bin, there, key)
                                  : fmt::format("the bins hold {} of {}", there, key);
  if (!request.batch.empty()) {
    held += " of batch " + request.batch;
  }
  if (only_expired) {
    held += fmt::format(" past their end on {}", to_text(request.when.on));
  }
  refuse(
      "{}, {} asked; throw away what is there, name another cause, or if more are there, post them "
      "first: count {} {} --in {}",
      held, request.pieces, key, request.pieces, bin);
}

}  // namespace

Plan plan_use(const Snapshot& now, const PiecesRequest& request) {
  return taken_pieces(now, request, EntryKind::use, Outside::consumed);
}

Plan plan_lose_pieces(const Snapshot& now, const PiecesRequest& request) {
  return taken_pieces(now, request, EntryKind::lose, Outside::lost);
}

Plan plan_scrap(const Snapshot& now, const PiecesRequest& request) {
  check_when(request.when);
  check_pieces(request.pieces, now.catalogue->at(request.part).key);
  const bool only_expired = request.cause == "expired";
  std::vector<Taken> taken;
  std::int64_t missing = request.pieces;
  for (const StockLine* line : scrap_order(now, request, only_expired)) {
    const std::int64_t some = std::min(missing, line->quantity);
    if (some > 0) {
      taken.push_back({line->part, line->lot, line->bin, some, line->state});
    }
    missing -= some;
  }
  if (missing > 0) {
    refuse_scrap(now, request, request.pieces - missing, only_expired);
  }
  EntryDraft entry = start_entry(EntryKind::scrap, request.when);
  add_note(entry, request.cause);
  const StockLine* first = line_of(now, *taken.front().lot);
  const std::string why = expired(*first, request.when.on) ? "expired"
                          : first->quarantined             ? "quarantined"
                                                           : "";
  return pieces_plan(std::move(entry), now, request, taken, why, Outside::scrapped);
}

}  // namespace shearpin::domain
