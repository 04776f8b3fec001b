#pragma once
/// Tables out of a ledger, in the form in which `import` takes them into a fresh one.

#include <vector>

#include "interchange/csv.hpp"
#include "interchange/rows.hpp"
#include "shearpin/domain/snapshot.hpp"

namespace shearpin::interchange {

/// True for the kinds that say how things stand: master data, fitted, stock, readings, conditions
/// and orders. History, counts and trips are not written out: the backup of a ledger keeps them.
bool is_exportable(Kind kind);

/// The table of one kind, header first; only the header where there is nothing.
/// - master data: every field, retired things included;
/// - fitted: the units now in place, with the day they were fitted, their age then (`unknown` for
///   used ones of unknown age) and marked end, so that their exposure comes out the same; the words
///   of a stand-in come as no_part;
/// - stock: pieces in bins as lots, dated when they came;
/// - orders: completed ones with bin `none`, since what came is in the stock table; of an open one
///   what is still to come; cancelled ones left out. A completed order keeps its lead time.
/// std::logic_error for a kind that is not exportable.
std::vector<CsvLine> export_lines(Kind kind, const domain::Snapshot& snapshot);

}  // namespace shearpin::interchange
