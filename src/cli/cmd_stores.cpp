/// Stores: order, receive, move, count.

#include <fmt/format.h>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/receipt.hpp"
#include "domain/plan_orders.hpp"
#include "domain/plan_stock.hpp"
#include "report/display.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {
namespace {

using ledger::Ledger;

domain::Snapshot stores_snapshot(const Session& session, PartId part, Date day) {
  ledger::Scope scope;
  scope.parts = {part};
  scope.stores_only = true;
  return session.snapshot(day, scope);
}

/// Pieces, from N or from --packs and the part's pack.
std::int64_t pieces_of(const Arguments& arguments, const domain::Part& part) {
  if (const auto packs = arguments.text("packs")) {
    if (arguments.has("N")) {
      throw UsageError("give pieces or --packs, not both; example: shearpin order p13 --packs 2");
    }
    return parse_count(*packs, "packs") * part.pack;
  }
  return parse_count(arguments.required("N"), "pieces");
}

std::string pieces_words(std::int64_t pieces, const domain::Part& part) {
  return fmt::format("{} x {}", pieces, key_and_name(part));
}

int run_order(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  domain::OrderRequest request;
  request.part = session.part(arguments.required("PART"));
  const auto& part = session.catalogue().at(request.part);
  request.pieces = pieces_of(arguments, part);
  if (const auto supplier = arguments.text("supplier")) {
    request.supplier = session.supplier(*supplier);
  }
  request.when = when_of_options(arguments, session);
  request.number = arguments.text("number").value_or("");
  request.to = arguments.text("to").value_or("");
  if (const auto cost = arguments.text("cost")) {
    request.cost_each = parse_money(*cost);
  }
  if (const auto total = arguments.text("total")) {
    request.total = parse_money(*total);
  }
  if (const auto promised = arguments.text("promised")) {
    request.promised = parse_date(*promised, session.today());
  }
  const auto plan = domain::plan_order(stores_snapshot(session, part.id, request.when.on), request);
  return record_with_receipt(session, context, plan,
                             fmt::format("Ordered: {} on {}.", pieces_words(request.pieces, part),
                                         shearpin::to_text(request.when.on)),
                             {"When it comes: shearpin receive " + part.key + ' ' +
                              std::to_string(request.pieces) + " --into BIN"});
}

int run_receive(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  domain::ReceiveRequest request;
  request.part = session.part(arguments.required("PART"));
  const auto& part = session.catalogue().at(request.part);
  request.pieces = pieces_of(arguments, part);
  if (const auto bin = arguments.text("into")) {
    request.into = session.bin(*bin);
  } else if (part.home_bin) {
    request.into = *part.home_bin;
  } else {
    throw UsageError(
        fmt::format("--into is needed: {} has no home bin; example: shearpin receive {} "
                    "5 --into locker",
                    part.key, part.key));
  }
  request.when = when_of_options(arguments, session);
  const auto snapshot = stores_snapshot(session, part.id, request.when.on);
  if (const auto number = arguments.text("order")) {
    for (const auto& order : snapshot.orders) {
      if (order.part == part.id && lower_case(order.number) == lower_case(*number)) {
        request.order = order.id;
      }
    }
    if (!request.order) {
      throw InputError(fmt::format("no order {} of {} on {}; see: shearpin now", *number, part.key,
                                   shearpin::to_text(request.when.on)));
    }
  }
  request.no_order = arguments.flag("no-order");
  request.opening = arguments.flag("opening");
  request.batch = arguments.text("batch").value_or("");
  if (const auto cost = arguments.text("cost")) {
    request.cost_each = parse_money(*cost);
  }
  if (const auto total = arguments.text("total")) {
    request.total = parse_money(*total);
  }
  if (const auto made = arguments.text("made")) {
    request.made = parse_date(*made, session.today());
  }
  if (const auto ends = arguments.text("ends")) {
    request.ends = parse_date(*ends, session.today());
  }
  if (const auto state = arguments.text("condition")) {
    request.state = domain::parse_lot_state(*state);
  }
  if (const auto age = arguments.text("age")) {
    request.age = parse_number(*age, "age");
  }
  const auto plan = domain::plan_receive(snapshot, request);
  return record_with_receipt(
      session, context, plan,
      fmt::format("Received: {} into {} on {}.", pieces_words(request.pieces, part),
                  session.catalogue().at(request.into).key, shearpin::to_text(request.when.on)));
}

int run_move(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  domain::MoveRequest request;
  request.part = session.part(arguments.required("PART"));
  const auto& part = session.catalogue().at(request.part);
  request.pieces = pieces_of(arguments, part);
  request.from = session.bin(arguments.required("from"));
  request.to = session.bin(arguments.required("to"));
  request.batch = arguments.text("batch").value_or("");
  request.when = when_of_options(arguments, session);
  const auto plan = domain::plan_move(stores_snapshot(session, part.id, request.when.on), request);
  return record_with_receipt(
      session, context, plan,
      fmt::format("Moved: {} from {} to {} on {}.", pieces_words(request.pieces, part),
                  session.catalogue().at(request.from).key, session.catalogue().at(request.to).key,
                  shearpin::to_text(request.when.on)));
}

int run_count(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  domain::CountRequest request;
  request.part = session.part(arguments.required("PART"));
  const auto& part = session.catalogue().at(request.part);
  request.pieces = parse_count(arguments.required("N"), "pieces counted", 0);
  if (const auto bin = arguments.text("in")) {
    request.in = session.bin(*bin);
  } else if (part.home_bin) {
    request.in = *part.home_bin;
  } else {
    throw UsageError(
        fmt::format("--in is needed; example: shearpin count {} 4 --in locker", part.key));
  }
  request.why = arguments.text("why").value_or("");
  request.when = when_of_options(arguments, session);
  const auto plan = domain::plan_count(stores_snapshot(session, part.id, request.when.on), request);
  const auto book = plan.outcome.book.value_or(0);
  const auto difference = request.pieces - book;
  return record_with_receipt(
      session, context, plan,
      fmt::format("Counted {} in {} on {}: {} (book {}{}).", part.key,
                  session.catalogue().at(request.in).key, shearpin::to_text(request.when.on),
                  request.pieces, book,
                  difference == 0 ? ", it agrees" : fmt::format(", difference {:+}", difference)));
}

const OptionSpec kOn{"on", "DATE", "day it happened (today)", false};
const OptionSpec kNote{"note", "TEXT", "a remark", false};
const OptionSpec kPacks{"packs", "N", "packs instead of pieces", false};
const OptionSpec kBatch{"batch", "TEXT", "batch or lot mark", false};
const PositionalSpec kPart{"PART", "key, name or words of it"};
const PositionalSpec kPieces{"N", "pieces (or give --packs)", false};

}  // namespace

CommandSpec order_command() {
  CommandSpec spec;
  spec.name = "order";
  spec.group = kStores;
  spec.summary = "Note that pieces are on order";
  spec.details = "Example:\n  shearpin order p30 1 --supplier s4 --on 2026-05-18";
  spec.positionals = {kPart, kPieces};
  spec.options = {{"supplier", "KEY", "from whom (the part's usual one)", false},
                  kOn,
                  kPacks,
                  {"to", "STOP", "stop or bin it goes to", false},
                  {"cost", "MONEY", "per piece", false},
                  {"total", "MONEY", "for the line", false},
                  {"promised", "DATE", "day it was promised for", false},
                  {"number", "TEXT", "order number (else the next o<N>)", false},
                  kNote};
  spec.at_most_one = {{"cost", "total"}};
  spec.run = run_order;
  return spec;
}

CommandSpec receive_command() {
  CommandSpec spec;
  spec.name = "receive";
  spec.group = kStores;
  spec.summary = "Pieces came, into a bin as a lot";
  spec.details =
      "An open order of the part is matched by itself where there is just one.\n\nExamples:\n"
      "  shearpin receive p30 1 --into b4\n  shearpin receive p13 --packs 1 --into b1 --total 4.00";
  spec.positionals = {kPart, kPieces};
  spec.options = {{"into", "BIN", "where they go (the part's home bin)", false},
                  kOn,
                  kPacks,
                  {"order", "ID", "the order they belong to", false},
                  {"no-order", "", "they belong to no order", false},
                  {"cost", "MONEY", "per piece", false},
                  {"total", "MONEY", "for the line", false},
                  kBatch,
                  {"made", "DATE", "date of manufacture", false},
                  {"ends", "DATE", "marked end", false},
                  {"condition", "STATE", "new, repaired or worn", false},
                  {"age", "N", "use a worn piece has behind it, in its own unit", false},
                  {"opening", "", "was aboard before the ledger began", false},
                  kNote};
  spec.at_most_one = {{"cost", "total"}, {"order", "no-order", "opening"}};
  spec.run = run_receive;
  return spec;
}

CommandSpec move_command() {
  CommandSpec spec;
  spec.name = "move";
  spec.group = kStores;
  spec.summary = "Pieces go from one bin to another";
  spec.details = "Example:\n  shearpin move p04 2 --from b7 --to b2";
  spec.positionals = {kPart, kPieces};
  spec.options = {{"from", "BIN", "where they lie (needed)", false},
                  {"to", "BIN", "where they go (needed)", false},
                  kOn,
                  kPacks,
                  kBatch,
                  kNote};
  spec.run = run_move;
  return spec;
}

CommandSpec count_command() {
  CommandSpec spec;
  spec.name = "count";
  spec.group = kStores;
  spec.summary = "Stocktake: what lies there; the difference is posted";
  spec.details = "Example:\n  shearpin count p12 7 --in b1 --why \"unknown\"";
  spec.positionals = {kPart, {"N", "pieces counted"}};
  spec.options = {{"in", "BIN", "the bin counted (the part's home bin)", false},
                  kOn,
                  {"why", "TEXT", "what explains a difference", false},
                  kNote};
  spec.run = run_count;
  return spec;
}

}  // namespace shearpin::cli
