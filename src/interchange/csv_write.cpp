#include "base/text.hpp"
#include "interchange/csv.hpp"

namespace shearpin::interchange {

std::string write_csv(std::span<const CsvLine> rows) {
  std::string out;
  for (const auto& row : rows) {
    out += csv_line(row);
  }
  return out;
}

}  // namespace shearpin::interchange
