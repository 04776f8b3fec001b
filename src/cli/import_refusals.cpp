#include "cli/import_refusals.hpp"

#include <fmt/format.h>

#include <map>
#include <utility>

#include "base/text.hpp"

namespace shearpin::cli {
namespace {

constexpr std::size_t kShown = 20;

std::string one_refusal(const interchange::Refusal& refusal) {
  std::string text = "\n  " + refusal.file;
  if (refusal.line > 0) {
    text += fmt::format(" line {}", refusal.line);
  }
  if (!refusal.column.empty()) {
    text += fmt::format(", {}", refusal.column);
  }
  if (!refusal.value.empty()) {
    text += fmt::format(" \"{}\"", refusal.value);
  }
  return text + ": " + refusal.rule;
}

}  // namespace

std::string refusal_text(const std::vector<interchange::Refusal>& refusals) {
  std::string text = fmt::format("{} refused, nothing was written:",
                                 counted(static_cast<long long>(refusals.size()), "line"));
  std::map<std::pair<std::string, std::string>, std::size_t> of_a_kind;
  for (const auto& refusal : refusals) {
    if (++of_a_kind[{refusal.file, refusal.column}] <= kShown) {
      text += one_refusal(refusal);
    }
  }
  for (const auto& [kind, count] : of_a_kind) {
    if (count > kShown) {
      text += fmt::format("\n  {}{}{}: {} more", kind.first, kind.second.empty() ? "" : ", ",
                          kind.second, count - kShown);
    }
  }
  return text;
}

}  // namespace shearpin::cli
