// Lines about fitted units: ends and beginnings of lives, repairs, open places, attributions.

#include <fmt/format.h>

#include "ledger/tables.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kUnits = "SELECT key, units FROM position WHERE id = ?1";

void check_end(const Recording& to, const domain::EndLine& line) {
  unit_of(to.database, line.unit);
  if (line.fault) require_fault(to.database, *line.fault);
}

void check_repair(const Recording& to, const domain::RepairLine& line) {
  unit_of(to.database, line.unit);
}

void check_open(const Recording& to, const domain::OpenLine& line) {
  require_unit_number(to.database, line.position, line.unit);
}

void write_fits(Recording& to) {
  for (domain::FitLine line : to.draft.fits) {
    require_unit_number(to.database, line.position, line.unit);
    if (line.lot) line.lot = resolve_known(to, *line.lot);
    unit_table().require_references(to.database, line);
    to.created.units.push_back({unit_table().write(to.database, to.entry, line)});
  }
}
void read_fits(Reading& from) {
  unit_table().each(from.database, from.low, from.high,
                    [&from](EntryId entry, std::int64_t number, domain::FitLine line) {
                      EntryLines& lines = from.entries[entry];
                      if (line.lot) line.lot = as_drafted(lines, *line.lot);
                      lines.draft.fits.push_back(std::move(line));
                      lines.made.units.push_back({number});
                    });
}

void write_attributions(Recording& to) {
  for (const domain::AttributeLine& line : to.draft.attributions) {
    unit_of(to.database, line.unit);
    const FaultId fault = require_fault(to.database, line.fault);
    attribution_table().write(to.database, to.entry, {fault, line.unit});
    to.created.faults.push_back(fault);
  }
}
void read_attributions(Reading& from) {
  attribution_table().each(
      from.database, from.low, from.high,
      [&from](EntryId entry, std::int64_t, const Attribution& line) {
        EntryLines& lines = from.entries[entry];
        lines.draft.attributions.push_back({fault_of(from.database, line.fault).key, line.unit});
        lines.made.faults.push_back(line.fault);
      });
}

}  // namespace

const LineTable<domain::EndLine>& end_table() {
  using T = domain::EndLine;
  static const LineTable<T> table(
      {"unit_end", {}, {"(unit)"}},
      {column<T, &T::unit>("unit"), column<T, &T::kind>("kind"),
       column<T, &T::last_good>("last_good"), column<T, &T::test_date>("test_date"),
       column<T, &T::fault>("fault"), column<T, &T::cause>("cause"),
       column<T, &T::left>("left_state"), column<T, &T::note>("note")});
  return table;
}

const LineTable<domain::RepairLine>& repair_table() {
  using T = domain::RepairLine;
  static const LineTable<T> table({"repair", {kHappened}, {"(unit, happened)"}},
                                  {column<T, &T::unit>("unit"), column<T, &T::cause>("cause"),
                                   column<T, &T::took_part>("took_part")});
  return table;
}

const LineTable<domain::OpenLine>& open_table() {
  using T = domain::OpenLine;
  static const LineTable<T> table(
      {"open_place", {kHappened}, {"(position, unit, happened)"}},
      {column<T, &T::position>("position"), column<T, &T::unit>("unit", ">= 1"),
       column<T, &T::state>("state"), column<T, &T::note>("note")});
  return table;
}

const LineTable<Attribution>& attribution_table() {
  using T = Attribution;
  static const LineTable<T> table({"attribution", {}, {"(unit)"}},
                                  {column<T, &T::fault>("fault"), column<T, &T::unit>("unit")});
  return table;
}

const LineTable<domain::FitLine>& unit_table() {
  using T = domain::FitLine;
  static const LineTable<T> table(
      {"unit_begin",
       {kHappened},
       {"(position, unit, happened)", "(part)", "(lot) WHERE lot IS NOT NULL"},
       "CHECK (part IS NULL OR no_part = ''), CHECK (lot IS NULL OR part IS NOT NULL)"},
      {column<T, &T::position>("position"), column<T, &T::unit>("unit", ">= 1"),
       column<T, &T::part>("part"), column<T, &T::no_part>("no_part"),
       column<T, &T::stand_in>("stand_in"), column<T, &T::lot>("lot"),
       column<T, &T::age>("age", ">= 0"), column<T, &T::age_unknown>("age_unknown"),
       column<T, &T::made>("made"), column<T, &T::marked_end>("marked_end")});
  return table;
}

domain::FitLine unit_of(const Database& database, UnitId unit) {
  if (auto fit = unit_table().find(database, unit.value)) return *fit;
  throw InputError(fmt::format("there is no fitted unit of number {} in the ledger.", unit.value));
}

void require_unit_number(const Database& database, PositionId position, int unit) {
  require_there(database, "position", cell_of(position));
  Query row = database.query(kUnits);
  row.with(position);
  row.next();
  const std::string key = row.text();
  const std::int64_t units = row.integer();
  if (unit >= 1 && unit <= units) return;
  throw InputError(fmt::format("{0} has units 1 to {1}; {2} is not one of them. Example: {0}/1.",
                               key, units, unit));
}

std::vector<LineKind> unit_kinds() {
  return {plain_kind<end_table, &domain::EntryDraft::ends, check_end>(),
          {{&unit_table()}, write_fits, read_fits},
          plain_kind<repair_table, &domain::EntryDraft::repairs, check_repair>(),
          plain_kind<open_table, &domain::EntryDraft::opens, check_open>(),
          {{&attribution_table()}, write_attributions, read_attributions}};
}

}  // namespace shearpin::ledger
