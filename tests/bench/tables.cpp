#include "tables.hpp"

#include <fmt/format.h>

#include <chrono>
#include <fstream>
#include <map>
#include <stdexcept>

namespace shearpin::bench {
namespace {

std::vector<std::string> cells(const std::string& line) {
  std::vector<std::string> result(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      result.emplace_back();
    } else if (c != '\r') {
      result.back() += c;
    }
  }
  return result;
}

}  // namespace

std::vector<ClassRow> read_classes(const std::string& path) {
  std::ifstream in(path);
  std::string line;
  if (!std::getline(in, line)) {
    throw std::runtime_error(path + ": no class beliefs there");
  }
  std::map<std::string, std::size_t> column;
  for (const auto& name : cells(line)) {
    column.emplace(name, column.size());
  }
  std::vector<ClassRow> classes;
  while (std::getline(in, line)) {
    const auto row = cells(line);
    const auto at = [&](const char* name) { return row.at(column.at(name)); };
    classes.push_back({at("key"), at("basis"), std::stod(at("life")),
                       std::stod(at("usual_per_day")), std::stod(at("shape")),
                       at("hidden") == "yes", at("dated") == "yes", at("consumed") == "yes"});
  }
  return classes;
}

std::string day_text(int day) {
  const std::chrono::year_month_day date{std::chrono::sys_days{std::chrono::days{day}}};
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
}

Table::Table(const std::string& folder, const std::string& name, std::string_view header)
    : file_(std::fopen((folder + '/' + name + ".csv").c_str(), "w")) {
  if (!file_) {
    throw std::runtime_error(folder + '/' + name + ".csv cannot be written");
  }
  row(header);
}

void Table::row(std::string_view line) { fmt::print(file_.get(), "{}\n", line); }

}  // namespace shearpin::bench
