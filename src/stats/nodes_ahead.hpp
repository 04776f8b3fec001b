#pragma once
/// How closely the nodes of a posterior must lie for the chances of what lies ahead: many failures
/// at the short end of a belief want close nodes, counts that change from shape to shape close
/// rows.

#include <span>

#include "shearpin/stats/weibull_posterior.hpp"
#include "stats/log_density.hpp"

namespace shearpin::stats {

/// Failures ahead at the short end of what is believed, as far as nodes can resolve them with
/// that factor on the step between rows; see GridPlan::lives.
double lives_to_resolve(std::span<const ExposureAhead> ahead, const DensityMode& mode,
                        double ln_reference, double shape_step);

/// Factor on the step between rows: short stretches of many new units, or many old ones, count far
/// more failures for one shape than for the next; and where records tie the scale to the shape, the
/// next row has another scale too. At most 1.
double shape_step_for(std::span<const ExposureAhead> ahead, const LogPrior& prior,
                      const RecordTable& table, const DensityMode& mode);

/// No fewer failures than the exposure ahead would bring; smooth in the scale, and no steeper than
/// its inverse, where a hazard would fall with the power shape of it.
double most_failures(std::span<const ExposureAhead> ahead, double scale, double shape);

}  // namespace shearpin::stats
