// Every key that an answer prints on the demo stands in docs/json.md, in the section of its command
// or in one that the section points to.

#include <catch2/catch.hpp>
#include <map>
#include <set>
#include <sstream>

#include "scenes.hpp"

using namespace shearpin::test;

namespace {

/// The text of docs/json.md by section; "" is what stands before the first.
std::map<std::string, std::string> sections() {
  std::istringstream doc(read_file(std::string(SHEARPIN_SOURCE_DIR) + "/docs/json.md"));
  std::map<std::string, std::string> found;
  std::string section;
  for (std::string line; std::getline(doc, line);) {
    if (line.rfind("## ", 0) == 0) {
      section = line.substr(3);
    }
    found[section] += line + '\n';
  }
  return found;
}

/// Keys at any depth. Below `use` of a trip stand the owner's own meters.
void collect(const Json& json, std::set<std::string>& keys) {
  if (json.is_array()) {
    for (const auto& one : json) {
      collect(one, keys);
    }
  } else if (json.is_object()) {
    for (const auto& [key, value] : json.items()) {
      keys.insert(key);
      if (key != "use" || value.is_array()) {
        collect(value, keys);
      }
    }
  }
}

std::string undocumented(const Json& answer, const std::vector<std::string>& where) {
  const auto doc = sections();
  std::string text = doc.at("");
  for (const auto& section : where) {
    text += doc.at(section);
  }
  std::set<std::string> keys;
  collect(answer, keys);
  std::string missing;
  for (const auto& key : keys) {
    if (!holds(text, "`" + key + "`") && !holds(text, "\"" + key + "\"")) {
      missing += key + ' ';
    }
  }
  return missing;
}

}  // namespace

TEST_CASE("Every key of every answer on the demo is documented in docs/json.md") {
  const Sandbox box;
  make_demo(box);
  box.ok("trip add late --name \"Late summer\" --from 2025-08-25 --to 2025-09-20 --on 2025-08-01");
  const std::string day = " --as-of " + kDemoDay;
  const std::string trip = " --trip marrow-2026" + day;
  const std::string limits = " --max-mass 80kg --max-volume 28l --max-risk stranded=2%";
  struct Answer {
    std::string line;
    std::vector<std::string> where;
  };
  const std::vector<Answer> answers{
      {"carry" + trip + limits + " --simulate --runs 100", {"carry"}},
      {"carry" + trip + " --max-mass 0g --max-risk stranded=0.1%", {"carry"}},
      {"carry --days 10" + day, {"carry"}},
      {"reorder" + trip, {"reorder", "carry"}},
      {"now" + day, {"now", "reorder", "carry", "rate"}},
      {"weak" + trip, {"weak"}},
      {"report" + trip + limits, {"report", "carry", "reorder", "now", "rate"}},
      {"rate p43" + day, {"rate"}},
      {"rate slide-shear-pin" + day, {"rate"}},
      {"explain p43" + trip, {"explain", "rate", "carry", "reorder"}},
      {"compare p20 p21" + day, {"compare", "rate"}},
      {"replay" + day, {"replay"}},
      {"trip show marrow-2026", {"trip show"}},
      {"trip list", {"trip list"}},
      {"trip debrief late" + day, {"trip debrief"}}};
  for (const auto& answer : answers) {
    INFO(answer.line);
    CHECK(undocumented(box.json(answer.line), answer.where).empty());
  }
}

TEST_CASE("Without a kit its figures are null, not 0, a window names its trip") {
  const Sandbox box;
  make_demo(box);
  const std::string trip = " --trip marrow-2026 --as-of " + kDemoDay;
  const Json none = box.json("carry" + trip + " --max-mass 0g --max-risk stranded=0.1%");
  CHECK(none.at("window").at("trip") == "marrow-2026");
  CHECK(none.at("kit").at("found") == false);
  for (const char* key :
       {"gap", "chance_no_shortage", "days_without", "cost_without", "safety_cost"}) {
    INFO(key);
    CHECK(none.at("kit").at(key).is_null());
  }
  const Json some = box.json("carry" + trip + " --max-mass 80kg").at("kit");
  CHECK(some.at("chance_no_shortage").get<double>() > 0);
  CHECK(box.json("carry --days 5 --as-of " + kDemoDay).at("window").at("trip").is_null());
}
