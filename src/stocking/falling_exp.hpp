#pragma once
/// An exponential for inner loops.

namespace shearpin::stocking {

/// exp(-x) for 0 <= x <= 9, relative error below 2e-11: a 16th of the exponent by Taylor's series
/// about the middle, then squared four times. No branch, no call and short chains of operations, so
/// that the compiler can work out several at once.
inline double falling_exp(double x) {
  constexpr double kMiddle = 9.0 / 32;
  constexpr double kAtMiddle = 0.75483960198900737;  // exp(-9/32)
  const double y = kMiddle - x * (1.0 / 16);
  const double y2 = y * y;
  const double y4 = y2 * y2;
  const double low = (1 + y) + y2 * (0.5 + y * (1.0 / 6));
  const double middle = (1.0 / 24 + y * (1.0 / 120)) + y2 * (1.0 / 720 + y * (1.0 / 5040));
  const double high = 1.0 / 40320 + y * (1.0 / 362880);
  const double root = kAtMiddle * ((low + y4 * middle) + (y4 * y4) * high);
  const double root8 = root * root;
  const double root4 = root8 * root8;
  const double root2 = root4 * root4;
  return root2 * root2;
}

}  // namespace shearpin::stocking
