#pragma once
/// How the HTML report looks, on a screen and on paper.

#include <string>
#include <string_view>

#include "report/stock_report.hpp"

namespace shearpin::report {

/// The style sheet. `title` and `as_of` stand at the head of each printed page with its number,
/// where the browser prints page margins.
std::string html_style(Paper paper, std::string_view title, std::string_view as_of);

}  // namespace shearpin::report
