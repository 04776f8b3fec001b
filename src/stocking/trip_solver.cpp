#include "stocking/trip_solver.hpp"

#include <algorithm>

namespace shearpin::stocking {
namespace {

constexpr std::size_t kMostOrders = 1000;

// Of a unit that starts just after a point instead of at it.
InstantEnd just_after(const InstantEnd& end) {
  if (end.cell == kNoCell || end.right < 1) {
    return end;
  }
  return {end.cell + 1, 0, end.chance};
}

}  // namespace

void TripSolver::Flow::assign(std::size_t cells) {
  for (std::vector<double>* each : {&ends, &renewals, &instant}) {
    each->assign(cells, 0.0);
  }
  for (std::vector<double>* each : {&left, &right}) {
    each->assign(cells + 1, 0.0);
  }
}

void TripSolver::Flow::clear(std::size_t from, std::size_t to) {
  for (std::vector<double>* each : {&ends, &renewals, &instant}) {
    std::fill_n(each->begin() + static_cast<std::ptrdiff_t>(from), to - from, 0.0);
  }
  for (std::vector<double>* each : {&left, &right}) {
    std::fill_n(each->begin() + static_cast<std::ptrdiff_t>(from), to - from + 1, 0.0);
  }
}

void TripSolver::Flow::end_at(const InstantEnd& end, double weight, std::size_t to) {
  if (end.cell >= to) {
    return;
  }
  const double chance = weight * end.chance;
  instant[end.cell] += chance;
  right[end.cell] += chance * (1 - end.right);
  left[end.cell + 1] += chance * end.right;
}

// Units started at a point failing in the cells from `from` on.
void TripSolver::Flow::fail_later(const NewUnitEnds& later, std::size_t point, double units,
                                  std::size_t from, std::size_t to) {
  if (!(units > 0)) {
    return;
  }
  const double* chance = later.row(point);
  double* into = ends.data();
  for (std::size_t j = from; j < to; ++j) {
    into[j] += units * chance[j];
  }
}

// The renewals of what was started at one instant.
void TripSolver::Flow::start_at_instant(const NewUnitEnds& later, std::size_t point,
                                        std::size_t to) {
  if (later.renewed.empty()) {
    return;
  }
  InstantEnd end = later.renewed[point];
  InstantEnd after = just_after(end);
  // This cell's left end is done with.
  if (end.cell == point) {
    end.right = 1;
  }
  if (after.cell == point) {
    after.right = 1;
  }
  end_at(end, left[point], to);
  end_at(after, right[point], to);
}

// The renewals of what was started somewhere in a cell.
void TripSolver::Flow::renew_later(const NewUnitEnds& later, std::size_t cell, double units,
                                   std::size_t to) {
  if (later.spread.empty() || !(units > 0)) {
    return;
  }
  const double last = units * (later.renewed[cell].chance + later.renewed[cell + 1].chance) / 2;
  std::size_t j = later.spread[cell].first;
  for (const double share : later.spread[cell].shares) {
    if (j >= to) {
      return;
    }
    renewals[j++] += last * share;
  }
}

TripSolver::TripSolver(const TripPoints& points, std::size_t stride)
    : points_(points), stride_(stride), cells_(points.cells() / stride) {
  now_.assign(cells_);
  next_.assign(cells_);
}

void TripSolver::solve(const FirstUnitEnds& first, const NewUnitEnds& later, double tail_cutoff,
                       TripTails& out) {
  const std::size_t start = points_.start / stride_;
  flow_.assign(cells_);
  std::copy(first.chance.begin(), first.chance.end(), flow_.ends.begin());
  flow_.end_at(first.due, 1, cells_);
  flow_.left[0] += first.replaced_at_first;
  out.resize(points_.windows.size());
  for (std::size_t l = 0; l <= cells_; ++l) {
    const double spread_before = l > 0 ? flow_.spread_over(l - 1) / 2 : 0;
    for (std::size_t k = 0; k < points_.windows.size(); ++k) {
      const TripWindow& window = points_.windows[k];
      if (window.from / stride_ != l) {
        continue;
      }
      // What ended before the interval and is replaced by its start goes on as new units.
      now_ = flow_;
      const std::size_t to = window.to / stride_;
      now_.left[l] += l == start && !window.takes_in_start ? first.at_start : 0;
      if (l < cells_) {
        now_.fail_later(later, l, now_.left[l] + spread_before, l, to);
        now_.right[l] = 0;
        now_.start_at_instant(later, l, to);
        now_.right[l] = flow_.right[l];
      }
      count_window(window, later, window.takes_in_start ? first.at_start : 0, tail_cutoff, out[k]);
    }
    if (l == start) {
      flow_.left[l] += first.at_start;
    }
    if (l == cells_) {
      break;
    }
    const double* chance = later.row(l);
    const double ready = flow_.left[l] + flow_.right[l] + spread_before;
    // Half of what ends in this cell is replaced at its left end and may fail in it again.
    flow_.ends[l] =
        (flow_.ends[l] + (ready + flow_.renewals[l] / 2) * chance[l]) / (1 - chance[l] / 2);
    flow_.fail_later(later, l, ready + flow_.spread_over(l) / 2, l + 1, cells_);
    flow_.start_at_instant(later, l, cells_);
    flow_.renew_later(later, l, flow_.spread_over(l), cells_);
  }
}

// now_ holds the first ends after the interval's start.
void TripSolver::count_window(const TripWindow& window, const NewUnitEnds& later, double at_start,
                              double tail_cutoff, IntervalTails& out) {
  const std::size_t from = window.from / stride_;
  const std::size_t to = window.to / stride_;
  out.orders = 0;
  out.tails.clear();
  now_.left[from] = at_start;
  while (out.orders < kMostOrders) {
    double reached = now_.left[from];
    std::size_t cell = from;
    for (const TripReading& reading : window.readings) {
      for (; cell < reading.point / stride_; ++cell) {
        reached += now_.spread_over(cell) + now_.instant[cell];
      }
      out.tails.push_back(reached);
    }
    ++out.orders;
    if (reached < tail_cutoff) {
      break;
    }
    next_.clear(from, to);
    for (std::size_t l = from; l < to; ++l) {
      const double spread_before = l > from ? now_.spread_over(l - 1) / 2 : 0;
      const double spread = now_.spread_over(l);
      next_.fail_later(later, l, now_.left[l] + now_.right[l] + spread_before + spread / 2, l, to);
      if (later.renewed.empty()) {
        continue;
      }
      std::swap(next_.left[l], now_.left[l]);
      std::swap(next_.right[l], now_.right[l]);
      next_.start_at_instant(later, l, to);
      std::swap(next_.left[l], now_.left[l]);
      std::swap(next_.right[l], now_.right[l]);
      next_.renew_later(later, l, spread, to);
    }
    std::swap(now_, next_);
  }
}

}  // namespace shearpin::stocking
