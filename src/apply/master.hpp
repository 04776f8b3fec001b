#pragma once
/// Rows of master data: what is added, or changed where its key exists already.

#include "interchange/rows.hpp"
#include "shearpin/domain/draft.hpp"

namespace shearpin::apply {

/// The line of master data a row means: the thing added, or changed where its key exists already.
/// InputError as `KIND add`, naming the column.
domain::MasterLine master_line(const interchange::ImportRow& row, interchange::Kind kind,
                               const domain::Catalogue& catalogue);

}  // namespace shearpin::apply
