#include "apply/commands.hpp"

#include <algorithm>
#include <map>
#include <stdexcept>

namespace shearpin::apply {
namespace {

using interchange::ImportRow;
using interchange::RowKind;

template <auto Request>
domain::Plan plan_of(const Arguments& words, Resolver& who) {
  return Request(words, who).plan;
}

using Words = std::vector<std::pair<std::string_view, std::string>>;

const Words kEverywhere{
    {"position", "POSITION"}, {"part", "PART"}, {"quantity", "N"}, {"lot", "batch"}};
const Words kAtUnits{{"part", "with"}, {"quantity", "count"}};
const Words kPieces{{"position", "at"}};

/// By the kind of row, of history by the kind of line.
const std::map<std::string_view, Command>& all_commands() {
  static const std::map<std::string_view, Command> commands{
      {"fitted", {plan_of<fit>}},
      {"stock", {plan_of<receive>, {{"bin", "into"}, {"state", "condition"}}, {"opening", ""}}},
      {"reading", {plan_of<reading>, {{"meter", "METER"}, {"value", "VALUE"}}}},
      {"condition", {plan_of<condition>, {{"condition", "NAME"}}}},
      {"order", {plan_of<order>, {{"cost", "total"}}}},
      {"receipt", {plan_of<receive>, {{"bin", "into"}, {"state", "condition"}, {"cost", "total"}}}},
      {"count", {plan_of<count>, {{"bin", "in"}, {"counted", "N"}}}},
      {"failure", {plan_of<fail>, kAtUnits}},
      {"repair", {plan_of<fail>, {{"part", "with"}, {"quantity", "pieces"}}, {"repaired", ""}}},
      {"service", {plan_of<renew>, kAtUnits}},
      {"preventive", {plan_of<renew>, kAtUnits}},
      {"expiry", {plan_of<renew>, kAtUnits, {"expired", ""}}},
      {"loss", {plan_of<lose_pieces>}},
      {"loss of a unit", {plan_of<lose_unit>, kAtUnits}},
      {"test", {plan_of<test>, {{"result", "RESULT"}}}},
      {"fault-open", {plan_of<open_fault>}},
      {"fault-close", {plan_of<close_fault>, kAtUnits}},
      {"upstream-repair", {plan_of<close_fault>, kAtUnits}},
      {"found-expired", {plan_of<scrap>, kPieces, {"cause", "expired"}}},
      {"scrap", {plan_of<scrap>, kPieces}},
      {"use", {plan_of<use>, kPieces}},
      {"move", {plan_of<move>}},
      {"fit", {plan_of<fit>}},
      {"stay", {plan_of<stay>, {{"quantity", "NIGHTS"}, {"to", "at"}}}},
      {"quarantine", {plan_of<quarantine>}},
      {"release", {plan_of<quarantine>, {}, {"lift", ""}}},
  };
  return commands;
}

std::string_view meaning(const ImportRow& row) {
  switch (row.kind) {
    case RowKind::fitted:
      return "fitted";
    case RowKind::stock:
      return "stock";
    case RowKind::reading:
      return "reading";
    case RowKind::condition:
      return "condition";
    case RowKind::order:
      return "order";
    case RowKind::receipt:
      return "receipt";
    case RowKind::count:
      return "count";
    case RowKind::history: {
      const std::string_view kind = row.text("kind");
      return kind == "loss" && row.find("position") != nullptr ? "loss of a unit" : kind;
    }
    case RowKind::master:
    case RowKind::leg:
      break;
  }
  throw std::logic_error("a row without a day taken for a command");
}

const std::string* word_for(const Words& words, std::string_view column) {
  const auto found = std::find_if(words.begin(), words.end(),
                                  [column](const auto& word) { return word.first == column; });
  return found == words.end() ? nullptr : &found->second;
}

std::string word_for(const Command& command, std::string_view column) {
  if (const auto* word = word_for(command.words, column)) {
    return *word;
  }
  if (const auto* word = word_for(kEverywhere, column)) {
    return *word;
  }
  std::string word(column);
  std::replace(word.begin(), word.end(), '_', '-');
  return word;
}

void add(Arguments& words, const std::string& name, const std::string& value) {
  value.empty() ? words.add_flag(name) : words.add(name, value);
}

}  // namespace

const Command& command_of(const ImportRow& row) { return all_commands().at(meaning(row)); }

Arguments words_of(const ImportRow& row, const Command& command) {
  Arguments words;
  if (!command.always.first.empty()) {
    add(words, command.always.first, command.always.second);
  }
  for (const auto& [column, cell] : row.cells) {
    const bool in_place = column == "position" && row.find("unit") != nullptr;
    words.add(word_for(command, column), in_place ? cell + '/' + row.text("unit") : cell);
  }
  const auto& left = row.text("left");
  if (left == "dead" || left == "workaround") {
    words.add_flag(left == "dead" ? "left-dead" : "workaround");
  } else if (left == "stand-in") {
    words.add("stand-in", row.text("stand_in"));
  }
  words.add("on", shearpin::to_text(*row.date));
  words.add("recorded", shearpin::to_text(*row.date));
  return words;
}

}  // namespace shearpin::apply
