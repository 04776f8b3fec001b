#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "report/display.hpp"
#include "report/now.hpp"
#include "report/phrases.hpp"
#include "report/tables.hpp"
#include "report/text_table.hpp"
#include "report/upkeep_sections.hpp"

namespace shearpin::report {
namespace {

std::string section(const std::string& title, const TextTable& table) {
  return table.empty() ? "" : "\n" + heading(title) + table.to_text(kWidth);
}

/// One sentence to be read aloud first.
std::string summary(const advice::NowAnswer& answer) {
  const auto overdue = static_cast<long long>(
      std::count_if(answer.due.begin(), answer.due.end(),
                    [](const advice::DueLine& line) { return line.days_over > 0; }));
  const auto due = static_cast<long long>(answer.due.size()) - overdue;
  std::vector<std::string> parts;
  const auto add = [&parts](long long number, const std::string& text) {
    if (number > 0) {
      parts.push_back(text);
    }
  };
  const auto down = static_cast<long long>(answer.down.size());
  const auto low = static_cast<long long>(answer.reorder.size());
  const auto coming = static_cast<long long>(answer.orders.size());
  add(down, counted(down, "place") + " without a sound part");
  const auto signs = static_cast<long long>(answer.signs.size());
  add(signs, counted(signs, "sign") + " of a fault");
  add(overdue, fmt::format("{} overdue", overdue));
  add(due, fmt::format("{} due soon", due));
  add(low, counted(low, "part") + " low");
  add(coming, counted(coming, "order") + " on the way");
  return join_words(parts) + ".";
}

std::string next_step(const advice::NowAnswer& answer) {
  const auto ready = std::find_if(answer.down.begin(), answer.down.end(), [](const auto& line) {
    return line.aboard > 0 && !line.part.empty();
  });
  if (ready != answer.down.end()) {
    return fmt::format("Next: fit the spare, then `shearpin fit {} {} --from BIN`.",
                       place_text(ready->position, ready->unit, ready->several), ready->part);
  }
  const auto test = std::find_if(answer.due.begin(), answer.due.end(), [](const auto& line) {
    return line.kind == advice::DueLine::Kind::test;
  });
  if (test != answer.due.end()) {
    return fmt::format("Next: do the test, then `shearpin test {} pass` or `fail`.", test->what);
  }
  if (!answer.reorder.empty()) {
    return "Next: `shearpin reorder` says how many, from whom and by when.";
  }
  if (!answer.down.empty()) {
    return fmt::format("Next: `shearpin fits {}` says what may be fitted there.",
                       answer.down.front().position);
  }
  return "Next: `shearpin carry --days 14` says what to take on a stretch without shops.";
}

}  // namespace

std::string now_text(const advice::NowAnswer& answer, const Cautions& cautions) {
  std::string text =
      wrap_text(answer.anything() || !answer.orders.empty()
                    ? fmt::format("As of {}: {}", to_text(answer.as_of), summary(answer))
                    : fmt::format("As of {}: nothing is down, due, low or on the way.",
                                  to_text(answer.as_of)));
  text += section("Down, or getting by", down_table(answer.down, answer.as_of));
  if (!answer.signs.empty()) {
    text += "\n" + heading("Too many to be luck") + signs_text(answer.signs);
  }
  text += section("Overdue or due soon", due_table(answer.due));
  text += section("At or below the reorder point", low_table(answer.reorder));
  text += section("On the way", open_order_table(answer.orders));
  if (!answer.notes.empty()) {
    text += "\n" + heading("Notes") + notes_text(answer.notes);
  }
  const std::string warned = caution_text(cautions);
  text += warned.empty() ? "" : "\n" + warned;
  return text + "\n" + wrap_text(next_step(answer));
}

}  // namespace shearpin::report
