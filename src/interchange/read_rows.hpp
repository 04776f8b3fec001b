#pragma once
/// From the cells of a line to the rows it stands for, by the rules of its kind.

#include "interchange/row_reader.hpp"

namespace shearpin::interchange {

/// Adds what the row holds to `out.rows`, or refusals to `out.refusals`.
void read_row(const Layout& layout, const CsvRow& row, ImportFile& out);

}  // namespace shearpin::interchange
