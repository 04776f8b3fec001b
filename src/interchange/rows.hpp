#pragma once
/// Rows of import files: the words of their cells, checked as far as no ledger is needed. Names of
/// things stay as typed; they are resolved when a row is applied, as they would be on the command
/// line. The format is described in docs/import-files.md.

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "shearpin/base/date.hpp"

namespace shearpin::interchange {

/// What a file holds, in the order in which kinds without a date are applied.
enum class Kind {
  safety_notes,
  classes,
  rigs,
  meters,
  bins,
  suppliers,
  parts,
  positions,
  substitutes,  // master
  fitted,
  stock,
  readings,
  conditions,
  orders,
  history,
  counts,
  trips
};

/// `safety-notes`, `classes`, ... as in file names and `--kind`.
std::string_view to_text(Kind kind);
/// Throws InputError naming the word and the list.
Kind parse_kind(std::string_view text);
/// True for the kinds whose rows are things of master data.
bool is_master(Kind kind);

/// The kinds of history lines, `failure`, `fault-open` ... as they are written.
std::vector<std::string> history_kinds();

/// One refused value; an import with any refusal writes nothing.
struct Refusal {
  std::string file;
  std::size_t line = 0;  ///< physical line where the row begins, header = 1; 0: the whole file
  std::string column;    ///< as in docs/import-files.md; empty: the row
  std::string value;     ///< as met; empty: nothing there
  std::string rule;
  friend bool operator==(const Refusal&, const Refusal&) = default;
};

/// What one row tells. A line of an orders file gives an order, and a receipt where it has a day of
/// receipt; a line of a wide table a reading for each filled cell; a line of a trip a leg. On one
/// day rows are applied in this order: pieces arrive before they are used, and are counted after.
enum class RowKind {
  master,
  fitted,
  stock,
  reading,
  condition,
  order,
  receipt,
  history,
  count,
  leg
};

struct ImportRow {
  std::size_t line = 0;
  RowKind kind = RowKind::master;
  std::optional<Date> date;  ///< the day it tells of; none for master data and trips
  /// The filled cells by column. Dates (2026-08-03), yes and no and the words of lists are spelt as
  /// the program does; amounts have a point and, where their heading names one, a unit.
  std::vector<std::pair<std::string_view, std::string>> cells;
  std::int64_t said = 0;  ///< made of the words of the line: the same for the same words

  /// The cell of a column, hyphens and underscores being alike; nullptr where it is empty.
  const std::string* find(std::string_view column) const;
  /// The same; empty text where it is empty.
  const std::string& text(std::string_view column) const;
  void set(std::string_view column, std::string value);
};

/// A file as read: rows that are sound, and what was refused.
struct ImportFile {
  std::string name;
  Kind kind = Kind::parts;
  std::vector<ImportRow> rows;
  std::vector<Refusal> refusals;
  std::vector<std::string> warnings;
};

/// The pieces between semicolons, trimmed, empty ones left out.
std::vector<std::string> list_of(std::string_view cell);

}  // namespace shearpin::interchange
