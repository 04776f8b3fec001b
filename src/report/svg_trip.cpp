#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "report/phrases.hpp"
#include "report/sheet.hpp"
#include "report/svg.hpp"

namespace shearpin::report {
namespace {

constexpr double kTripRow = 32, kTripTop = 8;
constexpr std::size_t kLabelColumns = 38;
constexpr const char* kId = "trip";

/// The trip, and the days to order before it.
DateScale days_of(const advice::TripView& trip) {
  Date first = std::min(trip.from, trip.to);
  Date last = std::max(trip.from, trip.to);
  const auto widen = [&](Date date) {
    first = std::min(first, date);
    last = std::max(last, date);
  };
  for (const auto& leg : trip.legs) {
    widen(leg.from);
    widen(leg.to);
  }
  for (const auto& stop : trip.stops) {
    widen(stop.date);
  }
  for (const auto& order : trip.orders) {
    widen(order.by);
    widen(order.received);
  }
  return date_scale(first, last, 3);
}

/// What a row is about, and its first day.
Markup label(double top, std::string_view text, Date day) {
  return svg_words(0, top + 10, Anchor::start, "", cut_to(text, kLabelColumns)) +
         svg_words(1, top + 10, Anchor::end, "tick", to_text(day));
}

Markup leg_row(const advice::TripView::Leg& leg, const DateScale& days, double top) {
  const double from = days.share(leg.from);
  // A leg of one day is as wide as that day.
  const double to = std::max(days.share(leg.to + std::chrono::days(1)), from + 0.005);
  const Markup bar = leg.signal ? svg_bar(from, to, top + 14, 9, "outline open")
                                : svg_hatched_bar(kId, from, to, top + 14, 9);
  return bar + label(top, (leg.signal ? "" : "no signal: ") + leg.route, leg.from);
}

Markup stop_row(const advice::TripView::Stop& stop, const DateScale& days, double top) {
  return svg_mark(days.share(stop.date), top + 19, stop.parcels ? Mark::square : Mark::dot) +
         label(top, (stop.parcels ? "parcels: " : "stop: ") + stop.place, stop.date);
}

Markup order_row(const advice::TripView::OrderBy& order, const DateScale& days, double top) {
  const double by = days.share(order.by);
  const double there = days.share(order.received);
  return svg_line(by, top + 19, there, top + 19, "course broken") +
         svg_mark(there, top + 19, Mark::diamond) + svg_mark(by, top + 19, Mark::flag) +
         label(top, "order by: " + key_and_name(order.part, order.name), order.by);
}

std::string told(const advice::TripView& trip, std::size_t left_out) {
  std::string text = fmt::format(
      "{} from {} to {}: {}, {}. Slanting lines: no signal. Square: a stop that takes parcels; "
      "dot: "
      "one that does not. Flag: last day to order, a broken line to the diamond, the day it is "
      "there.",
      trip.name.empty() ? "The trip" : trip.name, to_text(trip.from), to_text(trip.to),
      counted(static_cast<long long>(trip.legs.size()), "leg"),
      counted(static_cast<long long>(trip.stops.size()), "stop"));
  if (left_out > 0) {
    text += fmt::format(" For want of room {} of the last days to order are in the table alone.",
                        left_out);
  }
  return text;
}

}  // namespace

Figure trip_figure(const advice::TripView& trip) {
  const std::size_t before = trip.legs.size() + trip.stops.size();
  const std::size_t room = kMostRows > before ? kMostRows - before : 0;
  auto orders = trip.orders;
  std::stable_sort(orders.begin(), orders.end(),
                   [](const auto& a, const auto& b) { return a.by < b.by; });
  const std::size_t left_out = orders.size() - std::min(orders.size(), room);
  orders.resize(orders.size() - left_out);

  const DateScale days = days_of(trip);
  const double bottom = kTripTop + kTripRow * static_cast<double>(before + orders.size());
  Markup content = svg_hatching(kId);
  for (const Date tick : days.ticks) {
    content += svg_tick(days.share(tick), kTripTop, bottom, to_text(tick));
  }
  double top = kTripTop;
  const auto add = [&](const Markup& row) {
    content += row;
    top += kTripRow;
  };
  for (const auto& leg : trip.legs) {
    add(leg_row(leg, days, top));
  }
  for (const auto& stop : trip.stops) {
    add(stop_row(stop, days, top));
  }
  for (const auto& order : orders) {
    add(order_row(order, days, top));
  }
  Figure figure{kId, "The trip, day by day", told(trip, left_out), {}, TextTable(), TextTable()};
  figure.picture = svg_picture(kId, figure.title, figure.told, bottom + 22, content);
  return figure;
}

}  // namespace shearpin::report
