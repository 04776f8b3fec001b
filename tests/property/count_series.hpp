#pragma once
/// The number of Weibull lives that end within z scales, by its power series: McShane, Adrian,
/// Bradlow and Fader 2008, Count models based on Weibull interarrival times, J. Business & Economic
/// Statistics 26, 369-378 (volume and pages from memory). Terms alternate, so it is good to
/// 1e-10 only where `reaches` says so.

#include <algorithm>
#include <cmath>
#include <vector>

namespace entered {

class CountSeries {
 public:
  CountSeries(double shape, std::size_t most) : shape_(shape) {
    std::vector<long double> ratio(kTerms);
    for (std::size_t j = 0; j < kTerms; ++j) {
      const auto x = static_cast<long double>(j);
      ratio[j] =
          std::exp(std::lgamma(static_cast<long double>(shape) * x + 1) - std::lgamma(x + 1));
    }
    factors_.push_back(ratio);
    for (std::size_t n = 0; n < most; ++n) {
      std::vector<long double> next(kTerms, 0);
      for (std::size_t j = n + 1; j < kTerms; ++j) {
        for (std::size_t m = n; m < j; ++m) next[j] += factors_[n][m] * ratio[j - m];
      }
      factors_.push_back(next);
    }
  }

  /// Terms are as large as exp(w (n + 1)^(1 - shape)), and what is lost is that times 1e-19.
  bool reaches(std::size_t n, double z) const {
    const double spread = std::pow(static_cast<double>(n) + 1, std::max(0.0, 1 - shape_));
    return std::pow(z, shape_) * spread < 8;
  }

  /// P(N(z) = n), n <= most.
  double chance(std::size_t n, double z) const {
    const long double w = std::pow(static_cast<long double>(z), static_cast<long double>(shape_));
    long double power = 1;
    long double sum = 0;
    for (std::size_t j = 0; j < kTerms; ++j, power *= w) {
      if (j < n) continue;
      const long double term =
          power * factors_[n][j] /
          std::exp(std::lgamma(static_cast<long double>(shape_) * static_cast<long double>(j) + 1));
      sum += (j + n) % 2 == 0 ? term : -term;
    }
    return static_cast<double>(sum);
  }

 private:
  static constexpr std::size_t kTerms = 70;

  double shape_;
  std::vector<std::vector<long double>> factors_;
};

}  // namespace entered
