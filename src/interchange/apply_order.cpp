#include <algorithm>

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

/// A fault is opened before the failures that name it.
int on_the_day(const ImportRow& row) {
  const int rank = 2 * static_cast<int>(row.kind);
  return row.kind == RowKind::history && row.text("kind") == "fault-open" ? rank - 1 : rank;
}

}  // namespace

std::optional<Date> first_day(std::span<const ImportFile> files) {
  std::optional<Date> first;
  for (const auto& file : files) {
    for (const auto& row : file.rows) {
      if (row.date && (!first || *row.date < *first)) {
        first = row.date;
      }
    }
  }
  return first;
}

std::vector<RowRef> in_order(std::span<const ImportFile> files) {
  std::vector<std::pair<Place, RowRef>> placed;
  for (std::size_t i = 0; i < files.size(); ++i) {
    for (const auto& row : files[i].rows) {
      Place place;
      place.dated_later = row.kind == RowKind::leg;
      place.dated = row.date.has_value();
      place.master = row.date ? Kind::safety_notes : files[i].kind;
      place.date = row.date.value_or(Date{});
      place.on_the_day = on_the_day(row);
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
