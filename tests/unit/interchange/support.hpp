#pragma once
/// Helpers of the interchange tests.

#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <string_view>

#include "interchange/import.hpp"

namespace shearpin::interchange::test {

inline Date day(std::string_view text) {
  using namespace std::chrono;
  return parse_date(text, sys_days{year{2026} / May / 25});
}

inline ImportFile read(Kind kind, std::string_view bytes) {
  return read_import(bytes, "t.csv", kind, day("2026-05-25"));
}

inline std::string slurp(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) {
    throw std::runtime_error("cannot read " + path);
  }
  std::ostringstream bytes;
  bytes << in.rdbuf();
  return bytes.str();
}

inline const ImportRow& row_at(const ImportFile& file, std::size_t index) {
  return file.rows.at(index);
}

/// "line 3, column, value" of each refusal, for short comparisons.
inline std::string refusals(const ImportFile& file) {
  std::string out;
  for (const auto& refusal : file.refusals) {
    out += std::to_string(refusal.line) + " " + refusal.column + " [" + refusal.value + "]\n";
  }
  return out;
}

}  // namespace shearpin::interchange::test
