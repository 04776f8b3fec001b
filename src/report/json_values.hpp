#pragma once
/// Values of answers as JSON, keys in the order of docs/json.md. Only json_*.cpp include this.

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

using Json = nlohmann::ordered_json;

/// Every answer says which form it has; a key that changes its meaning makes it 2.
inline constexpr int kSchema = 1;

/// std::logic_error unless finite: the writer would turn NaN into null, which means "not known".
Json figure(double value);
Json figures(const std::vector<double>& values);

/// An array of what `function` makes of each line.
template <class Lines, class Function>
Json each(const Lines& lines, Function function) {
  Json array = Json::array();
  for (const auto& line : lines) {
    array.push_back(function(line));
  }
  return array;
}

/// null for none.
Json maybe(const std::optional<double>& value);
Json maybe(const std::optional<Date>& date);
/// In the ledger's currency: 4.50 is 4.5.
Json money(Money amount);
Json maybe(const std::optional<Money>& amount);
/// null for an empty text.
Json text_or_null(const std::string& text);

/// null for none.
Json window_json(const std::optional<advice::Window>& window);
Json carry_line(const advice::CarryLine& line);
Json reorder_line(const advice::ReorderLine& line);
Json sign_line(const advice::FaultSign& sign);
Json kit_json(const advice::KitView& kit);
Json simulation_json(const advice::SimulationView& view);
Json on_trip_json(const advice::OnTrip& trip);
Json order_chances_json(const std::vector<advice::OrderChance>& chances);
Json frontier_json(const advice::Frontier& frontier);
/// null for none.
Json trip_json(const std::optional<advice::TripView>& trip);

/// `{"schema":1,"as_of":...}`, the start of every answer.
Json answer_head(Date as_of);

/// On one line, ending with a line feed; bytes that are not UTF-8 become U+FFFD.
std::string written(const Json& json);

}  // namespace shearpin::report
