#pragma once
/// The maximum of the likelihood, as the fits and their intervals start from it.

#include <span>

#include "shearpin/stats/weibull.hpp"
#include "stats/log_density.hpp"

namespace shearpin::stats {

/// Records ready for a fit, ages relative to the oldest one lived to. InputError: as check_records;
/// no failures; nothing that bounds the life.
RecordTable fit_table(std::span<const LifeRecord> records);

/// The best scale and shape, both without a prior. InputError when none is best.
DensityMode fit_mode(const RecordTable& table);

}  // namespace shearpin::stats
