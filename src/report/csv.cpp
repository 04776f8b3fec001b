#include "report/csv.hpp"

#include "shearpin/base/text.hpp"

namespace shearpin::report {

std::string csv_field(std::string_view text) {
  if (text.find_first_of(",\"\r\n") == std::string_view::npos) {
    return std::string(text);
  }
  std::string field = "\"";
  for (const char c : text) {
    field += c;
    if (c == '"') {
      field += '"';
    }
  }
  return field + '"';
}

std::string csv_line(const std::vector<std::string>& fields) {
  std::vector<std::string> written;
  for (const std::string& field : fields) {
    written.push_back(csv_field(field));
  }
  return join(written, ",") + '\n';
}

}  // namespace shearpin::report
