/// Stores: order, receive, move, count.

#include <fmt/format.h>

#include "apply/requests.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/receipt.hpp"

namespace shearpin::cli {
namespace {

using ledger::Ledger;

/// "2 x p13 Blade fuse 15 A"
template <class Request>
std::string pieces_words(const Session& session, const Request& request) {
  return fmt::format("{} x {}", request.pieces, key_and_name(session.catalogue().at(request.part)));
}

int run_order(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto told = apply::order(arguments, session);
  return record_with_receipt(
      session, context, told.plan,
      fmt::format("Ordered: {} on {}.", pieces_words(session, told.request),
                  shearpin::to_text(told.request.when.on)),
      {"When it comes: shearpin receive " + session.catalogue().at(told.request.part).key + ' ' +
       std::to_string(told.request.pieces) + " --into BIN"});
}

int run_receive(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto told = apply::receive(arguments, session);
  return record_with_receipt(
      session, context, told.plan,
      fmt::format("Received: {} into {} on {}.", pieces_words(session, told.request),
                  session.catalogue().at(told.request.into).key,
                  shearpin::to_text(told.request.when.on)));
}

int run_move(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto told = apply::move(arguments, session);
  return record_with_receipt(
      session, context, told.plan,
      fmt::format("Moved: {} from {} to {} on {}.", pieces_words(session, told.request),
                  session.catalogue().at(told.request.from).key,
                  session.catalogue().at(told.request.to).key,
                  shearpin::to_text(told.request.when.on)));
}

int run_count(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto told = apply::count(arguments, session);
  const auto& request = told.request;
  const auto book = told.plan.outcome.book.value_or(0);
  const auto difference = request.pieces - book;
  return record_with_receipt(
      session, context, told.plan,
      fmt::format("Counted {} in {} on {}: {} (book {}{}).",
                  session.catalogue().at(request.part).key, session.catalogue().at(request.in).key,
                  shearpin::to_text(request.when.on), request.pieces, book,
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
  return {.name = "order",
          .group = kStores,
          .summary = "Note that pieces are on order",
          .details = "Example:\n  shearpin order p30 1 --supplier s4 --on 2026-05-18",
          .positionals = {kPart, kPieces},
          .options = {{"supplier", "KEY", "from whom (the part's usual one)", false},
                      kOn,
                      kPacks,
                      {"to", "STOP", "stop or bin it goes to", false},
                      {"cost", "MONEY", "per piece", false},
                      {"total", "MONEY", "for the line", false},
                      {"promised", "DATE", "day it was promised for", false},
                      {"number", "TEXT", "order number (else the next o<N>)", false},
                      kNote},
          .at_most_one = {{"cost", "total"}},
          .run = run_order};
}

CommandSpec receive_command() {
  return {
      .name = "receive",
      .group = kStores,
      .summary = "Pieces came, into a bin as a lot",
      .details =
          "An open order of the part is matched by itself where there is just one.\n\nExamples:\n"
          "  shearpin receive p30 1 --into b4\n  shearpin receive p13 --packs 1 --into b1 --total "
          "4.00",
      .positionals = {kPart, kPieces},
      .options = {{"into", "BIN", "where they go (the part's home bin)", false},
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
                  kNote},
      .at_most_one = {{"cost", "total"}, {"order", "no-order", "opening"}},
      .run = run_receive};
}

CommandSpec move_command() {
  return {.name = "move",
          .group = kStores,
          .summary = "Pieces go from one bin to another",
          .details = "Example:\n  shearpin move p04 2 --from b7 --to b2",
          .positionals = {kPart, kPieces},
          .options = {{"from", "BIN", "where they lie (needed)", false},
                      {"to", "BIN", "where they go (needed)", false},
                      kOn,
                      kPacks,
                      kBatch,
                      kNote},
          .run = run_move};
}

CommandSpec count_command() {
  return {.name = "count",
          .group = kStores,
          .summary = "Stocktake: what lies there; the difference is posted",
          .details = "Example:\n  shearpin count p12 7 --in b1 --why \"unknown\"",
          .positionals = {kPart, {"N", "pieces counted"}},
          .options = {{"in", "BIN", "the bin counted (the part's home bin)", false},
                      kOn,
                      {"why", "TEXT", "what explains a difference", false},
                      kNote},
          .run = run_count};
}

}  // namespace shearpin::cli
