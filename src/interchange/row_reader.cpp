#include "interchange/row_reader.hpp"

#include <algorithm>
#include <cctype>
#include <stdexcept>
#include <utility>

#include "base/quantity.hpp"
#include "base/text.hpp"

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
  Refusal refusal{out_.name, row_.line, std::string(column), std::string(value), std::string(rule)};
  // A cell may be asked for twice, to see that it is filled and then what it says.
  for (auto last = out_.refusals.rbegin();
       last != out_.refusals.rend() && last->line == refusal.line; ++last) {
    if (*last == refusal) {
      return;
    }
  }
  out_.refusals.push_back(std::move(refusal));
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

std::string RowReader::text(std::string_view column) {
  const auto& columns = columns_of(layout_.kind);
  const auto found = std::ranges::find(columns, column, &Column::name);
  if (found == columns.end()) {
    throw std::logic_error("no column " + std::string(column));
  }
  const auto index = static_cast<std::size_t>(found - columns.begin());
  const auto cell_index = layout_.cell_of[index];
  if (!cell_index || *cell_index >= row_.cells.size()) {
    return {};
  }
  auto cell = row_.cells[*cell_index];
  const bool number = found->content == Content::amount || found->content == Content::money ||
                      found->content == Content::count;
  if (number) {
    cell = decimal(column, std::move(cell));
  }
  if (number && is_bare_number(cell)) {
    cell += layout_.unit_of[index];
  }
  return cell;
}

std::string RowReader::extra(const ExtraHeading& heading) {
  return heading.cell < row_.cells.size() ? decimal(heading.text, row_.cells[heading.cell])
                                          : std::string();
}

std::string RowReader::needed(std::string_view column) {
  auto cell = text(column);
  if (cell.empty() && sound_) {
    refuse(column, "", "must be filled");
  }
  return cell;
}

std::optional<Date> RowReader::date(std::string_view column) {
  return read<Date>(column,
                    [this](const std::string& cell) { return parse_date(cell, layout_.today); });
}

Date RowReader::needed_date(std::string_view column) {
  return needed(column).empty() ? Date{} : date(column).value_or(Date{});
}

std::optional<std::int64_t> RowReader::count(std::string_view column, std::int64_t least) {
  return read<std::int64_t>(
      column, [&](const std::string& cell) { return parse_count(cell, column, least); });
}

std::optional<int> RowReader::unit(std::string_view column) {
  const auto number = count(column, 1);
  return number ? std::optional(static_cast<int>(*number)) : std::nullopt;
}

std::optional<Money> RowReader::money(std::string_view column) {
  return read<Money>(column, [](const std::string& cell) { return parse_money(cell); });
}

bool RowReader::flag(std::string_view column) {
  return word(
      column,
      [](const std::string& cell) {
        const auto word = lower_case(cell);
        if (word == "yes" || word == "y" || word == "true" || word == "1" || word == "x") {
          return true;
        }
        if (word == "no" || word == "n" || word == "false" || word == "0") {
          return false;
        }
        throw InputError(quoted(cell) + " is neither yes nor no");
      },
      false);
}

std::pair<std::string, std::optional<int>> RowReader::place() {
  auto position = text("position");
  auto number = unit("unit");
  const auto slash = position.rfind('/');
  if (slash != std::string::npos && digits(std::string_view(position).substr(slash + 1))) {
    const auto named = position.substr(slash + 1);
    position = trimmed(std::string_view(position).substr(0, slash));
    try {
      const auto same = static_cast<int>(parse_count(named, "unit"));
      if (number && *number != same) {
        refuse("unit", std::to_string(*number), "the position names unit " + named);
      }
      number = same;
    } catch (const InputError& error) {
      refuse("position", named, error.what());
    }
  }
  return {position, number};
}

}  // namespace shearpin::interchange
