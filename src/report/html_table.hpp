#pragma once
/// A TextTable as an HTML table with a caption and named heads.

#include <string_view>

#include "report/html.hpp"
#include "report/text_table.hpp"

namespace shearpin::report {

/// The first flexible column heads its row; the phrases below go into a second row over the whole
/// width, one group with the first. A kTickBox becomes an empty square. Stands in a box that
/// scrolls sideways where the page is too narrow.
Markup html_table(const TextTable& table, std::string_view caption);

}  // namespace shearpin::report
