#pragma once
/// A mean over played histories with its standard error. Private to the stocking module.

#include <algorithm>
#include <cmath>

namespace shearpin::stocking {

struct Tally {
  double sum = 0;
  double squares = 0;

  void add(double value) {
    sum += value;
    squares += value * value;
  }
  double mean(double runs) const { return sum / runs; }
  /// 0 for a single run.
  double error(double runs) const {
    const double variance = std::max(0.0, squares / runs - mean(runs) * mean(runs));
    return runs > 1 ? std::sqrt(variance / (runs - 1)) : 0;
  }
};

}  // namespace shearpin::stocking
