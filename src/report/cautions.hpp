#pragma once
/// Cautions for work that can hurt someone: which ones an answer calls for, and how they are shown.

#include <string>
#include <utility>
#include <vector>

#include "shearpin/advice/answers.hpp"
#include "shearpin/advice/inquiry.hpp"

namespace shearpin::report {

/// Key of a safety note and its text, as StockReport::cautions holds them.
using Caution = std::pair<std::string, std::string>;
using Cautions = std::vector<Caution>;

/// Keys of the cautions that the lines asking for something name, each once, in order of
/// appearance: lines that are short, to order, down, due or at their reorder point.
std::vector<std::string> safety_keys(const advice::CarryAnswer& answer);
std::vector<std::string> safety_keys(const advice::ReorderAnswer& answer);
std::vector<std::string> safety_keys(const advice::NowAnswer& answer);
std::vector<std::string> safety_keys(const advice::ExplainAnswer& answer);

/// `Caution: ...`, one wrapped paragraph for each, 80 columns; the same text is shown once. Empty
/// for none. Ends with a line feed.
std::string caution_text(const Cautions& cautions);

}  // namespace shearpin::report
