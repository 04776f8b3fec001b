#pragma once
/// Roots found by stepping outward until the sign changes, then closing in.

#include <functional>
#include <optional>

namespace shearpin::stats {

using RealFunction = std::function<double(double)>;

/// Root of `f` between `from`, where f is not below 0, and the first point not above 0 met going by
/// doubling steps (of the sign of `step`) no farther than `limit`; empty when there is none. Where
/// f(from) is already below 0 by rounding: `from`. To the last digits of a double.
std::optional<double> root_towards(const RealFunction& f, double from, double step, double limit);

/// Least value of a function of one hollow between `low` and `high`, to the last digits (the place
/// of it is found to half as many).
double least_value(const RealFunction& f, double low, double high);

}  // namespace shearpin::stats
