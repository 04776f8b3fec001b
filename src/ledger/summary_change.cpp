/// The words of a changed field: names for row numbers, money in its unit, yes and no.

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "ledger/summary.hpp"
#include "shearpin/base/money.hpp"

namespace shearpin::ledger {
namespace {

enum class Held { plain, money, flag, key };

/// A column of master data that is not told as it is stored.
struct Column {
  std::string_view name;
  std::string_view word;  ///< as the commands call it
  Held held;
  const char* unit_or_sql;  ///< unit behind the number, or the statement that finds the key
};

constexpr std::array kColumns{
    Column{"ashore", "ashore", Held::flag, ""},
    Column{"outside_volume", "outside-volume", Held::flag, ""},
    Column{"hidden", "hidden", Held::flag, ""},
    Column{"dated", "dated", Held::flag, ""},
    Column{"consumed", "consumed", Held::flag, ""},
    Column{"temporary", "temporary", Held::flag, ""},
    Column{"forbidden", "never", Held::flag, ""},
    Column{"price", "price", Held::money, ""},
    Column{"cost_of_day", "cost-of-day", Held::money, ""},
    Column{"mass_g", "mass", Held::plain, " g"},
    Column{"volume_ml", "volume", Held::plain, " ml"},
    Column{"shelf_life_days", "shelf-life", Held::plain, " days"},
    Column{"test_interval_days", "test-interval", Held::plain, " days"},
    Column{"usual_per_day", "usual", Held::plain, " a day"},
    Column{"rating_ampere", "rating", Held::plain, " A"},
    Column{"component_class", "class", Held::key, "SELECT key, name FROM class WHERE id = ?1"},
    Column{"supplier", "supplier", Held::key, "SELECT key, name FROM supplier WHERE id = ?1"},
    Column{"home_bin", "home-bin", Held::key, "SELECT key, name FROM bin WHERE id = ?1"},
    Column{"rig", "rig", Held::key, "SELECT key, name FROM rig WHERE id = ?1"},
    Column{"part", "part", Held::key, "SELECT key, name FROM part WHERE id = ?1"},
    Column{"stands_for", "for", Held::key, "SELECT key, name FROM part WHERE id = ?1"},
    Column{"only_at", "only", Held::key, "SELECT key, name FROM position WHERE id = ?1"},
    Column{"meter", "meter", Held::key, "SELECT key, name FROM meter WHERE id = ?1"},
    Column{"usual_meter", "usual of meter", Held::key, "SELECT key, name FROM meter WHERE id = ?1"},
};

std::string plain_text(const Cell& cell) {
  if (const auto* whole = std::get_if<std::int64_t>(&cell)) return std::to_string(*whole);
  if (const auto* number = std::get_if<double>(&cell)) return plain_number(*number);
  if (const auto* text = std::get_if<std::string>(&cell)) {
    return text->empty() ? "(none)" : *text;
  }
  return "(none)";
}

}  // namespace

std::string Summaries::field_change(const std::string& field, const Cell& before,
                                    const Cell& after) {
  const auto* column = std::find_if(kColumns.begin(), kColumns.end(),
                                    [&](const Column& one) { return one.name == field; });
  const auto told = [&](const Cell& cell) -> std::string {
    const auto* whole = std::get_if<std::int64_t>(&cell);
    if (column == kColumns.end() || std::holds_alternative<std::monostate>(cell)) {
      return plain_text(cell);
    }
    switch (column->held) {
      case Held::flag:
        return whole && *whole != 0 ? "yes" : "no";
      case Held::money:
        return whole ? shearpin::to_text(Money{*whole}) : plain_text(cell);
      case Held::key:
        return whole ? look_up(column->unit_or_sql, *whole).key : plain_text(cell);
      case Held::plain:
        break;
    }
    return plain_text(cell) + column->unit_or_sql;
  };
  std::string name(column == kColumns.end() ? std::string_view(field) : column->word);
  std::replace(name.begin(), name.end(), '_', '-');
  return fmt::format("{} {} -> {}", name, told(before), told(after));
}

}  // namespace shearpin::ledger
