// The session that README.md shows is what the program prints, but for the day and the folder.

#include <catch2/catch.hpp>
#include <chrono>
#include <ctime>
#include <sstream>

#include "sandbox.hpp"

using namespace shearpin::test;

namespace {

// Yesterday, as the sandbox's clock (UTC) has it.
std::string yesterday() {
  const std::time_t time = std::chrono::system_clock::to_time_t(std::chrono::system_clock::now() -
                                                                std::chrono::hours(24));
  std::string text(10, ' ');
  std::tm parts{};
  ::gmtime_r(&time, &parts);
  std::strftime(text.data(), text.size() + 1, "%F", &parts);
  return text;
}

void replace_all(std::string& text, const std::string& what, const std::string& with) {
  for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + with.size())) {
    text.replace(at, what.size(), with);
  }
}

struct ReadmeStep {
  std::string command, answer;
};

// The commands of the first session in README.md with the answers printed below each.
std::vector<ReadmeStep> session_of_readme() {
  std::istringstream readme(read_file(std::string(SHEARPIN_SOURCE_DIR) + "/README.md"));
  std::vector<ReadmeStep> steps;
  for (std::string line; std::getline(readme, line);) {
    if (line.rfind("    $ shearpin ", 0) == 0) {
      steps.push_back({line.substr(std::string("    $ shearpin ").size()), ""});
    } else if (!steps.empty() && line.rfind("    ", 0) == 0) {
      steps.back().answer += line + '\n';
    } else if (!steps.empty()) {
      break;
    }
  }
  return steps;
}

}  // namespace

TEST_CASE("The session in README.md is a real one") {
  Sandbox box;
  box.set("XDG_DATA_HOME", "");
  const auto steps = session_of_readme();
  REQUIRE(steps.size() == 7);
  for (auto [command, answer] : steps) {
    const std::string day = yesterday();
    const Ran ran = box(command);
    INFO(command << '\n' << ran.out << ran.err);
    CHECK(ran.code == 0);
    replace_all(answer, "/home/crew", box.folder().string());
    replace_all(answer, "2026-11-24", day);
    if (const auto cut = answer.find("..."); cut != std::string::npos) {
      answer.erase(cut);
    }
    CHECK(holds(ran.out + ran.err, answer));
  }
}
