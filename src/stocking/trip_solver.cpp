#include "stocking/trip_solver.hpp"

#include <algorithm>

namespace shearpin::stocking {
namespace {

constexpr std::size_t kMostOrders = 1000;

}  // namespace

void TripSolver::Flow::assign(std::size_t cells) {
  ends.assign(cells, 0.0);
  instant.assign(cells, 0.0);
  left.assign(cells + 1, 0.0);
  right.assign(cells + 1, 0.0);
}

void TripSolver::Flow::clear(std::size_t from, std::size_t to) {
  for (std::vector<double>* each : {&ends, &instant}) {
    std::fill_n(each->begin() + static_cast<std::ptrdiff_t>(from), to - from, 0.0);
  }
  for (std::vector<double>* each : {&left, &right}) {
    std::fill_n(each->begin() + static_cast<std::ptrdiff_t>(from), to - from + 1, 0.0);
  }
}

void TripSolver::Flow::end_at(const InstantEnd& end, double weight, std::size_t to) {
  if (end.cell >= to) return;
  const double chance = weight * end.chance;
  instant[end.cell] += chance;
  right[end.cell] += chance * (1 - end.right);
  left[end.cell + 1] += chance * end.right;
}

void TripSolver::Flow::start_units(const NewUnitEnds& later, std::size_t point, double units,
                                   std::size_t to) {
  if (!(units > 0) || point >= to) return;
  const double* chance = later.row(point);
  double* into = ends.data();
  for (std::size_t j = point; j < to; ++j) into[j] += units * chance[j];
  if (!later.renewed.empty()) end_at(later.renewed[point], units, to);
}

TripSolver::TripSolver(const TripPoints& points, std::size_t stride)
    : points_(points), stride_(stride), cells_(points.cells() / stride) {
  now_.assign(cells_);
  next_.assign(cells_);
}

void TripSolver::solve(const FirstUnitEnds& first, const NewUnitEnds& later, double nothing,
                       TripTails& out) {
  const std::size_t start = points_.start / stride_;
  flow_.assign(cells_);
  std::copy(first.chance.begin(), first.chance.end(), flow_.ends.begin());
  flow_.end_at(first.due, 1, cells_);
  flow_.left[0] += first.replaced_at_first;
  out.intervals.resize(points_.windows.size());
  out.expected_ends = 0;
  for (std::size_t l = 0; l <= cells_; ++l) {
    for (std::size_t k = 0; k < points_.windows.size(); ++k) {
      const TripWindow& window = points_.windows[k];
      if (window.from / stride_ != l) continue;
      // What ended before the interval and is replaced by its start goes on as new units.
      now_ = flow_;
      const double before = flow_.left[l] + (l == start && k > 0 ? first.at_start : 0);
      now_.start_units(later, l, before, k == 0 ? cells_ : window.to / stride_);
      if (k == 0) {
        out.first_ends = now_.ends;
        out.first_renewed = now_.instant;
        std::fill_n(out.first_ends.begin(), start, 0.0);
        std::fill_n(out.first_renewed.begin(), start, 0.0);
      }
      count_window(window, later, k == 0 ? first.at_start : 0, nothing, out.intervals[k]);
    }
    if (l == start) flow_.left[l] += first.at_start;
    if (l == cells_) break;
    const double* chance = later.row(l);
    const double ready = flow_.left[l] + flow_.right[l];
    // Half of what ends in this cell is replaced at its left end and may end in it again.
    flow_.ends[l] = (flow_.ends[l] + ready * chance[l]) / (1 - chance[l] / 2);
    if (l >= start) out.expected_ends += flow_.ends[l];
    const double units = ready + flow_.ends[l] / 2;
    flow_.left[l + 1] += flow_.ends[l] / 2;
    double* ends = flow_.ends.data();
    for (std::size_t j = l + 1; j < cells_; ++j) ends[j] += units * chance[j];
    if (later.renewed.empty()) continue;
    InstantEnd end = later.renewed[l];
    if (end.cell == l) end.right = 1;  // this cell's left end is done with
    flow_.end_at(end, units, cells_);
  }
}

// now_ holds the first ends after the interval's start.
void TripSolver::count_window(const TripWindow& window, const NewUnitEnds& later, double at_start,
                              double nothing, IntervalTails& out) {
  const std::size_t from = window.from / stride_;
  const std::size_t to = window.to / stride_;
  out.orders = 0;
  out.tails.clear();
  double at_once = at_start;
  while (out.orders < kMostOrders) {
    double reached = at_once;
    std::size_t cell = from;
    for (const TripReading& reading : window.readings) {
      for (; cell < reading.point / stride_; ++cell)
        reached += now_.ends[cell] + now_.instant[cell];
      out.tails.push_back(reached);
    }
    ++out.orders;
    if (reached < nothing) break;
    next_.clear(from, to);
    double ended_before = at_once;
    for (std::size_t l = from; l < to; ++l) {
      if (l > from) ended_before = now_.left[l] + now_.ends[l - 1] / 2;
      next_.start_units(later, l, ended_before + now_.right[l] + now_.ends[l] / 2, to);
    }
    std::swap(now_, next_);
    at_once = 0;
  }
}

}  // namespace shearpin::stocking
