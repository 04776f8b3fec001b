// Cautions for work that can hurt someone.

#include <algorithm>

#include "report/display.hpp"
#include "report/phrases.hpp"

namespace shearpin::report {

void add_key(std::vector<std::string>& keys, const std::string& key) {
  if (!key.empty() && std::find(keys.begin(), keys.end(), key) == keys.end()) {
    keys.push_back(key);
  }
}

namespace {

template <class Line, class Asks>
void add_keys(std::vector<std::string>& keys, const std::vector<Line>& lines, Asks asks) {
  for (const Line& line : lines) {
    if (asks(line)) {
      add_key(keys, line.safety_note);
    }
  }
}

}  // namespace

std::vector<std::string> safety_keys(const advice::CarryAnswer& answer) {
  std::vector<std::string> keys;
  add_keys(keys, answer.lines, [](const auto& line) { return line.short_by() > 0; });
  return keys;
}

std::vector<std::string> safety_keys(const advice::ReorderAnswer& answer) {
  std::vector<std::string> keys;
  add_keys(keys, answer.lines, [](const auto& line) { return line.wanted(); });
  return keys;
}

std::vector<std::string> safety_keys(const advice::NowAnswer& answer) {
  std::vector<std::string> keys;
  const auto all = [](const auto&) { return true; };
  add_keys(keys, answer.down, all);
  add_keys(keys, answer.signs, all);
  add_keys(keys, answer.due, all);
  add_keys(keys, answer.reorder, all);
  return keys;
}

std::vector<std::string> safety_keys(const advice::ExplainAnswer& answer) {
  std::vector<std::string> keys;
  if (answer.carry) {
    add_key(keys, answer.carry->safety_note);
  }
  add_key(keys, answer.reorder.safety_note);
  return keys;
}

std::string caution_text(const Cautions& cautions) {
  std::vector<std::string> shown;
  std::string text;
  for (const Caution& caution : cautions) {
    if (std::find(shown.begin(), shown.end(), caution.second) == shown.end()) {
      shown.push_back(caution.second);
      text += hanging("Caution: ", caution.second);
    }
  }
  return text;
}

std::string closing_cautions(const Cautions& cautions) {
  constexpr std::string_view kLimits = "estimate-limits";
  Cautions ordered{{std::string(kLimits), std::string(estimate_caution())}};
  for (const Caution& caution : cautions) {
    if (caution.first == kLimits) {
      ordered.front() = caution;
    } else {
      ordered.push_back(caution);
    }
  }
  return caution_text(ordered);
}

}  // namespace shearpin::report
