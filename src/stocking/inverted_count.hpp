#pragma once
/// Counts over very many lives by numerical inversion of a Laplace transform: exact where the
/// series of many_lives.hpp is not, which is where lives are spread widely.

#include <complex>
#include <cstddef>
#include <vector>

#include "stocking/many_lives.hpp"

namespace shearpin::stocking {

/// The unit fitted at the start, in units of the scale.
struct FirstUnit {
  bool down = false;    ///< a demand at once
  double age = 0;       ///< at the last test or today
  double untested = 0;  ///< exposure since; it may be dead already if > 0
};

/// Counts of Weibull lives of one shape and scale 1.
///
/// P(N(z) >= k) has the transform f1(s) f(s)^(k-1) / s, where f and f1 are those of a life and of
/// what is left of the first. It is inverted by the Fourier series with Euler's summation (Abate
/// and Whitt 1992, sec. 1 and 4 to 6). f is an integral along a ray on which neither e^(-s u) nor
/// the survival turns fast, by the double exponential rule (Takahasi and Mori 1974).
/// Accuracy: 1e-9 for shapes 0.2 to 2.5 and 20 to 500 lives; 1e-8 for shapes from 0.05 and ages
/// from a thousandth of the scale, from z = 64 on (tests/unit/stocking).
class InvertedCount {
 public:
  /// shape: 0.02 to kMostInverted.
  explicit InvertedCount(double shape);

  /// P(N(z) = k), z > 0. Tails below `tail_cutoff` are left out, or below 1e-10, which is noise.
  PmfBand count(const FirstUnit& first, double z, double tail_cutoff);

 private:
  using Complex = std::complex<double>;

  // The ray for one term of the series.
  struct Ray {
    Complex argument;    // s z
    Complex turn;        // u / |u|
    Complex power_turn;  // its power
  };

  void need_rays(std::size_t count);
  std::size_t terms_for(double z) const;
  Complex life(const Ray& ray, double z) const;
  Complex rest_of_life(const Ray& ray, double z, double age) const;
  double tail(double z) const;

  double shape_;
  Cumulants cumulants_;
  std::vector<double> length_;  // |u| of the points of a ray
  std::vector<double> power_;   // |u|^shape
  std::vector<double> weight_;  // d ln u
  std::vector<Ray> rays_;
  std::vector<Complex> now_;     // f1 f^(k-1) / s, for each term
  std::vector<Complex> factor_;  // f
};

/// Rounder lives are nearly normal in sum; their rays would need very many points.
inline constexpr double kMostInverted = 2.5;

}  // namespace shearpin::stocking
