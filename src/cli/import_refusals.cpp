#include "cli/import_refusals.hpp"

#include <fmt/format.h>

#include "shearpin/base/text.hpp"

namespace shearpin::cli {

std::string refusal_text(const std::vector<interchange::Refusal>& refusals) {
  std::string text = fmt::format("{} refused, nothing was written:",
                                 counted(static_cast<long long>(refusals.size()), "line"));
  for (const auto& refusal : refusals) {
    text += fmt::format("\n  {}", refusal.file);
    if (refusal.line > 0) {
      text += fmt::format(" line {}", refusal.line);
    }
    if (!refusal.column.empty()) {
      text += fmt::format(", {}", refusal.column);
    }
    if (!refusal.value.empty()) {
      text += fmt::format(" \"{}\"", refusal.value);
    }
    text += ": " + refusal.rule;
  }
  return text;
}

}  // namespace shearpin::cli
