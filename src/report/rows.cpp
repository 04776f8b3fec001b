#include "report/rows.hpp"

#include <cmath>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "base/quantity.hpp"
#include "base/text.hpp"

namespace shearpin::report {
namespace {

/// Every answer says which form it has; a key that changes its meaning makes it 2.
constexpr int kSchema = 1;

std::string dumped(const nlohmann::json& value) {
  return value.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
}

double finite(double number) {
  if (!std::isfinite(number)) {
    throw std::logic_error("a figure that is not finite cannot be written");
  }
  return number;
}

}  // namespace

Value::Value(bool yes) : json(yes ? "true" : "false"), cell(json) {}
Value::Value(long long number) : json(std::to_string(number)), cell(json) {}
Value::Value(unsigned long long number) : json(std::to_string(number)), cell(json) {}
Value::Value(double number) : json(dumped(finite(number))), cell(plain_number(number)) {}
Value::Value(std::string_view text) : json(dumped(text)), cell(text) {}
Value::Value(Money amount) : json(dumped(amount.major())), cell(to_text(amount)) {}
Value::Value(Date date) : Value(to_text(date)) {}

Value::Value(const Row& object) : json("{") {
  for (const Field& field : object) {
    json += json.size() > 1 ? "," : "";
    json += dumped(field.key) + ':' + field.value.json;
  }
  json += '}';
}

Value::Value(const std::vector<Row>& objects) : Value(list({objects.begin(), objects.end()})) {}

Value Value::list(const std::vector<Value>& values) {
  Value all;
  all.json = "[";
  for (const Value& value : values) {
    all.json += (all.json.size() > 1 ? "," : "") + value.json;
    all.cell += (all.cell.empty() ? "" : ";") + value.cell;
  }
  all.json += ']';
  return all;
}

Row joined(Row row, const Row& more) {
  row.insert(row.end(), more.begin(), more.end());
  return row;
}

Value or_null(std::string_view text) { return text.empty() ? Value() : Value(text); }

std::string json_text(std::optional<Date> as_of, const Row& row) {
  Row head{{"schema", kSchema}};
  if (as_of) {
    head.push_back({"as_of", *as_of});
  }
  return Value(joined(head, row)).json + '\n';
}

const std::string& cell_of(const Row& row, std::string_view key) {
  for (const Field& field : row) {
    if (field.key == key) {
      return field.value.cell;
    }
  }
  throw std::logic_error("a row lacks the key " + std::string(key));
}

std::string csv_table(std::string_view columns, const std::vector<Row>& rows) {
  std::string text = std::string(columns) + '\n';
  for (const Row& row : rows) {
    std::vector<std::string> cells;
    for (const std::string& key : split(columns, ',')) {
      cells.push_back(cell_of(row, key));
    }
    text += csv_line(cells);
  }
  return text;
}

}  // namespace shearpin::report
