#pragma once
/// Which spares to carry for a stretch: as text, JSON and CSV. Formats: docs/json.md.

#include <string>

#include "report/cautions.hpp"
#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

/// What is short first, then what is enough, then the totals, notes and cautions. Says so where
/// nothing is called for. 80 columns, ends with a line feed.
std::string carry_text(const advice::CarryAnswer& answer, const Cautions& cautions = {});

/// One JSON object on one line, schema 1, ends with a line feed. Bytes that are not UTF-8 are shown
/// as U+FFFD. std::logic_error where a figure is not finite: JSON would show it as unknown.
std::string carry_json(const advice::CarryAnswer& answer);

/// One line a part after a header line (RFC 4180, line feeds alone); unknown values are empty.
std::string carry_csv(const advice::CarryAnswer& answer);

}  // namespace shearpin::report
