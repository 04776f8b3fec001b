#pragma once
/// A distribution under construction, kept where it is above a cutoff.

#include <cstddef>
#include <span>
#include <vector>

#include "stocking/distribution.hpp"

namespace shearpin::stocking {

/// Values from `first` on; below it, nothing. Starts as no demand.
class Band {
 public:
  Band() : first_(0), values_{1.0} {}

  void reset();
  /// Adds an independent count with these values from `first` on; ends below `tail_cutoff` are cut.
  void multiply(std::size_t first, std::span<const double> with, double tail_cutoff);
  /// The same for `copies` >= 1 such counts.
  void multiply_copies(std::size_t first, std::span<const double> one, std::size_t copies,
                       double tail_cutoff);
  /// mixture += weight x this, growing as needed.
  void add_to(Pmf& mixture, double weight) const;

  std::size_t first() const { return first_; }
  std::span<const double> values() const { return values_; }

 private:
  void multiply_values(std::span<const double> with);

  std::size_t first_;
  std::vector<double> values_;
  std::vector<double> with_;
  std::vector<double> scratch_;
};

}  // namespace shearpin::stocking
