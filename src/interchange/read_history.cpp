#include <array>
#include <tuple>

#include "base/text.hpp"
#include "interchange/read_rows.hpp"

namespace shearpin::interchange {
namespace {

/// Columns without which a line of a kind says nothing.
struct Needs {
  HistoryKind kind;
  std::array<std::string_view, 3> columns;
};

constexpr std::array kNeeds = {
    Needs{HistoryKind::failure, {"position"}},
    Needs{HistoryKind::repair, {"position"}},
    Needs{HistoryKind::service, {"position"}},
    Needs{HistoryKind::preventive, {"position"}},
    Needs{HistoryKind::expiry, {"position"}},
    Needs{HistoryKind::loss, {}},
    Needs{HistoryKind::test, {"position", "result"}},
    Needs{HistoryKind::fault_open, {"position", "fault"}},
    Needs{HistoryKind::fault_close, {"fault"}},
    Needs{HistoryKind::upstream_repair, {"position", "fault"}},
    Needs{HistoryKind::found_expired, {"part"}},
    Needs{HistoryKind::scrap, {"part"}},
    Needs{HistoryKind::use, {"part"}},
    Needs{HistoryKind::move, {"part", "from", "to"}},
    Needs{HistoryKind::fit, {"position"}},
    Needs{HistoryKind::stay, {"quantity"}},
    Needs{HistoryKind::quarantine, {"lot"}},
    Needs{HistoryKind::release, {"lot"}},
    Needs{HistoryKind::undo, {"undoes"}},
};

void check_needs(RowReader& row, HistoryKind kind) {
  for (const auto& needs : kNeeds) {
    if (needs.kind != kind) {
      continue;
    }
    for (const auto column : needs.columns) {
      if (!column.empty() && row.text(column).empty()) {
        row.refuse(column, "", "a line of kind " + std::string(to_text(kind)) + " needs it");
      }
    }
  }
  if (kind == HistoryKind::loss && row.text("position").empty() && row.text("part").empty()) {
    row.refuse("position", "", "a line of kind loss needs a position or a part");
  }
}

domain::PlaceState parse_left(std::string_view text) {
  const auto state = domain::parse_place_state(text);
  if (state == domain::PlaceState::empty || state == domain::PlaceState::fitted) {
    throw InputError(quoted(text) + ": a failed unit is left dead, workaround or stand-in");
  }
  return state;
}

bool parse_result(std::string_view text) {
  const auto word = lower_case(text);
  if (word != "pass" && word != "fail") {
    throw InputError(quoted(text) + ": a test has the result pass or fail");
  }
  return word == "pass";
}

}  // namespace

HistoryRow read_history(RowReader& row) {
  HistoryRow line;
  line.date = row.needed_date("date");
  row.needed("kind");
  line.kind = row.word("kind", parse_history_kind, HistoryKind::failure);
  if (!row.sound()) {
    return line;
  }
  check_needs(row, line.kind);
  line.id = row.text("id");
  line.recorded = row.date("recorded");
  if (line.recorded && *line.recorded < line.date) {
    row.refuse("recorded", row.text("recorded"), "written down before it happened");
  }
  std::tie(line.position, line.unit) = row.place();
  line.quantity = row.count("quantity", 1).value_or(1);
  line.part = row.text("part");
  line.lot = row.text("lot");
  line.from = row.text("from");
  line.to = row.text("to");
  line.keep = row.text("keep");
  line.cause = row.text("cause");
  line.fault = row.text("fault");
  line.since = row.date("since");
  line.stand_in = row.text("stand_in");
  line.left = row.text("left").empty()
                  ? std::nullopt
                  : std::optional(row.word("left", parse_left, domain::PlaceState::dead));
  if (!line.left && !line.stand_in.empty()) {
    line.left = domain::PlaceState::stand_in;
  }
  line.no_part = row.text("no_part");
  line.age = row.text("age");
  line.made = row.date("made");
  line.ends = row.date("ends");
  line.found_on_test = row.flag("found_on_test");
  line.last_good = row.date("last_good");
  line.passed = row.word("result", parse_result, true);
  line.reading = row.text("reading");
  line.undoes = row.text("undoes");
  line.note = row.text("note");
  return line;
}

}  // namespace shearpin::interchange
