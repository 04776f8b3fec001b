#pragma once
/// The life records of tests/reference/data/life_records.csv, by set.

#include <map>
#include <string>
#include <vector>

#include "reference_csv.hpp"
#include "shearpin/stats/weibull.hpp"

namespace reference {

inline shearpin::stats::LifeKind kind_of(const std::string& word) {
  using shearpin::stats::LifeKind;
  if (word == "failed") {
    return LifeKind::failed;
  }
  if (word == "alive") {
    return LifeKind::alive;
  }
  if (word == "interval") {
    return LifeKind::interval;
  }
  throw std::runtime_error("unknown kind of record: " + word);
}

inline std::map<std::string, std::vector<shearpin::stats::LifeRecord>> life_sets() {
  std::map<std::string, std::vector<shearpin::stats::LifeRecord>> sets;
  for (const Row& row : read("data/life_records.csv")) {
    const shearpin::stats::LifeRecord record{kind_of(row.at("kind")), number(row, "entry"),
                                             number(row, "lower"), number(row, "exit")};
    auto& records = sets[row.at("set")];
    records.insert(records.end(), static_cast<std::size_t>(number(row, "count")), record);
  }
  return sets;
}

}  // namespace reference
