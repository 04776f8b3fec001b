#pragma once
/// Number of failures of one position over a stretch of use when its Weibull is known:
/// every failed unit is replaced at once by a new one (renewal process).

#include "shearpin/stats/weibull.hpp"
#include "stocking/distribution.hpp"

namespace shearpin::stocking {

/// Distribution of the number of failures over `exposure` of a position whose unit has age `age`
/// now: delayed renewal process (Cox 1962, ch. 2); the first life is the residual one.
/// age, exposure >= 0, in the unit of life.scale. exposure 0: no failure. Shape 1: Poisson.
/// Domain: shape 0.05 to 200; accuracy 1e-8 for shape 0.5 to 8, ages and exposures to 50 lives.
/// InputError for values outside these; NumericError past 100 000 lives.
Pmf renewal_count(const stats::Weibull& life, double age, double exposure);

/// Expected number of failures over `exposure` of a position that starts with a new unit (the
/// renewal function). Same domain and errors.
double renewal_function(const stats::Weibull& life, double exposure);

}  // namespace shearpin::stocking
