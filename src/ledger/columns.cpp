#include "ledger/columns.hpp"

#include <algorithm>
#include <charconv>

#include "base/quantity.hpp"
#include "base/text.hpp"

namespace shearpin::ledger {

std::string lines_of(const std::vector<std::string>& words) {
  std::vector<std::string> lines = words;
  for (std::string& line : lines) std::replace(line.begin(), line.end(), '\n', ' ');
  return join(lines, "\n");
}

std::vector<std::string> words_of(const std::string& lines) {
  return lines.empty() ? std::vector<std::string>{} : split(lines, '\n');
}

Cell cell_of(const std::map<std::string, double>& sensitivity) {
  std::vector<std::string> lines;
  for (const auto& [condition, factor] : sensitivity) {
    lines.push_back(condition + "=" + plain_number(factor));
  }
  return lines_of(lines);
}

void read(Query& row, std::map<std::string, double>& sensitivity) {
  for (const std::string& line : words_of(row.text())) {
    const std::size_t sign = line.rfind('=');
    double factor = 0;
    if (sign == std::string::npos) row.damaged("a sensitivity without a factor");
    const char* last = line.data() + line.size();
    if (std::from_chars(line.data() + sign + 1, last, factor).ptr != last) {
      row.damaged("a sensitivity whose factor is not a number");
    }
    sensitivity.emplace(line.substr(0, sign), factor);
  }
}

}  // namespace shearpin::ledger
