#include <fmt/format.h>

#include <algorithm>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_spare.hpp"
#include "domain/plan_stock.hpp"

namespace shearpin::domain {

using namespace planning;

Plan plan_move(const Snapshot& now, const MoveRequest& request) {
  check_when(request.when);
  const Catalogue& catalogue = *now.catalogue;
  check_pieces(request.pieces, catalogue.at(request.part).key);
  if (request.from == request.to) {
    refuse("--from and --to are both {}; name two bins", catalogue.at(request.from).key);
  }
  Source source;
  source.bin = request.from;
  source.batch = request.batch;
  source.doubtful_too = true;
  Shelf shelf(now, request.when.on);
  Fill told;
  told.why = shelf.why_first(request.part, source);
  told.taken = shelf.take(request.part, request.pieces, source);
  Plan plan;
  EntryDraft entry = start_entry(EntryKind::move, request.when);
  for (const Taken& one : told.taken) {
    add_movement(entry, {*one.lot, one.pieces, request.from, request.to});
    const StockLine* line = line_of(now, *one.lot);
    if (!sound(*line, request.when.on)) {
      add_notes(plan.outcome.notes,
                {fmt::format("{} of them {} and no spares", one.pieces,
                             line->quarantined ? "are quarantined" : "are past their end")});
    }
  }
  add_fill_line(plan.outcome, told);
  plan.entries.push_back(std::move(entry));
  add_stock_line(plan.outcome, now, plan.entries, request.part, request.when.on);
  return plan;
}

namespace {

std::vector<const StockLine*> oldest_first(const Snapshot& now, PartId part, BinId bin) {
  std::vector<const StockLine*> lines;
  for (const StockLine& line : now.stock) {
    if (line.part == part && line.bin == bin && line.quantity > 0) {
      lines.push_back(&line);
    }
  }
  std::stable_sort(lines.begin(), lines.end(), [](const StockLine* a, const StockLine* b) {
    return a->received != b->received ? a->received < b->received : a->lot < b->lot;
  });
  return lines;
}

void post_shortage(EntryDraft& entry, const std::vector<const StockLine*>& lines,
                   std::int64_t missing) {
  for (const StockLine* line : lines) {
    const std::int64_t some = std::min(missing, line->quantity);
    if (some > 0) {
      add_movement(entry, {line->lot, some, line->bin, Outside::count_difference});
    }
    missing -= some;
  }
}

void post_surplus(EntryDraft& entry, Outcome& outcome, const Snapshot& now,
                  const CountRequest& request, std::int64_t found) {
  LotDraft lot;
  lot.part = request.part;
  entry.lots.push_back(lot);
  add_movement(entry,
               {NewLot{entry.lots.size() - 1}, found, Outside::count_difference, request.in});
  if (now.catalogue->shelf_life_of(now.catalogue->at(request.part))) {
    outcome.notes.push_back(
        fmt::format("{} found bear no date in the ledger although {} keeps for a "
                    "limited time; look at their marks",
                    counted(found, "piece"), now.catalogue->at(request.part).key));
  }
}

}  // namespace

Plan plan_count(const Snapshot& now, const CountRequest& request) {
  check_when(request.when);
  const Catalogue& catalogue = *now.catalogue;
  const std::string& key = catalogue.at(request.part).key;
  if (request.pieces < 0 || request.pieces > 1'000'000) {
    refuse("{} pieces of {}: a count is from 0 to 1000000, such as 7", request.pieces, key);
  }
  const std::vector<const StockLine*> lines = oldest_first(now, request.part, request.in);
  std::int64_t book = 0;
  for (const StockLine* line : lines) {
    book += line->quantity;
  }
  Plan plan;
  EntryDraft entry = start_entry(EntryKind::count, request.when);
  if (request.pieces < book) {
    post_shortage(entry, lines, book - request.pieces);
  } else if (request.pieces > book) {
    post_surplus(entry, plan.outcome, now, request, request.pieces - book);
  }
  add_note(entry, request.why);
  add_note(entry, fmt::format("{} in {}: counted {}, book {}", key, catalogue.at(request.in).key,
                              request.pieces, book));
  plan.outcome.book = book;
  plan.outcome.counted = request.pieces;
  plan.entries.push_back(std::move(entry));
  add_stock_line(plan.outcome, now, plan.entries, request.part, request.when.on);
  return plan;
}

}  // namespace shearpin::domain
