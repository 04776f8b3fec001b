#pragma once
/// Shapes for pictures that are as wide as their page: along the page places are shares of the
/// width (0 to 1), down the page they are pixels, so that letters keep their size on a phone, a
/// screen and paper. Looks come from the classes of html_style.cpp, which never rest on colour
/// alone.

#include <string>
#include <string_view>
#include <vector>

#include "report/html.hpp"
#include "shearpin/base/date.hpp"

namespace shearpin::report {

enum class Anchor { start, middle, end };

/// The anchor that keeps words at `share` inside the picture.
Anchor anchor_at(double share);

Markup svg_line(double from, double y_from, double to, double y_to, std::string_view style);
Markup svg_bar(double from, double to, double top, double height, std::string_view style);
Markup svg_words(double at, double y, Anchor anchor, std::string_view style, std::string_view text);

enum class Mark { dot, diamond, square, flag };
Markup svg_mark(double at, double y, Mark mark);

/// A tick's line from `top` to `bottom` and its label under it.
Markup svg_tick(double at, double top, double bottom, std::string_view label);

/// The picture, `height` pixels high, with what it is called and told for those who do not see it.
Markup svg_picture(const std::string& id, std::string_view title, std::string_view told,
                   double height, const Markup& content);

/// Slanting lines, for a bar with the style `hatched`; once in each picture that has one.
Markup svg_hatching(const std::string& id);
/// A bar filled with that picture's slanting lines.
Markup svg_hatched_bar(const std::string& id, double from, double to, double top, double height);

// Round numbers along an axis.

/// The smallest of 1, 2 and 5 times a power of ten that is at least `least`. std::logic_error
/// unless `least` is above zero and finite.
double nice_step(double least);

/// An axis from zero.
struct Scale {
  double top = 1;             ///< the last tick
  std::vector<double> ticks;  ///< from zero, evenly

  /// Where `value` stands, from 0 to 1; beyond the ends it is held there.
  double share(double value) const;
};

/// Ticks by a nice step, at most `steps` of them beyond zero, the last at or above `most`. With
/// `whole` the step is at least one. Without anything to show (`most` 0) it runs to one step.
/// std::logic_error for a negative or infinite `most` or fewer steps than one.
Scale scale_to(double most, int steps, bool whole = false);

/// Days along an axis that begins with `from` and ends with `to`, which is later or the same.
struct DateScale {
  Date from, to;
  std::vector<Date> ticks;  ///< from `from`, every 1, 2, 7, 14, 28, 56 ... days, none after `to`

  double share(Date date) const;
};

/// At most `steps` ticks beyond the first. std::logic_error where `to` comes before `from`.
DateScale date_scale(Date from, Date to, int steps);

}  // namespace shearpin::report
