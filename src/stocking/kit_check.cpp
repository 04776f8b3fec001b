#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <set>

#include "shearpin/base/error.hpp"
#include "stocking/kit_tables.hpp"

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

void check_chances(const KitPart& part, std::size_t j) {
  if (part.log_chance.size() != part.days.size()) {
    throw InputError(fmt::format("part {}: {} log chances, but {} entries of days", j,
                                 part.log_chance.size(), part.days.size()));
  }
  for (std::size_t n = 0; n < part.log_chance.size(); ++n) {
    if (!(part.log_chance[n] <= 0)) {
      throw InputError(
          fmt::format("part {}: a log chance of {} with {} pieces; the ln of a chance "
                      "is <= 0, such as -0.05",
                      j, part.log_chance[n], n));
    }
    if (!part.pieces_of_entry.empty() || n == 0) continue;
    if (unreadiness(part, n) > unreadiness(part, n - 1) + kTableRounding) {
      throw InputError(
          fmt::format("part {}: the log chance falls from {} to {} with piece {}; "
                      "more pieces never make it worse",
                      j, part.log_chance[n - 1], part.log_chance[n], n));
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
  check_chances(part, j);
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

void check_cap(const KitProblem& problem, const RiskCap& cap) {
  if (!(cap.most > 0 && cap.most < 1)) {
    throw InputError(
        fmt::format("a risk cap of {} is not a chance between 0 and 1, such as 0.01", cap.most));
  }
  std::set<std::size_t> seen;
  for (const std::size_t part : cap.parts) {
    if (part >= problem.parts.size() || !seen.insert(part).second) {
      throw InputError(fmt::format("a risk cap names part {} of {}; every part once, from 0", part,
                                   problem.parts.size()));
    }
  }
  if (!cap.log_chance.empty() && cap.log_chance.size() != cap.parts.size()) {
    throw InputError(fmt::format("a risk cap has {} tables for {} parts; give one each, or none",
                                 cap.log_chance.size(), cap.parts.size()));
  }
  for (std::size_t i = 0; i < cap.log_chance.size(); ++i) {
    const std::vector<double>& table = cap.log_chance[i];
    const bool whole = table.empty() || table.size() == problem.parts[cap.parts[i]].days.size();
    const bool chances = std::all_of(table.begin(), table.end(), [](double x) { return x <= 0; });
    if (!whole || !chances) {
      throw InputError(
          fmt::format("a risk cap's table for part {} needs a log chance <= 0 for each of its "
                      "entries",
                      cap.parts[i]));
    }
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
  for (const RiskCap& cap : problem.risk_caps) check_cap(problem, cap);
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

void check_limit(const KitProblem& problem, std::size_t limit) {
  if (limit >= problem.limits.size()) {
    throw InputError(
        fmt::format("limit {} does not exist; there are {}", limit, problem.limits.size()));
  }
}

}  // namespace shearpin::stocking
