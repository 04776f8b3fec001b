#include "tool.hpp"

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace live {
namespace {

std::string all_of(const std::string& path) {
  std::ifstream in(path);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

std::string quoted(const std::string& word) { return "'" + word + "'"; }

}  // namespace

ScratchFolder::ScratchFolder() {
  std::string pattern = (std::filesystem::temp_directory_path() / "shearpin-live-XXXXXX").string();
  if (mkdtemp(pattern.data()) == nullptr) {
    throw std::runtime_error("cannot make a folder like " + pattern);
  }
  path_ = pattern;
}

ScratchFolder::~ScratchFolder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

bool runs(const std::string& command) {
  return std::system((command + " >/dev/null 2>&1").c_str()) == 0;
}

std::vector<Answer> answers_of(const std::string& interpreter, const std::string& script,
                               const std::string& folder) {
  const std::string said = folder + "/said.txt";
  const std::string command =
      interpreter + " " + quoted(script) + " " + quoted(folder) + " >" + quoted(said) + " 2>&1";
  if (std::system(command.c_str()) != 0) {
    throw std::runtime_error(command + " failed: " + all_of(said));
  }
  std::ifstream in(folder + "/answers.csv");
  std::vector<Answer> answers;
  std::string line;
  while (std::getline(in, line)) {
    std::istringstream fields(line);
    Answer answer;
    std::string age;
    std::string value;
    std::getline(fields, answer.id, ',');
    std::getline(fields, answer.what, ',');
    std::getline(fields, age, ',');
    std::getline(fields, value, ',');
    answer.age = std::stod(age);
    answer.value = std::stod(value);
    answers.push_back(answer);
  }
  return answers;
}

}  // namespace live
