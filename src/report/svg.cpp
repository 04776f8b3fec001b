#include "report/svg.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace shearpin::report {
namespace {

std::string across(double share) { return fmt::format("{:.2f}%", 100 * share); }

std::string down(double pixels) { return fmt::format("{:.1f}", pixels); }

std::string anchor_word(Anchor anchor) {
  switch (anchor) {
    case Anchor::start:
      return "start";
    case Anchor::middle:
      return "middle";
    case Anchor::end:
      return "end";
  }
  throw std::logic_error("an anchor outside its list");
}

std::string outline_of(Mark mark) {
  switch (mark) {
    case Mark::dot:
      return "M-3.5 0a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0 -7 0z";
    case Mark::diamond:
      return "M0 -7L6 0L0 7L-6 0z";
    case Mark::square:
      return "M-4.5 -4.5h9v9h-9z";
    case Mark::flag:
      return "M0 7V-7L9 -3.5L0 0";
  }
  throw std::logic_error("a mark outside its list");
}

Attributes bar_place(double from, double to, double top, double height) {
  return {{"x", across(from)},
          {"y", down(top)},
          {"width", across(std::max(0.0, to - from))},
          {"height", down(height)}};
}

}  // namespace

Anchor anchor_at(double share) {
  if (share < 0.1) {
    return Anchor::start;
  }
  return share > 0.9 ? Anchor::end : Anchor::middle;
}

Markup svg_line(double from, double y_from, double to, double y_to, std::string_view style) {
  return element("line", {{"x1", across(from)},
                          {"y1", down(y_from)},
                          {"x2", across(to)},
                          {"y2", down(y_to)},
                          {"class", std::string(style)}});
}

Markup svg_bar(double from, double to, double top, double height, std::string_view style) {
  Attributes attributes = bar_place(from, to, top, height);
  attributes.emplace_back("class", style);
  return element("rect", attributes);
}

Markup svg_words(double at, double y, Anchor anchor, std::string_view style,
                 std::string_view text) {
  return element("text",
                 {{"x", across(at)},
                  {"y", down(y)},
                  {"text-anchor", anchor_word(anchor)},
                  {"class", std::string(style)}},
                 text);
}

// A path knows no shares of the width, so each mark stands in a picture of its own at its place.
Markup svg_mark(double at, double y, Mark mark) {
  const std::string style = mark == Mark::dot ? "solid" : "hollow";
  return element(
      "svg",
      {{"x", across(at)}, {"y", down(y)}, {"width", "1"}, {"height", "1"}, {"class", "mark"}},
      element("path", {{"d", outline_of(mark)}, {"class", style}}));
}

Markup svg_tick(double at, double top, double bottom, std::string_view label) {
  return svg_line(at, top, at, bottom, "grid") +
         svg_words(at, bottom + 14, anchor_at(at), "tick", label);
}

Markup svg_picture(const std::string& id, std::string_view title, std::string_view told,
                   double height, const Markup& content) {
  const Markup named = element("title", {{"id", id + "-title"}}, title) +
                       element("desc", {{"id", id + "-told"}}, told);
  return element("svg",
                 {{"class", "picture"},
                  {"role", "img"},
                  {"aria-labelledby", id + "-title"},
                  {"aria-describedby", id + "-told"},
                  {"width", "100%"},
                  {"height", down(height)}},
                 named + content);
}

Markup svg_hatching(const std::string& id) {
  const Markup stroke = element("path", {{"d", "M-1 1L1 -1M0 6L6 0M5 7L7 5"}, {"class", "stroke"}});
  return element("defs", {},
                 element("pattern",
                         {{"id", id + "-hatch"},
                          {"width", "6"},
                          {"height", "6"},
                          {"patternUnits", "userSpaceOnUse"}},
                         stroke));
}

Markup svg_hatched_bar(const std::string& id, double from, double to, double top, double height) {
  Attributes attributes = bar_place(from, to, top, height);
  attributes.emplace_back("class", "outline");
  attributes.emplace_back("fill", fmt::format("url(#{}-hatch)", id));
  return element("rect", attributes);
}

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
