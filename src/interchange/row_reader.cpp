#include "interchange/row_reader.hpp"

#include <algorithm>
#include <cctype>
#include <stdexcept>
#include <utility>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/base/money.hpp"

namespace shearpin::interchange {
namespace {

bool digits(std::string_view text) {
  return !text.empty() &&
         std::ranges::all_of(text, [](unsigned char c) { return std::isdigit(c) != 0; });
}

/// `1.250.000`: groups of three after the first.
bool grouped_by_points(std::string_view whole) {
  const auto groups = split(whole, '.');
  if (groups.size() < 2 || groups.front().size() > 3 || !digits(groups.front())) {
    return false;
  }
  return std::all_of(groups.begin() + 1, groups.end(),
                     [](const auto& group) { return group.size() == 3 && digits(group); });
}

std::string without_points(std::string_view text) {
  std::string out(text);
  std::erase(out, '.');
  return out;
}

/// The cell as the program spells it. InputError where it is not what the column holds.
std::string checked(const Column& column, const std::string& cell, Date today) {
  switch (column.content) {
    case Content::date:
      return shearpin::to_text(parse_date(cell, today));
    case Content::count:
      parse_count(cell, column.name, column.least);
      return cell;
    case Content::money:
      parse_money(cell);
      return cell;
    case Content::flag:
      return yes_or_no(cell) == "yes" ? "yes" : "";
    case Content::word:
      return column.spelt(cell);
    case Content::text:
    case Content::amount:
      return cell;
  }
  throw std::logic_error("content of a column");
}

std::size_t number_length(std::string_view cell) {
  auto end = cell.find_first_not_of("+-0123456789., ");
  end = end == std::string_view::npos ? cell.size() : end;
  while (end > 0 && cell[end - 1] == ' ') {
    --end;
  }
  return end;
}

}  // namespace

std::optional<std::string> with_decimal_point(std::string_view cell) {
  const auto length = number_length(cell);
  const auto number = cell.substr(0, length);
  const auto rest = cell.substr(length);
  const bool plain = !number.empty() &&
                     std::isdigit(static_cast<unsigned char>(number.back())) != 0 &&
                     rest.find_first_of("0123456789") == std::string_view::npos;
  if (!plain) {
    return std::string(cell);
  }
  const auto comma = number.find(',');
  if (comma == std::string_view::npos) {
    const bool two_ways = grouped_by_points(number) && number.front() != '0';
    return two_ways ? std::nullopt : std::optional(std::string(cell));
  }
  const auto whole = number.substr(0, comma);
  const auto decimals = number.substr(comma + 1);
  if (!digits(decimals) ||
      (whole.find('.') != std::string_view::npos && !grouped_by_points(whole))) {
    return std::string(cell);
  }
  return without_points(whole) + "." + std::string(decimals) + std::string(rest);
}

bool is_bare_number(std::string_view cell) {
  return !cell.empty() && number_length(cell) == cell.size();
}

RowReader::RowReader(const Layout& layout, const CsvRow& row, ImportFile& out)
    : layout_(layout), row_(row), out_(out) {
  for (std::size_t i = layout.width; i < row.cells.size(); ++i) {
    if (!row.cells[i].empty()) {
      refuse("", row.cells[i], "more cells than headings: a separator inside a cell needs quotes");
      break;
    }
  }
}

void RowReader::refuse(std::string_view column, std::string_view value, std::string_view rule) {
  sound_ = false;
  out_.refusals.push_back(
      {out_.name, row_.line, std::string(column), std::string(value), std::string(rule)});
}

std::string RowReader::decimal(std::string_view column, std::string cell) {
  if (!layout_.decimal_comma) {
    return cell;
  }
  auto point = with_decimal_point(cell);
  if (!point) {
    refuse(column, cell,
           "can be read two ways in a file with semicolons: write it without the point, or with a "
           "decimal comma");
    return {};
  }
  return std::move(*point);
}

std::string RowReader::typed(std::size_t index) const {
  const auto place = layout_.cell_of[index];
  return place && *place < row_.cells.size() ? row_.cells[*place] : std::string();
}

std::string RowReader::typed(std::string_view name) const {
  const auto& columns = columns_of(layout_.kind);
  return typed(
      static_cast<std::size_t>(std::ranges::find(columns, name, &Column::name) - columns.begin()));
}

std::string RowReader::text(std::size_t index) {
  const auto& column = columns_of(layout_.kind)[index];
  auto cell = typed(index);
  const bool number = column.content == Content::amount || column.content == Content::money ||
                      column.content == Content::count;
  if (number) {
    cell = decimal(column.name, std::move(cell));
  }
  if (number && is_bare_number(cell)) {
    cell += layout_.unit_of[index];
  }
  return cell;
}

ImportRow RowReader::cells() {
  ImportRow row;
  row.line = row_.line;
  const auto& columns = columns_of(layout_.kind);
  for (std::size_t i = 0; i < columns.size(); ++i) {
    auto cell = text(i);
    if (cell.empty()) {
      if (columns[i].required && sound_) {
        refuse_empty(columns[i].name);
      }
      continue;
    }
    try {
      auto told = is_master(layout_.kind) ? cell : checked(columns[i], cell, layout_.today);
      if (!told.empty()) {  // a flag that is not set is like an empty cell
        row.cells.emplace_back(columns[i].name, std::move(told));
      }
    } catch (const InputError& error) {  // collected: all refusals are shown together
      refuse(columns[i].name, cell, error.what());
    }
  }
  return row;
}

std::string RowReader::extra(const ExtraHeading& heading) {
  return heading.cell < row_.cells.size() ? decimal(heading.text, row_.cells[heading.cell])
                                          : std::string();
}

void RowReader::part_position_from_unit(ImportRow& row) {
  const std::string typed = row.text("position");
  const auto slash = typed.rfind('/');
  if (slash == std::string::npos || !digits(std::string_view(typed).substr(slash + 1))) {
    return;
  }
  const auto unit = typed.substr(slash + 1);
  try {
    const auto number = parse_count(unit, "unit");
    const auto& other = row.text("unit");
    if (!other.empty() && parse_count(other, "unit") != number) {
      refuse("unit", other, "the position names unit " + unit);
    }
  } catch (const InputError& error) {  // told with its place
    refuse("position", unit, error.what());
  }
  row.set("position", std::string(trimmed(std::string_view(typed).substr(0, slash))));
  row.set("unit", unit);
}

}  // namespace shearpin::interchange
