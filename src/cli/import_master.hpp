#pragma once
/// Rows of master data: what is added, or changed where its key exists already.

#include "domain/plan.hpp"
#include "interchange/import.hpp"

namespace shearpin::cli {

/// The line of master data a row means: the thing added, or changed where its key exists already.
/// InputError as `KIND add`.
domain::MasterLine master_line(const interchange::MasterRow& row, interchange::Kind kind,
                               const domain::Catalogue& catalogue);

}  // namespace shearpin::cli
