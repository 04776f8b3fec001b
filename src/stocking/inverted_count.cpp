#include "stocking/inverted_count.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "stocking/life.hpp"

namespace shearpin::stocking {
namespace {

using Complex = std::complex<double>;

constexpr double kPi = std::numbers::pi;
// Discretisation error e^-kAccuracy; rounding is e^(kAccuracy / 2) times that of a double.
constexpr double kAccuracy = 24;
constexpr std::size_t kEuler = 14;
constexpr double kNoise = 1e-10;
constexpr double kSurelyDead = 1e-12;  // chance of life left that need not be looked at
constexpr double kNegligibleLog = 36;  // natural logarithms below the whole
// Natural logarithms that the points of a ray leave. More than elsewhere: two bends far apart, at a
// small age and at 1/s, are met with wider steps.
constexpr double kRayDigits = 60;
// Half-width of the strip around the real axis on which the double exponential rule is analytic.
constexpr double kWidestStrip = 0.7;

// e^x - 1 and ln(1 + x) without cancellation near 0.
Complex expm1(Complex x) {
  const double half = std::sin(0.5 * x.imag());
  return {std::expm1(x.real()) * std::cos(x.imag()) - 2 * half * half,
          std::exp(x.real()) * std::sin(x.imag())};
}
Complex log1p(Complex x) {
  return {0.5 * std::log1p(2 * x.real() + std::norm(x)), std::atan2(x.imag(), 1 + x.real())};
}

}  // namespace

InvertedCount::InvertedCount(double shape) : shape_(shape), cumulants_(weibull_cumulants(shape)) {
  const double strip = std::min(kWidestStrip, 0.5 * kPi / (shape * (1 + shape)));
  const double step = 2 * kPi * strip / kRayDigits;
  // ln u = t - e^-t: to the left it soon reaches where u^shape is nothing, to the right it is
  // straight, for there the integrand falls off by itself.
  const double low = -std::log(30 / std::min(shape, 1.0));
  const double high = 4 / std::min(shape, 1.0) + 2;
  for (double t = low; t < high; t += step) {
    const double ln_u = t - std::exp(-t);
    length_.push_back(std::exp(ln_u));
    power_.push_back(std::exp(shape * ln_u));
    weight_.push_back(step * (1 + std::exp(-t)));
  }
}

void InvertedCount::need_rays(std::size_t count) {
  while (rays_.size() < count) {
    const Complex argument(0.5 * kAccuracy, kPi * static_cast<double>(rays_.size()));
    // Shares the angle so that s u turns by shape / (1 + shape) of it and u^shape by the same.
    const double angle = -std::arg(argument) / (1 + shape_);
    rays_.push_back({argument, std::polar(1.0, angle), std::polar(1.0, shape_ * angle)});
  }
}

// Terms until those of a bell as wide as the count are nothing; Euler's summation sees to what
// falls off slowly, the few first counts.
std::size_t InvertedCount::terms_for(double z) const {
  const double lives = z / cumulants_.mean + 1;
  const double spread = std::sqrt(cumulants_.variance) / cumulants_.mean;
  return 30 + static_cast<std::size_t>(std::sqrt(2 * kNegligibleLog * lives) / (kPi * spread));
}

// Integral of e^(-s u) over the density of a new life; u in units of the smaller of scale and 1/s.
Complex InvertedCount::life(const Ray& ray, double z) const {
  const Complex s = ray.argument / z;
  const double unit = 1 / std::max(1.0, std::abs(s));
  const double unit_power = std::pow(unit, shape_);
  const Complex turned = s * unit * ray.turn;
  const Complex hazard = unit_power * ray.power_turn;
  Complex sum = 0;
  for (std::size_t q = 0; q < length_.size(); ++q) {
    const Complex exponent = turned * length_[q] + hazard * power_[q];
    if (exponent.real() > kNegligibleLog) break;
    sum += weight_[q] * power_[q] * std::exp(-exponent);
  }
  return shape_ * hazard * sum;
}

// The same for what is left of a life of that age > 0.
Complex InvertedCount::rest_of_life(const Ray& ray, double z, double age) const {
  const Complex s = ray.argument / z;
  const double spent = std::pow(age, shape_);
  // Where one more unit of hazard is reached.
  const double reach = age * std::expm1(std::log1p(1 / spent) / shape_);
  const double unit = 1 / std::max(1 / reach, std::abs(s));
  Complex sum = 0;
  for (std::size_t q = 0; q < length_.size(); ++q) {
    const Complex u = unit * length_[q] * ray.turn;
    const Complex grown = shape_ * log1p(u / age);
    const Complex exponent = s * u + spent * expm1(grown);
    if (exponent.real() > kNegligibleLog) break;
    sum += weight_[q] * u / (age + u) * std::exp(grown - exponent);
  }
  return shape_ * spent * sum;
}

double InvertedCount::tail(double z) const {
  const std::size_t terms = now_.size() - kEuler;
  double sum = 0.5 * now_[0].real();
  double mean = 0;
  double binomial = 1;
  for (std::size_t n = 1; n < now_.size(); ++n) {
    sum += n % 2 == 1 ? -now_[n].real() : now_[n].real();
    if (n + 1 < terms) continue;
    const std::size_t m = n + 1 - terms;
    mean += binomial * sum;
    binomial *= static_cast<double>(kEuler - m) / static_cast<double>(m + 1);
  }
  return std::exp(0.5 * kAccuracy) / z * mean * std::ldexp(1.0, -static_cast<int>(kEuler));
}

PmfBand InvertedCount::count(const FirstUnit& first, double z, double tail_cutoff) {
  const double whole = first.age + first.untested;
  const Life unit(1, shape_);
  double dead = -std::expm1(-unit.hazard(first.age, first.untested));
  if (first.down || dead > 1 - kSurelyDead) dead = 1;
  const std::size_t size = terms_for(z) + kEuler;
  need_rays(size);
  // Far below the middle all have ended: those counts are lumped into the first entry.
  const double middle = z / cumulants_.mean;
  const double spread = std::sqrt(std::max(middle, 1.0) * cumulants_.variance) / cumulants_.mean;
  const double low = std::max(0.0, std::floor(middle - 12 * spread - 20));
  now_.resize(size);
  factor_.resize(size);
  for (std::size_t n = 0; n < size; ++n) {
    factor_[n] = life(rays_[n], z);
    Complex end = 1;
    if (dead < 1) {
      const Complex alive = whole > 0 ? rest_of_life(rays_[n], z, whole) : factor_[n];
      end = dead + (1 - dead) * alive;
    }
    now_[n] = end * std::pow(factor_[n], low) * z / rays_[n].argument;
  }
  // Known, and the hardest to sum: it starts off as a broken power.
  const double at_least_one = dead < 1 ? 1 - (1 - dead) * unit.survival(whole, z) : 1;
  PmfBand band;
  band.first = static_cast<std::size_t>(low);
  double above = 1;
  const double least = std::max(tail_cutoff, kNoise);
  for (std::size_t k = band.first + 1;; ++k) {
    const double chance = k == 1 ? at_least_one : tail(z);
    const double next = std::clamp(chance, 0.0, above);
    band.values.push_back(above - next);
    above = next;
    if (above < least) break;
    for (std::size_t n = 0; n < size; ++n) now_[n] *= factor_[n];
  }
  return band;
}

}  // namespace shearpin::stocking
