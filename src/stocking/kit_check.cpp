#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stocking/kit_choice.hpp"

namespace shearpin::stocking {
namespace {

// Tables come out of integrals: a rise of this share of the first entry is rounding.
constexpr double kTableRounding = 1e-9;

void check_entries(std::span<const double> table, std::size_t size, std::size_t part,
                   std::string_view what) {
  if (table.size() != size) {
    throw InputError(
        fmt::format("part {}: {} entries of {}, but {} of days; give one for each of "
                    "0 to {} pieces",
                    part, table.size(), what, size, size - 1));
  }
  for (std::size_t n = 0; n < size; ++n) {
    if (!(table[n] >= 0) || !std::isfinite(table[n])) {
      throw InputError(
          fmt::format("part {}: {} with {} pieces is {}; it must be a number >= 0, such as 0.5",
                      part, what, n, table[n]));
    }
  }
}

void check_never_rises(std::span<const double> table, std::size_t part, std::string_view what) {
  for (std::size_t n = 1; n < table.size(); ++n) {
    if (table[n] > table[n - 1] + kTableRounding * table[0]) {
      throw InputError(
          fmt::format("part {}: {} rises from {} to {} with piece {}; more pieces "
                      "never make it worse",
                      part, what, table[n - 1], table[n], n));
    }
  }
}

void check_safety(const KitPart& part, std::size_t j) {
  if (part.safety_days.empty()) return;
  check_entries(part.safety_days, part.days.size(), j, "safety days");
  if (part.pieces_of_entry.empty()) check_never_rises(part.safety_days, j, "safety days");
  for (std::size_t n = 0; n < part.days.size(); ++n) {
    if (part.safety_days[n] > part.days[n] + kTableRounding * part.days[0]) {
      throw InputError(
          fmt::format("part {}: {} safety days of {} in all with {} pieces; they are "
                      "a share of them",
                      j, part.safety_days[n], part.days[n], n));
    }
  }
}

void check_pieces_of_entry(const KitPart& part, std::size_t j) {
  if (part.pieces_of_entry.empty()) return;
  if (part.pieces_of_entry.size() != part.days.size()) {
    throw InputError(fmt::format("part {}: pieces of {} entries, but {} entries of days", j,
                                 part.pieces_of_entry.size(), part.days.size()));
  }
  for (const long pieces : part.pieces_of_entry) {
    if (pieces < 0) {
      throw InputError(fmt::format("part {}: an entry of {} pieces is below 0", j, pieces));
    }
  }
}

void check_part(const KitProblem& problem, std::size_t j) {
  const KitPart& part = problem.parts[j];
  if (part.days.empty()) {
    throw InputError(fmt::format("part {}: no table; give at least the entry for 0 pieces", j));
  }
  check_entries(part.days, part.days.size(), j, "days without");
  if (part.pieces_of_entry.empty()) check_never_rises(part.days, j, "days without");
  check_pieces_of_entry(part, j);
  check_safety(part, j);
  if (part.use.size() != problem.limits.size()) {
    throw InputError(fmt::format("part {}: uses of {} limits, but there are {}", j, part.use.size(),
                                 problem.limits.size()));
  }
  for (const std::vector<double>& use : part.use) {
    check_entries(use, part.days.size(), j, "use of a limit");
  }
  if (part.least >= part.days.size()) {
    throw InputError(fmt::format("part {}: at least {} pieces, but the table ends at {}", j,
                                 part.least, part.days.size() - 1));
  }
}

}  // namespace

void check_problem(const KitProblem& problem) {
  for (std::size_t r = 0; r < problem.limits.size(); ++r) {
    if (!(problem.limits[r] >= 0) || !std::isfinite(problem.limits[r])) {
      throw InputError(fmt::format("limit {} is {}; it must be a number >= 0, such as 120", r,
                                   problem.limits[r]));
    }
  }
  for (std::size_t j = 0; j < problem.parts.size(); ++j) check_part(problem, j);
}

void check_pieces(const KitProblem& problem, std::span<const long> pieces) {
  if (pieces.size() != problem.parts.size()) {
    throw InputError(
        fmt::format("pieces of {} parts, but there are {}", pieces.size(), problem.parts.size()));
  }
  for (std::size_t j = 0; j < pieces.size(); ++j) {
    const auto most = static_cast<long>(problem.parts[j].days.size()) - 1;
    if (pieces[j] < 0 || pieces[j] > most) {
      throw InputError(
          fmt::format("part {}: {} pieces are outside its table of 0 to {}", j, pieces[j], most));
    }
  }
}

}  // namespace shearpin::stocking
