#include "report/svg.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace shearpin::report {

double nice_step(double least) {
  if (!(least > 0) || !std::isfinite(least)) {
    throw std::logic_error("a step is above zero and finite");
  }
  // What is a hair above a round number by rounding alone is that number.
  const double wanted = least * (1 - 1e-12);
  const double power = std::pow(10.0, std::floor(std::log10(wanted)));
  for (const double times : {1.0, 2.0, 5.0}) {
    if (times * power >= wanted) {
      return times * power;
    }
  }
  return 10 * power;
}

double Scale::share(double value) const { return std::clamp(value / top, 0.0, 1.0); }

Scale scale_to(double most, int steps, bool whole) {
  if (!(most >= 0) || !std::isfinite(most) || steps < 1) {
    throw std::logic_error("an axis runs from zero to a finite number in one step or more");
  }
  double step = most > 0 ? nice_step(most / steps) : 1;
  step = whole ? std::max(1.0, step) : step;
  const int count = std::max(1, static_cast<int>(std::ceil(most / step * (1 - 1e-12))));
  Scale scale;
  for (int i = 0; i <= count; ++i) {
    scale.ticks.push_back(i * step);
  }
  scale.top = scale.ticks.back();
  return scale;
}

double DateScale::share(Date date) const {
  const int length = days_between(from, to);
  if (length <= 0) {
    return 0;
  }
  return std::clamp(static_cast<double>(days_between(from, date)) / length, 0.0, 1.0);
}

DateScale date_scale(Date from, Date to, int steps) {
  const int length = days_between(from, to);
  if (length < 0 || steps < 1) {
    throw std::logic_error("an axis of days ends where it begins or later");
  }
  int step = 1;
  while (length > steps * step) {
    step = step == 2 ? 7 : 2 * step;
  }
  DateScale scale{from, to, {}};
  for (int day = 0; day <= length; day += step) {
    scale.ticks.push_back(from + std::chrono::days(day));
  }
  return scale;
}

}  // namespace shearpin::report
