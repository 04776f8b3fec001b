#include "report/cautions.hpp"

#include <algorithm>

#include "report/phrases.hpp"

namespace shearpin::report {
namespace {

void add_key(std::vector<std::string>& keys, const std::string& key) {
  if (!key.empty() && std::find(keys.begin(), keys.end(), key) == keys.end()) {
    keys.push_back(key);
  }
}

}  // namespace

std::vector<std::string> safety_keys(const advice::CarryAnswer& answer) {
  std::vector<std::string> keys;
  for (const advice::CarryLine& line : answer.lines) {
    if (line.short_by() > 0) {
      add_key(keys, line.safety_note);
    }
  }
  return keys;
}

std::vector<std::string> safety_keys(const advice::ReorderAnswer& answer) {
  std::vector<std::string> keys;
  for (const advice::ReorderLine& line : answer.lines) {
    if (line.wanted()) {
      add_key(keys, line.safety_note);
    }
  }
  return keys;
}

std::vector<std::string> safety_keys(const advice::NowAnswer& answer) {
  std::vector<std::string> keys;
  for (const advice::DownLine& line : answer.down) {
    add_key(keys, line.safety_note);
  }
  for (const advice::FaultSign& sign : answer.signs) {
    add_key(keys, sign.safety_note);
  }
  for (const advice::DueLine& line : answer.due) {
    add_key(keys, line.safety_note);
  }
  for (const advice::ReorderLine& line : answer.reorder) {
    add_key(keys, line.safety_note);
  }
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

}  // namespace shearpin::report
