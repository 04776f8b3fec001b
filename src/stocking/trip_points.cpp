#include "stocking/trip_points.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace shearpin::stocking {
namespace {

// A jump stands in a piece of this share of the trip just before its day.
constexpr double kInstantShare = 1e-9;
constexpr double kSame = 1e-12;
// Coarse cells of a whole trip at least.
constexpr double kLeastCells = 16;
constexpr std::ptrdiff_t kManyPieces = 60;

// A number of cells that one of the rules below takes.
double whole_cells(double count) {
  if (count <= 2) {
    return std::max(1.0, std::ceil(count - 1e-9));
  }
  return 4 * std::ceil(count / 4 - 1e-9);
}

// Weights of a rule for an integral over [0, 1] on cells + 1 points: Boole's rule, with two cells
// Simpson's, with one the trapezoid (Abramowitz and Stegun 1964, 25.4.1, 25.4.5, 25.4.14).
double rule_weight(double i, double cells) {
  const bool at_end = i == 0 || i == cells;
  if (cells == 1) {
    return 0.5;
  }
  if (cells == 2) {
    return (at_end ? 1 : 4) / 6.0;
  }
  const double place = std::fmod(i, 4);
  const double share = place == 0 ? (at_end ? 7 : 14) : place == 2 ? 12 : 32;
  return share * 4 / (90 * cells);
}

}  // namespace

TripLayout::TripLayout(std::vector<TripInterval> intervals, std::span<const TripClock> clocks,
                       std::vector<TripBreak> breaks, double longest_cell_days)
    : intervals_(std::move(intervals)), longest_cell_days_(longest_cell_days) {
  double first = 0;
  const double end = intervals_.back().to;
  std::vector<TripBreak> all{{0}, {end}};
  for (const TripInterval& interval : intervals_) {
    all.push_back({interval.from});
    all.push_back({interval.receipt});
    all.push_back({interval.to});
  }
  for (const TripClock& clock : clocks) {
    for (const double day : clock.breaks()) {
      all.push_back({day});
    }
    first = std::min(first, clock.start_day());
    reach_ = std::max(reach_, clock.at(end) - clock.at(clock.start_day()));
  }
  const double span = end - first;
  const double instant = kInstantShare * span;
  for (const TripBreak& at : breaks) {
    if (!(at.day >= first) || at.day > end) {
      continue;
    }
    if (at.day - instant > first && at.day != 0) {
      all.push_back({at.day - instant});
    }
    all.push_back(at);
  }
  std::sort(all.begin(), all.end(),
            [](const TripBreak& a, const TripBreak& b) { return a.day < b.day; });
  for (std::size_t i = 0; i < all.size();) {
    const double low = all[i].day;
    bool fresh = false;
    while (i < all.size() && all[i].day - low <= kSame * span) {
      fresh |= all[i++].fresh;
    }
    if (i == all.size()) {
      break;
    }
    const double high = all[i].day;
    double exposure = 0;
    for (const TripClock& clock : clocks) {
      exposure = std::max(exposure, clock.at(high) - clock.at(low));
    }
    pieces_.push_back({low, high, exposure, fresh, high - low < 2 * instant});
  }
}

TripPoints TripLayout::points(double exposure) const {
  TripPoints made;
  for (const TripInterval& interval : intervals_) {
    made.windows.push_back({0, 0, {}, interval.takes_in_start});
  }
  made.days.push_back(pieces_.empty() ? 0 : pieces_.front().low);
  const auto pieces = std::count_if(pieces_.begin(), pieces_.end(),
                                    [](const Piece& piece) { return !piece.instant; });
  const double least = whole_cells(kLeastCells / std::max(1.0, static_cast<double>(pieces)));
  // Points stand on the breaks exactly as the pieces do, so comparisons are safe within `close`.
  const double close =
      pieces_.empty() ? 0 : 2 * kSame * (pieces_.back().high - pieces_.front().low);
  const auto mark = [&](double day) {
    const std::size_t point = made.days.size() - 1;
    if (std::fabs(day) <= close) {
      made.start = point;
    }
    for (std::size_t k = 0; k < intervals_.size(); ++k) {
      if (std::fabs(intervals_[k].from - day) <= close) {
        made.windows[k].from = point;
      }
      if (std::fabs(intervals_[k].to - day) <= close) {
        made.windows[k].to = point;
      }
    }
  };
  const auto read = [](TripWindow& window, std::size_t point, double weight) {
    if (!window.readings.empty() && window.readings.back().point == point) {
      window.readings.back().weight += weight;
    } else {
      window.readings.push_back({point, weight});
    }
  };
  mark(made.days.front());
  for (const Piece& piece : pieces_) {
    const double power = piece.fresh && !piece.instant ? 2 : 1;
    const double length = piece.high - piece.low;
    double cells = 1;
    if (!piece.instant) {
      cells = std::max(
          {least, piece.fresh && pieces <= kManyPieces ? 4.0 : 1.0,
           whole_cells(power * piece.exposure / std::max(exposure, 1e-300)),
           longest_cell_days_ < length ? whole_cells(power * length / longest_cell_days_) : 0});
    }
    const std::size_t low_point = made.days.size() - 1;
    const double fine_cells = static_cast<double>(kFineCells) * cells;
    for (double i = 1; i <= fine_cells; ++i) {
      const double x = i / fine_cells;
      made.days.push_back(i == fine_cells ? piece.high
                                          : piece.low + length * (power == 2 ? x * x : x));
    }
    mark(piece.high);
    if (piece.instant) {
      continue;
    }
    for (std::size_t k = 0; k < intervals_.size(); ++k) {
      const bool inside =
          piece.low >= intervals_[k].receipt - close && piece.high <= intervals_[k].to + close;
      if (!inside) {
        continue;
      }
      for (double i = 0; i <= cells; ++i) {
        const double slope = power == 2 ? 2 * i / cells : 1;
        read(made.windows[k], low_point + kFineCells * static_cast<std::size_t>(i),
             rule_weight(i, cells) * slope * length);
      }
    }
  }
  for (TripWindow& window : made.windows) {
    if (window.readings.empty() || window.readings.back().point != window.to) {
      window.readings.push_back({window.to, 0});
    }
  }
  return made;
}

ClockTable::ClockTable(const TripClock& clock, const TripPoints& points_of)
    : points(points_of.days.size()) {
  for (const double day : points_of.days) {
    exposure.push_back(clock.at(day));
  }
  const double same = kSame * std::max(exposure.back() - exposure.front(), 1e-300);
  struct Difference {
    double value;
    std::uint32_t place;
  };
  std::vector<Difference> all;
  all.reserve(points * (points + 1) / 2);
  for (std::size_t i = 0; i < points; ++i) {
    for (std::size_t j = i; j < points; ++j) {
      all.push_back({exposure[j] - exposure[i], static_cast<std::uint32_t>(i * points + j)});
    }
  }
  std::sort(all.begin(), all.end(), [](const Difference& a, const Difference& b) {
    return a.value < b.value || (a.value == b.value && a.place < b.place);
  });
  index.assign(points * points, 0);
  for (const Difference& difference : all) {
    if (differences.empty() || difference.value - differences.back() > same) {
      differences.push_back(difference.value);
    }
    index[difference.place] = static_cast<std::uint32_t>(differences.size() - 1);
  }
}

}  // namespace shearpin::stocking
