#include "stocking/band.hpp"

#include <algorithm>
#include <array>

namespace shearpin::stocking {

void Band::reset() {
  first_ = 0;
  values_.assign(1, 1.0);
}

void Band::multiply(std::size_t first, std::span<const double> with, double tail_cutoff) {
  if (values_.size() == 1 && values_.front() == 1) {
    values_.assign(with.begin(), with.end());
  } else {
    multiply_values(with);
  }
  first_ += first;
  // Cut both ends: what is dropped is far below any stated tail.
  double cut = 0;
  while (values_.size() > 1 && cut + values_.back() < tail_cutoff) {
    cut += values_.back();
    values_.pop_back();
  }
  std::size_t low = 0;
  cut = 0;
  while (low + 1 < values_.size() && cut + values_[low] < tail_cutoff) {
    cut += values_[low++];
  }
  if (low > 16) {
    values_.erase(values_.begin(), values_.begin() + static_cast<std::ptrdiff_t>(low));
    first_ += low;
  }
}

// Four results at a time, each a sum of products in its own place: the compiler makes wide
// instructions of it, and nothing written is read again.
void Band::multiply_values(std::span<const double> with) {
  constexpr std::size_t kWide = 4;
  const std::size_t own = values_.size();
  const std::size_t size = own + with.size() - 1;
  with_.assign(with.size() + 2 * (kWide - 1), 0.0);
  std::copy(with.begin(), with.end(), with_.begin() + (kWide - 1));
  scratch_.resize((size + kWide - 1) / kWide * kWide);
  for (std::size_t k = 0; k < size; k += kWide) {
    const std::size_t low = k + 1 > with.size() ? k + 1 - with.size() : 0;
    const std::size_t end = std::min(own, k + kWide);
    std::array<double, kWide> sums{};
    for (std::size_t i = low; i < end; ++i) {
      const double* from = with_.data() + (k + kWide - 1 - i);
      for (std::size_t l = 0; l < kWide; ++l) sums[l] += values_[i] * from[l];
    }
    std::copy(sums.begin(), sums.end(), scratch_.begin() + static_cast<std::ptrdiff_t>(k));
  }
  scratch_.resize(size);
  values_.swap(scratch_);
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
                           double tail_cutoff) {
  if (copies == 1) {
    multiply(first, one, tail_cutoff);
    return;
  }
  Band power;
  power.multiply(first, one, tail_cutoff);
  for (;;) {
    if (copies & 1U) {
      multiply(power.first(), power.values(), tail_cutoff);
    }
    copies >>= 1U;
    if (copies == 0) {
      return;
    }
    const std::vector<double> same(power.values().begin(), power.values().end());
    power.multiply(power.first(), same, tail_cutoff);
  }
}

}  // namespace shearpin::stocking
