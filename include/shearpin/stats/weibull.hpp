#pragma once
/// Two-parameter Weibull life: survival R(a) = exp(-(a/scale)^shape).
/// Plain doubles: every age and exposure of one part is in that part's own exposure unit.

namespace shearpin::stats {

/// One pair of parameters; scale > 0 (the characteristic life), shape > 0.
struct Weibull {
  double scale;
  double shape;
};

/// What one life tells about a Weibull: see LifeRecord.
enum class LifeKind { failed, alive, interval, repaired };

/// One life record, ages in effective exposure (design: history of one unit).
/// failed:   failed at `exit`, under observation since `entry` (left truncation).
/// alive:    still alive at `exit` (right-censored), under observation since `entry`.
/// interval: failed in (lower, exit], under observation since `entry` <= lower.
/// repaired: minimal repair at age `exit`: adds ln h(exit) and nothing else; the life's own record
///           (alive, failed, or interval with `lower` not below the repair) carries the cumulative
///           hazard. A repair without it has no bounded likelihood.
struct LifeRecord {
  LifeKind kind = LifeKind::alive;
  double entry = 0;
  double lower = 0;  ///< only for interval
  double exit = 0;
};

/// One node of a posterior: a Weibull and its weight; the weights of a posterior sum to 1.
struct WeibullNode {
  double scale;
  double shape;
  double weight;
};

}  // namespace shearpin::stats
