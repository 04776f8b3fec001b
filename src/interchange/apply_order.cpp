#include <algorithm>
#include <tuple>
#include <type_traits>

#include "interchange/import.hpp"

namespace shearpin::interchange {
namespace {

struct Place {
  bool dated_later = false;  ///< trips come last
  bool dated = false;
  Kind master = Kind::safety_notes;
  Date date;
  int on_the_day = 0;
  friend auto operator<=>(const Place&, const Place&) = default;
};

/// Pieces arrive before they are used, and are counted after.
int rank(const RowBody& body) {
  return std::visit(
      [](const auto& row) {
        using Row = std::decay_t<decltype(row)>;
        if constexpr (std::is_same_v<Row, HistoryRow>) {
          return row.kind == HistoryKind::fault_open ? 7 : 8;
        } else {
          return std::is_same_v<Row, FittedRow>      ? 1
                 : std::is_same_v<Row, StockRow>     ? 2
                 : std::is_same_v<Row, ReadingRow>   ? 3
                 : std::is_same_v<Row, ConditionRow> ? 4
                 : std::is_same_v<Row, OrderRow>     ? 5
                 : std::is_same_v<Row, ReceiptRow>   ? 6
                 : std::is_same_v<Row, CountRow>     ? 9
                                                     : 0;
        }
      },
      body);
}

}  // namespace

std::optional<Date> date_of(const ImportRow& row) {
  return std::visit(
      [](const auto& body) -> std::optional<Date> {
        using Row = std::decay_t<decltype(body)>;
        if constexpr (std::is_same_v<Row, MasterRow> || std::is_same_v<Row, TripRow>) {
          return std::nullopt;
        } else if constexpr (std::is_same_v<Row, ConditionRow>) {
          return body.from;
        } else {
          return body.date;
        }
      },
      row.body);
}

std::optional<Date> first_day(std::span<const ImportFile> files) {
  std::optional<Date> first;
  for (const auto& file : files) {
    for (const auto& row : file.rows) {
      const auto date = date_of(row);
      if (date && (!first || *date < *first)) {
        first = date;
      }
    }
  }
  return first;
}

std::vector<RowRef> in_order(std::span<const ImportFile> files) {
  std::vector<std::pair<Place, RowRef>> placed;
  for (std::size_t i = 0; i < files.size(); ++i) {
    for (const auto& row : files[i].rows) {
      const auto date = date_of(row);
      Place place;
      place.dated_later = std::holds_alternative<TripRow>(row.body);
      place.dated = date.has_value();
      place.master = date ? Kind::safety_notes : files[i].kind;
      place.date = date.value_or(Date{});
      place.on_the_day = rank(row.body);
      placed.push_back({place, {i, &row}});
    }
  }
  std::ranges::stable_sort(placed, {}, [](const auto& entry) { return entry.first; });
  std::vector<RowRef> order;
  order.reserve(placed.size());
  for (const auto& entry : placed) {
    order.push_back(entry.second);
  }
  return order;
}

}  // namespace shearpin::interchange
