#pragma once
/// The event histories of tests/reference/data, by set.

#include <algorithm>
#include <map>
#include <string>
#include <vector>

#include "reference_csv.hpp"
#include "stats/event_history.hpp"
#include "stats/mcf.hpp"

namespace reference {

/// Systems of a file of id,time,status: status 1 an event, 0 the end of the history.
inline std::vector<shearpin::stats::SystemWatch> watches(const std::string& file) {
  std::vector<shearpin::stats::SystemWatch> systems;
  std::map<std::string, std::size_t> index;
  for (const Row& row : read("data/" + file)) {
    const auto place = index.try_emplace(row.at("id"), systems.size());
    if (place.second) {
      systems.emplace_back();
    }
    shearpin::stats::SystemWatch& system = systems[place.first->second];
    system.end = std::max(system.end, number(row, "time"));
    if (row.at("status") == "1") {
      system.ages.push_back(number(row, "time"));
    }
  }
  return systems;
}

inline shearpin::stats::EventHistory time_terminated(const std::string& file, double end) {
  shearpin::stats::EventHistory system;
  for (const Row& row : read("data/" + file)) {
    system.ages.push_back(number(row, "age_hours"));
  }
  system.end = end;
  return system;
}

/// Air-conditioning histories by series, each watched until its last failure.
inline std::map<std::string, shearpin::stats::EventHistory> planes() {
  std::map<std::string, shearpin::stats::EventHistory> planes;
  for (const Row& row : read("data/proschan-aircond.csv")) {
    shearpin::stats::EventHistory& plane = planes[row.at("series")];
    plane.termination = shearpin::stats::Termination::failure;
    plane.end += number(row, "hours");
    plane.ages.push_back(plane.end);
  }
  return planes;
}

inline std::map<std::string, std::vector<shearpin::stats::EventHistory>> event_sets() {
  std::map<std::string, std::vector<shearpin::stats::EventHistory>> sets;
  sets["nist-repair-10"] = {time_terminated("nist-repair-10.csv", 1500)};
  sets["mil189-27"] = {time_terminated("mil189-27.csv", 300)};
  for (const auto& [series, plane] : planes()) {
    sets["aircond-" + series] = {plane};
    sets["aircond-all"].push_back(plane);
  }
  for (shearpin::stats::SystemWatch& engine : watches("valveseat.csv")) {
    std::ranges::sort(engine.ages);
    sets["valveseat"].push_back({engine.ages, engine.end, shearpin::stats::Termination::time});
  }
  return sets;
}

}  // namespace reference
