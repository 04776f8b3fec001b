#pragma once
/// The numbers of the model that the owner may change: one table, `policy show` prints it.

#include <array>
#include <map>
#include <span>
#include <string>
#include <string_view>

#include "shearpin/domain/vocabulary.hpp"

namespace shearpin::domain {

/// One row of the policy table.
struct PolicyRow {
  std::string_view key;   ///< target-safety
  double value;           ///< shipped default
  double least, most;     ///< accepted range
  std::string_view unit;  ///< chance, days, money, per year ...
  std::string_view meaning;
  std::string_view source;  ///< "belief" where nothing is published
};

/// Every policy number with its shipped default, in the order shown.
std::span<const PolicyRow> policy_rows();

/// The owner's numbers: the shipped default unless set.
class Policy {
 public:
  /// Throws std::logic_error for a key that is not in policy_rows().
  double value(std::string_view key) const;
  /// Throws InputError for an unknown key or a value outside its range, naming both.
  void set(std::string_view key, double value);
  const std::map<std::string, double, std::less<>>& changed() const { return changed_; }

  double target(Severity) const;       ///< chance of no shortage wanted
  double cost_of_day(Severity) const;  ///< money, major units
  double review_days() const { return value("review-days"); }

 private:
  std::map<std::string, double, std::less<>> changed_;
};

/// Rules between the numbers, to be checked after a change (Policy::set looks at one alone): every
/// low < median < high. InputError names them.
void check(const Policy& policy);

}  // namespace shearpin::domain
