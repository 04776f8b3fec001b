#pragma once
/// One reader for each kind of row.

#include "interchange/row_reader.hpp"

namespace shearpin::interchange {

/// Adds what the row holds to `out.rows`, or refusals to `out.refusals`.
void read_row(const Layout& layout, const CsvRow& row, ImportFile& out);

/// Reads a history line; in a file of its own because of its many rules.
HistoryRow read_history(RowReader& row);

}  // namespace shearpin::interchange
