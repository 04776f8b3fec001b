#pragma once
/// Reading import files: CSV as spreadsheets write it, checked as far as no ledger is needed.

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "interchange/rows.hpp"

namespace shearpin::interchange {

/// The kind that a file's name says: `parts.csv`, `07-parts.csv`, `Parts 2024.csv`,
/// `09-readings-odometer.csv`, `component-classes.csv`. Folders, ending, letter case and leading
/// digits and marks do not matter; a kind's word must begin what is left, else end it. None: the
/// name says nothing.
std::optional<Kind> kind_of_file(std::string_view path);

/// Reads one file. Never throws for what is in the bytes: everything that cannot be taken is a
/// refusal with its line, and everything ignored (columns of no meaning here) a warning. `name` is
/// used in refusals; `today` reads words such as `yesterday`. Cells of a semicolon file may have a
/// decimal comma; see docs/import-files.md. Rows keep the order of the file.
ImportFile read_import(std::string_view bytes, const std::string& name, Kind kind, Date today);

/// A row and the place in the list of files where it came from.
struct RowRef {
  std::size_t file = 0;
  const ImportRow* row = nullptr;
};

/// Rows of all files of one import in the order in which they must be applied: master data by kind
/// (a part's supplier and home bin come before it, a position's part before it), then everything
/// dated by its day, so that no piece is used before it came; on one day fitted, stock, readings,
/// conditions, orders, receipts, history, counts, else the order of files and lines; trips last.
/// Points into `files`.
std::vector<RowRef> in_order(std::span<const ImportFile> files);

/// Earliest day in the files, on which master data counts as recorded; none without dated rows.
std::optional<Date> first_day(std::span<const ImportFile> files);

}  // namespace shearpin::interchange
