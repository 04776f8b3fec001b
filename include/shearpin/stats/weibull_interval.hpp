#pragma once
/// Likelihood-ratio intervals beside the maximum-likelihood Weibull fit.

#include <optional>
#include <span>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stats {

/// Ends of an interval; an end that does not exist is empty: the likelihood never falls far enough
/// on that side, so the record alone sets no limit there (below: 0, above: no bound).
struct LifeInterval {
  std::optional<double> lower;
  std::optional<double> upper;
};

/// All values v of the quantity for which twice the drop of the likelihood, maximised over lives
/// with that v, from its maximum is at most the chi-square quantile with one degree of freedom at
/// `level` in (0, 1). Two-sided; coverage near `level` even for few failures, and the same whatever
/// the quantity's scale. Records: as weibull_fit takes them (right-censored, left-truncated,
/// interval, repaired); any order.
///
/// The lives that hold out form a region of (ln scale, ln shape). For each shape it is one stretch
/// of scales, whose ends are bracketed roots; the interval's ends are the extremes of the quantity
/// over the region's border. Shapes from 1/8000 to 8000 are searched; a limit that runs into these
/// is none. Accuracy: 1e-9 relative where the end exists.
/// InputError: as weibull_fit (no failures, no best life), or `level` outside its domain.
/// Source: Meeker and Escobar 1998, ch. 8 (from memory). Checked in
/// tests/reference/stats/weibull_interval.csv.
LifeInterval scale_interval(std::span<const LifeRecord> records, double level);
LifeInterval shape_interval(std::span<const LifeRecord> records, double level);

}  // namespace shearpin::stats
