#pragma once
/// Lines of comma-separated values (RFC 4180, line feeds alone).

#include <string>
#include <string_view>
#include <vector>

namespace shearpin::report {

/// Quoted where it holds a comma, a quote or a line break; quotes doubled.
std::string csv_field(std::string_view text);

std::string csv_line(const std::vector<std::string>& fields);

}  // namespace shearpin::report
