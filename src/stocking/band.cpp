#include "stocking/band.hpp"

namespace shearpin::stocking {

void Band::reset() {
  first_ = 0;
  values_.assign(1, 1.0);
}

void Band::multiply(std::size_t first, std::span<const double> with, double nothing) {
  scratch_.assign(values_.size() + with.size() - 1, 0.0);
  for (std::size_t i = 0; i < values_.size(); ++i) {
    const double value = values_[i];
    double* to = scratch_.data() + i;
    for (std::size_t j = 0; j < with.size(); ++j) {
      to[j] += value * with[j];
    }
  }
  values_.swap(scratch_);
  first_ += first;
  // Cut both ends: what is dropped is far below any stated tail.
  double cut = 0;
  while (values_.size() > 1 && cut + values_.back() < nothing) {
    cut += values_.back();
    values_.pop_back();
  }
  std::size_t low = 0;
  cut = 0;
  while (low + 1 < values_.size() && cut + values_[low] < nothing) {
    cut += values_[low++];
  }
  if (low > 16) {
    values_.erase(values_.begin(), values_.begin() + static_cast<std::ptrdiff_t>(low));
    first_ += low;
  }
}

void Band::add_to(Pmf& mixture, double weight) const {
  if (mixture.size() < first_ + values_.size()) {
    mixture.resize(first_ + values_.size(), 0.0);
  }
  for (std::size_t k = 0; k < values_.size(); ++k) {
    mixture[first_ + k] += weight * values_[k];
  }
}

void Band::multiply_copies(std::size_t first, std::span<const double> one, std::size_t copies,
                           double nothing) {
  if (copies == 1) {
    multiply(first, one, nothing);
    return;
  }
  Band power;
  power.multiply(first, one, nothing);
  for (;;) {
    if (copies & 1U) {
      multiply(power.first(), power.values(), nothing);
    }
    copies >>= 1U;
    if (copies == 0) {
      return;
    }
    const std::vector<double> same(power.values().begin(), power.values().end());
    power.multiply(power.first(), same, nothing);
  }
}

}  // namespace shearpin::stocking
