/// The arrows between the modules, read off the #include lines: link lists alone do not keep them,
/// since one include root serves all.

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;

/// What a module may include besides itself (DEVELOPERS.md, "Map").
const std::map<std::string, std::set<std::string>> kMayInclude{
    {"base", {}},
    {"domain", {"base"}},
    {"stats", {"base"}},
    {"stocking", {"base", "stats"}},
    {"ledger", {"base", "domain"}},
    {"interchange", {"base", "domain"}},
    {"apply", {"base", "domain", "ledger", "interchange"}},
    {"advice", {"base", "domain", "stats", "stocking"}},
    {"report", {"base", "domain", "stats", "stocking", "advice"}},
    {"cli",
     {"base", "domain", "stats", "stocking", "ledger", "interchange", "apply", "advice", "report"}},
};

/// Headers in src/ that other modules may include as well; what is in include/ anybody may.
const std::map<std::string, std::set<std::string>> kShared{
    {"advice", {"analyst", "debrief", "replay"}},
    {"apply", {"arguments", "import", "master", "requests", "resolver", "trip_leg"}},
    {"base", {"character", "new_file", "quantity", "refuse", "text"}},
    {"domain",
     {"cautions", "conditions", "fields", "name_lookup", "plan", "plan_exposure", "plan_fail",
      "plan_fault", "plan_fit", "plan_fitting", "plan_orders", "plan_stock", "plan_trip"}},
    {"interchange", {"csv", "export", "import", "master_lists", "rows"}},
    {"report", {"answers", "display", "entry_text", "rows", "text_table"}},
    {"stats",
     {"age_replacement", "class_borrowing", "condition_factor", "failure_finding", "trend_tests",
      "weibull_fit"}},
    {"stocking",
     {"consumption", "failure_chance", "kit", "levels", "losses", "stand_ins", "stretch_demand",
      "trip_chance", "trip_plan", "trip_simulation"}},
};

/// Heavy headers and the only places that may see them.
const std::vector<std::pair<std::string, std::regex>> kHeavy{
    {"CLI/", std::regex("src/cli/parser\\.cpp")},
    {"SQLiteCpp/", std::regex("src/ledger/.*")},
    {"sqlite3.h", std::regex("src/ledger/.*")},
    {"boost/", std::regex("src/(stats|stocking)/.*\\.cpp")},
    {"nlohmann/json.hpp", std::regex("src/report/rows\\.cpp|src/cli/.*\\.cpp")},
    {"csv.h", std::regex("src/interchange/.*\\.cpp")},
};

struct Include {
  std::string file;    ///< from the top of the tree
  std::string module;  ///< that the file belongs to
  std::string header;
};

std::vector<Include> all_includes() {
  const fs::path top = SHEARPIN_SOURCE_DIR;
  std::vector<Include> found;
  const std::regex line_of("^\\s*#\\s*include\\s*[<\"]([^>\"]+)[>\"].*");
  for (const char* root : {"src", "include/shearpin"}) {
    for (const auto& entry : fs::recursive_directory_iterator(top / root)) {
      const auto extension = entry.path().extension();
      if (extension != ".cpp" && extension != ".hpp") {
        continue;
      }
      const std::string module = fs::relative(entry.path(), top / root).begin()->string();
      std::ifstream file(entry.path());
      for (std::string line; std::getline(file, line);) {
        std::smatch match;
        if (std::regex_match(line, match, line_of)) {
          found.push_back({fs::relative(entry.path(), top).string(), module, match[1]});
        }
      }
    }
  }
  return found;
}

/// The module a header of ours belongs to; empty for others.
std::string module_of(const std::string& header) {
  std::string rest = header;
  if (rest.rfind("shearpin/", 0) == 0) {
    rest = rest.substr(9);
  }
  const std::string first = rest.substr(0, rest.find('/'));
  return rest.find('/') != std::string::npos && kMayInclude.count(first) > 0 ? first : "";
}

}  // namespace

TEST_CASE("Includes follow the one-way arrows between the modules") {
  const auto includes = all_includes();
  REQUIRE(includes.size() > 500);
  for (const auto& include : includes) {
    const std::string other = module_of(include.header);
    if (other.empty() || other == include.module) {
      continue;
    }
    INFO(include.file << " includes " << include.header);
    REQUIRE(kMayInclude.count(include.module) == 1);
    CHECK(kMayInclude.at(include.module).count(other) == 1);
  }
}

TEST_CASE("Headers in src stay in their module unless they are listed") {
  for (const auto& include : all_includes()) {
    const std::string other = module_of(include.header);
    const bool is_private = include.header.rfind("shearpin/", 0) != 0;
    if (!other.empty() && is_private) {
      INFO(include.file << " includes " << include.header);
      const auto shared = kShared.find(other);
      const auto name = fs::path(include.header).stem().string();
      CHECK(
          (other == include.module || (shared != kShared.end() && shared->second.count(name) > 0)));
    }
  }
}

TEST_CASE("A header that is installed includes none that is not") {
  for (const auto& include : all_includes()) {
    if (include.file.rfind("include/", 0) == 0 && !module_of(include.header).empty()) {
      INFO(include.file << " includes " << include.header);
      CHECK(include.header.rfind("shearpin/", 0) == 0);
    }
  }
}

TEST_CASE("Heavy headers are seen where they are needed and nowhere else") {
  for (const auto& include : all_includes()) {
    for (const auto& [header, places] : kHeavy) {
      if (include.header.rfind(header, 0) == 0) {
        INFO(include.file << " includes " << include.header);
        CHECK(std::regex_match(include.file, places));
      }
    }
  }
}

TEST_CASE("Nothing below the command line reads a clock, the environment or a terminal") {
  const std::regex outside(
      ".*(system_clock::now|steady_clock::now|std::time\\(|getenv|isatty|std::cout|std::cerr|"
      "std::cin).*");
  for (const auto& entry :
       fs::recursive_directory_iterator(fs::path(SHEARPIN_SOURCE_DIR) / "src")) {
    const std::string path = fs::relative(entry.path(), SHEARPIN_SOURCE_DIR).string();
    if (entry.path().extension() != ".cpp" || path == "src/cli/main.cpp") {
      continue;
    }
    std::ifstream file(entry.path());
    int number = 0;
    for (std::string line; std::getline(file, line);) {
      ++number;
      INFO(path << " line " << number << ": " << line);
      CHECK_FALSE(std::regex_match(line, outside));
    }
  }
}
