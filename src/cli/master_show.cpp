#include "cli/master_show.hpp"

#include <fmt/format.h>

#include <ostream>
#include <type_traits>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "cli/master_kind.hpp"
#include "cli/output.hpp"
#include "report/rows.hpp"
#include "report/text_table.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {
namespace {

using domain::Catalogue;
using report::Row;

/// Every field with its text; empty ones left out unless `all`.
template <class T>
Row field_row(const T& thing, const Catalogue& catalogue, bool all) {
  Row row{{"key", thing.key}};
  for (const auto& field : domain::fields<T>()) {
    const std::string text = field.get(thing, catalogue);
    if (field.name != "key" && (all || (!text.empty() && text != "no"))) {
      row.push_back({field.name, text});
    }
  }
  return row;
}

/// Names and texts, as a person reads them.
using Rows = std::vector<std::pair<std::string, std::string>>;

/// The last column of a list.
std::string list_remark(const Catalogue&, const domain::Rig&) { return {}; }
std::string list_remark(const Catalogue&, const domain::Supplier& supplier) {
  return std::string(domain::to_text(supplier.kind));
}
std::string list_remark(const Catalogue&, const domain::Bin& bin) {
  return std::string(bin.ashore ? "ashore" : "aboard") +
         (bin.outside_volume ? ", outside the volume" : "");
}
std::string list_remark(const Catalogue& catalogue, const domain::Meter& meter) {
  return meter.unit + " on " + catalogue.at(meter.rig).key;
}
std::string list_remark(const Catalogue&, const domain::ComponentClass& its_class) {
  return fmt::format("{}, {} {}", domain::to_text(its_class.severity),
                     significant(its_class.life_median, 3), domain::unit_of(its_class.basis));
}
std::string list_remark(const Catalogue& catalogue, const domain::Part& part) {
  return part.component_class ? catalogue.at(*part.component_class).key : "no class";
}
std::string list_remark(const Catalogue& catalogue, const domain::Position& position) {
  const std::string part = position.part ? catalogue.at(*position.part).key : "no part number";
  return fmt::format("{}, {} x {}", catalogue.at(position.rig).key, position.units, part);
}

/// `p13 Blade fuse 15 A`; the key alone where there is no other name.
std::string with_name(const domain::Named& thing) {
  return thing.name == thing.key ? thing.key : thing.key + ' ' + thing.name;
}

template <class T>
void add_surroundings(const Session&, const T&, Rows&) {}

void add_surroundings(const Session& session, const domain::Part& part, Rows& rows) {
  ledger::Scope scope;
  scope.parts = {part.id};
  const auto snapshot = session.snapshot(session.day(), scope);
  const auto& catalogue = session.catalogue();
  for (const auto& line : snapshot.stock) {
    if (line.part == part.id) {
      const auto& bin = catalogue.at(line.bin);
      rows.emplace_back("in " + bin.key,
                        fmt::format("{}{}{}{}{}{}", line.quantity, bin.ashore ? ", ashore" : "",
                                    line.state == domain::LotState::fresh
                                        ? std::string()
                                        : fmt::format(", {}", domain::to_text(line.state)),
                                    line.batch.empty() ? "" : ", batch " + line.batch,
                                    line.ends ? ", ends " + shearpin::to_text(*line.ends) : "",
                                    line.quarantined ? ", doubtful" : ""));
    }
  }
  for (const auto& position : catalogue.positions) {
    if (position.part == part.id) {
      rows.emplace_back("called for at", with_name(position));
    }
  }
  for (const auto& substitute : catalogue.substitutes) {
    if (substitute.stands_for == part.id) {
      rows.emplace_back(substitute.forbidden ? "never use" : "stands in",
                        with_name(catalogue.at(substitute.part)));
    }
  }
}

void add_surroundings(const Session& session, const domain::Position& position, Rows& rows) {
  ledger::Scope scope;
  scope.positions = {position.id};
  const auto snapshot = session.snapshot(session.day(), scope);
  const auto& catalogue = session.catalogue();
  for (const auto& life : snapshot.lives) {
    if (life.position == position.id && !life.end) {
      rows.emplace_back(
          fmt::format("unit {}", life.unit),
          fmt::format("{} since {}",
                      life.part ? catalogue.at(*life.part).key
                                : (life.no_part.empty() ? "no part number" : life.no_part),
                      shearpin::to_text(life.fitted)));
    }
  }
  for (const auto& open : snapshot.open_places) {
    if (open.position == position.id) {
      rows.emplace_back(fmt::format("unit {}", open.unit),
                        fmt::format("{} since {} {}", domain::to_text(open.state),
                                    shearpin::to_text(open.since), open.note));
    }
  }
}

void add_surroundings(const Session& session, const domain::Bin& bin, Rows& rows) {
  for (const auto& line : session.snapshot(session.day()).stock) {
    if (line.bin == bin.id) {
      const auto& part = session.catalogue().at(line.part);
      rows.emplace_back(fmt::format("{} x", line.quantity), with_name(part));
    }
  }
}

void add_surroundings(const Session& session, const domain::Meter& meter, Rows& rows) {
  const domain::MeterReading* last = nullptr;
  const auto snapshot = session.snapshot(session.day());
  for (const auto& reading : snapshot.readings) {
    if (reading.meter == meter.id) {
      last = &reading;
    }
  }
  if (last != nullptr) {
    rows.emplace_back("last reading",
                      plain_number(last->value) + " on " + shearpin::to_text(last->date));
  }
}

}  // namespace

template <class T>
void put_thing(const Session& session, const Context& context, const T& thing) {
  const Row fields = field_row(thing, session.catalogue(), context.format != Format::text);
  put_echoes(session, context);
  put(context,
      {[&] {
         Rows rows;
         for (const auto& field : fields) {
           rows.emplace_back(field.key, field.value.cell);
         }
         add_surroundings(session, thing, rows);
         report::TextTable table;
         for (const auto& [name, text] : rows) {
           table.add({{report::left(""), name}, {report::wide(""), text}});
         }
         return table.to_text(context.width);
       },
       [&] {
         return report::json_text({}, report::joined({{"kind", master_kind<T>().word}}, fields));
       }});
}

template <class T>
void put_list(const Session& session, const Context& context, const std::vector<T>& things) {
  const auto& kind = master_kind<T>();
  std::vector<Row> rows;
  for (const auto& thing : things) {
    rows.push_back(field_row(thing, session.catalogue(), true));
  }
  put(context, {[&] {
                  report::TextTable table;
                  for (const auto& thing : things) {
                    table.add({{report::left(std::string(kind.word)), thing.key},
                               {report::wide("name"), thing.name},
                               {report::wide(""), list_remark(session.catalogue(), thing)}});
                  }
                  return table.empty() ? fmt::format("No {} yet. Example: shearpin {}\n", kind.word,
                                                     kind.example)
                                       : table.to_text(context.width);
                },
                [&] {
                  return report::json_text({}, {{"kind", kind.word}, {"items", rows}});
                },
                [&] {
                  std::string columns = "key";
                  for (const auto& field : domain::fields<T>()) {
                    columns += field.name == "key" ? "" : "," + std::string(field.name);
                  }
                  return report::csv_table(columns, rows);
                }});
}

template <class T>
void put_changes(const Session& session, const Context& context, const T& before, const T& after) {
  put_echoes(session, context);
  bool any = false;
  for (const auto& field : domain::fields<T>()) {
    const auto old_text = field.get(before, session.catalogue());
    const auto new_text = field.get(after, session.catalogue());
    if (old_text != new_text) {
      any = true;
      context.out << fmt::format("{}{} {}: {} -> {}\n", context.dry_run ? "Would set " : "",
                                 after.key, field.name, old_text.empty() ? "(none)" : old_text,
                                 new_text.empty() ? "(none)" : new_text);
    }
  }
  if (!any) {
    context.out << fmt::format("Nothing to change on {}.\n", after.key);
  }
}

#define SHEARPIN_SHOW(T)                                                            \
  template void put_thing<T>(const Session&, const Context&, const T&);             \
  template void put_list<T>(const Session&, const Context&, const std::vector<T>&); \
  template void put_changes<T>(const Session&, const Context&, const T&, const T&)
// One line a kind: the templates are used from another file.
SHEARPIN_SHOW(domain::Rig);
SHEARPIN_SHOW(domain::ComponentClass);
SHEARPIN_SHOW(domain::Part);
SHEARPIN_SHOW(domain::Position);
SHEARPIN_SHOW(domain::Meter);
SHEARPIN_SHOW(domain::Bin);
SHEARPIN_SHOW(domain::Supplier);
#undef SHEARPIN_SHOW

}  // namespace shearpin::cli
