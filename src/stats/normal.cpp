#include "stats/normal.hpp"

#include <boost/math/special_functions/erf.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <numbers>

namespace shearpin::stats {

namespace bm = boost::math;

double normal_tail(double z) { return 0.5 * std::erfc(z / std::numbers::sqrt2); }

double normal_two_sided(double level) { return std::numbers::sqrt2 * bm::erf_inv(level); }

// A chi-square variable with d degrees of freedom is twice a gamma variable of shape d / 2.
double chi_square_cdf(double degrees, double x) { return bm::gamma_p(degrees / 2, x / 2); }

double chi_square_tail(double degrees, double x) { return bm::gamma_q(degrees / 2, x / 2); }

double chi_square_quantile(double degrees, double probability) {
  return 2 * bm::gamma_p_inv(degrees / 2, probability);
}

}  // namespace shearpin::stats
