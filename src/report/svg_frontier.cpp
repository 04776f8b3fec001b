#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "base/quantity.hpp"
#include "report/display.hpp"
#include "report/sections.hpp"
#include "report/sheet.hpp"
#include "report/svg.hpp"

namespace shearpin::report {
namespace {

using Points = std::vector<advice::FrontierPoint>;
using Wording = std::function<std::string(double)>;

/// One of the two limits.
struct Axis {
  std::string id, title, name;
  double unit;       ///< amounts are shown in these
  Wording amount;    ///< an amount of FrontierPoint
  std::string head;  ///< of its column
};

constexpr double kPanel = 130, kTitle = 32, kGap = 12;
/// Rows on a sheet without pictures.
constexpr std::size_t kBrief = 12;

std::string minor_text(double amount) { return cost_text(amount); }

Axis money_axis() {
  return {"by-money",        "What money buys: readiness and days without",
          "spent on spares", 1,
          minor_text,        "spent"};
}

Axis mass_axis(const Points& points) {
  const bool heavy = points.back().amount >= 1000;
  return {"by-mass",
          "What mass buys: readiness and days without",
          heavy ? "mass added, kg" : "mass added, g",
          heavy ? 1000.0 : 1.0,
          mass_text,
          "mass added"};
}

Points in_order(Points points) {
  std::stable_sort(points.begin(), points.end(),
                   [](const auto& a, const auto& b) { return a.amount < b.amount; });
  return points;
}

/// One of the two pictures above each other: a figure of the kits along the amount.
struct Panel {
  std::string_view title;
  Scale up;
  std::function<double(const advice::FrontierPoint&)> figure;
  std::string_view style;
};

/// A kit holds from its amount up to the next one's, so the line goes along before it goes up.
Markup drawn(const Panel& panel, const Points& points, const Axis& axis, const Scale& along,
             double top) {
  const auto y_of = [&](double value) { return top + kPanel * (1 - panel.up.share(value)); };
  const auto y = [&](const auto& point) { return y_of(panel.figure(point)); };
  const auto x = [&](const auto& point) { return along.share(point.amount / axis.unit); };
  Markup content = svg_words(0, top - 18, Anchor::start, "name", panel.title);
  for (const double tick : along.ticks) {
    content += svg_line(along.share(tick), top, along.share(tick), top + kPanel, "grid");
  }
  for (const double tick : panel.up.ticks) {
    content += svg_line(0, y_of(tick), 1, y_of(tick), "grid");
    content += svg_words(0, y_of(tick) - 3, Anchor::start, "tick", amount_text(tick, ""));
  }
  for (std::size_t i = 1; i < points.size(); ++i) {
    const auto& before = points[i - 1];
    content += svg_line(x(before), y(before), x(points[i]), y(before), panel.style);
    content += svg_line(x(points[i]), y(before), x(points[i]), y(points[i]), panel.style);
  }
  return content + svg_mark(x(points.front()), y(points.front()), Mark::dot) +
         svg_mark(x(points.back()), y(points.back()), Mark::square);
}

Markup picture(const Figure& figure, const Points& points, const Axis& axis) {
  double most_days = 0;
  for (const auto& point : points) {
    most_days = std::max(most_days, point.days_without);
  }
  const Panel ready{"chance of no shortage, % (full line)", scale_to(100, 4),
                    [](const auto& point) { return 100 * point.readiness; }, "course"};
  const Panel days{"expected days without (broken line)", scale_to(most_days, 4),
                   [](const auto& point) { return point.days_without; }, "course broken"};
  const Scale along = scale_to(points.back().amount / axis.unit, 5);
  const double second = kTitle + kPanel + kGap + kTitle;
  Markup content =
      drawn(ready, points, axis, along, kTitle) + drawn(days, points, axis, along, second);
  for (const double tick : along.ticks) {
    content += svg_words(along.share(tick), second + kPanel + 14, anchor_at(along.share(tick)),
                         "tick", amount_text(tick, ""));
  }
  const double foot = second + kPanel + 30;
  content += svg_words(0.5, foot, Anchor::middle, "tick", axis.name);
  return svg_picture(figure.id, figure.title, figure.told, foot + 6, content);
}

std::string told(const Points& points, const Axis& axis) {
  const auto& first = points.front();
  const auto& last = points.back();
  return fmt::format(
      "Each step adds the piece that gains most for what it takes. From {} with {} added "
      "({} without) to {} with {} ({} without). The dot is the first kit, the square the last.",
      chance_text(first.readiness), axis.amount(first.amount), days_text(first.days_without),
      chance_text(last.readiness), axis.amount(last.amount), days_text(last.days_without));
}

Figure figure_of(const Points& points, const Axis& axis) {
  const FrontierColumns columns{right(axis.head), right("chance", "chance of no shortage"),
                                right("without", "expected days without"), axis.amount,
                                [](double days) { return days_text(days); }};
  Figure figure{axis.id,
                axis.title,
                told(points, axis),
                {},
                frontier_table(points, points.size(), columns),
                frontier_table(points, kBrief, columns)};
  figure.picture = picture(figure, points, axis);
  return figure;
}

}  // namespace

std::vector<Figure> frontier_figures(const advice::Frontier& frontier) {
  std::vector<Figure> figures;
  if (!frontier.by_money.empty()) {
    figures.push_back(figure_of(in_order(frontier.by_money), money_axis()));
  }
  if (!frontier.by_mass.empty()) {
    const Points points = in_order(frontier.by_mass);
    figures.push_back(figure_of(points, mass_axis(points)));
  }
  return figures;
}

}  // namespace shearpin::report
