#pragma once
/// Reads the reference tables: '#' lines skipped, first line names the columns, no quoting.

#include <fstream>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace reference {

using Row = std::map<std::string, std::string>;

inline std::vector<std::string> split(const std::string& line) {
  std::vector<std::string> fields;
  std::string field;
  std::istringstream in(line);
  while (std::getline(in, field, ',')) {
    fields.push_back(field);
  }
  if (!line.empty() && line.back() == ',') {
    fields.emplace_back();
  }
  return fields;
}

/// `path` below tests/reference. Throws when it is missing or a row has another number of fields.
inline std::vector<Row> read(const std::string& path) {
  std::ifstream in(SHEARPIN_TEST_DIR "/reference/" + path);
  if (!in) {
    throw std::runtime_error("cannot read " + path);
  }
  std::vector<Row> rows;
  std::vector<std::string> names;
  std::string line;
  while (std::getline(in, line)) {
    if (line.empty() || line.front() == '#') {
      continue;
    }
    const std::vector<std::string> fields = split(line);
    if (names.empty()) {
      names = fields;
      continue;
    }
    if (fields.size() != names.size()) {
      throw std::runtime_error(path + ": wrong number of fields: " + line);
    }
    Row row;
    for (std::size_t i = 0; i < names.size(); ++i) {
      row[names[i]] = fields[i];
    }
    rows.push_back(std::move(row));
  }
  return rows;
}

inline double number(const Row& row, const std::string& column) {
  return std::stod(row.at(column));
}

}  // namespace reference
