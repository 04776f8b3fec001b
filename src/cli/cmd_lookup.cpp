/// Plain look-ups: find, fits, history.

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "domain/cautions.hpp"
#include "domain/name_lookup.hpp"
#include "domain/plan_fitting.hpp"
#include "report/rows.hpp"
#include "report/text_table.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {
namespace {

using ledger::Ledger;

/// Rows of one shape, for text, JSON and CSV alike.
struct Listing {
  std::string columns;  ///< their keys, parted by commas
  std::vector<report::Row> rows;
  std::string none;  ///< what to say without rows
};

void put_listing(const Context& context, const Listing& listing) {
  put(context, {[&] {
                  report::TextTable table;
                  for (const auto& row : listing.rows) {
                    std::vector<report::Cell> cells;
                    for (const auto& field : row) {
                      const std::string head(field.key);
                      cells.push_back({cells.size() > 1 ? report::wide(head) : report::left(head),
                                       field.value.cell});
                    }
                    table.add(cells);
                  }
                  return table.empty() ? report::wrap_text(listing.none)
                                       : table.to_text(context.width);
                },
                [&] {
                  return report::json_text({}, {{"items", listing.rows}});
                },
                [&] { return report::csv_table(listing.columns, listing.rows); }});
}

/// "8 in b1, 5 in b7 (ashore)": where pieces of a part lie, doubtful ones named.
std::string whereabouts(const domain::Snapshot& snapshot, PartId part) {
  std::vector<std::string> places;
  for (const auto& line : snapshot.stock) {
    if (line.part != part) {
      continue;
    }
    const auto& bin = snapshot.catalogue->at(line.bin);
    std::string remark = bin.ashore ? "ashore" : "";
    if (line.quarantined) {
      remark += remark.empty() ? "doubtful" : ", doubtful";
    } else if (domain::expired(line, snapshot.as_of)) {
      remark += remark.empty() ? "expired" : ", expired";
    }
    if (line.state == domain::LotState::worn) {
      remark += remark.empty() ? "worn" : ", worn";
    }
    places.push_back(fmt::format("{} in {}{}", line.quantity, bin.key,
                                 remark.empty() ? "" : " (" + remark + ")"));
  }
  return places.empty() ? "none in stock" : join(places, ", ");
}

template <class T>
void search(const std::vector<T>& things, const std::string& words, const std::string& kind,
            const std::function<domain::NameEntry(const T&)>& entry,
            const std::function<std::string(const T&)>& remark, Listing& listing,
            std::vector<std::string>& nearest) {
  std::vector<domain::NameEntry> entries;
  for (const auto& thing : things) {
    entries.push_back(entry(thing));
  }
  const auto found = domain::find_name(words, entries);
  for (const auto hit : found.hits) {
    listing.rows.push_back({{"kind", kind},
                            {"key", things[hit].key},
                            {"name", things[hit].name},
                            {"where", remark(things[hit])}});
  }
  for (const auto near : found.suggestions) {
    nearest.push_back(things[near].key);
  }
}

/// A few of them, and how many more.
std::string first_few(const std::vector<std::string>& keys) {
  constexpr std::size_t kShown = 3;
  const std::size_t shown = std::min(keys.size(), kShown);
  const std::vector<std::string> few(keys.begin(),
                                     keys.begin() + static_cast<std::ptrdiff_t>(shown));
  return join(few, ", ") +
         (keys.size() > shown ? fmt::format(" and {} more", keys.size() - shown) : "");
}

/// What to say where nothing is found: what may have been meant, and the component classes of that
/// name, from which a part can be made.
std::string nothing_text(const std::string& words, const std::vector<std::string>& nearest,
                         const domain::Catalogue& catalogue) {
  std::vector<std::string> classes;
  for (const auto& kind : catalogue.classes) {
    if (lower_case(kind.key + ' ' + kind.name).find(lower_case(words)) != std::string::npos) {
      classes.push_back(kind.key);
    }
  }
  std::string text = fmt::format("Nothing called \"{}\".", words);
  if (!nearest.empty()) {
    text += fmt::format(" Nearest: {}.", first_few(nearest));
  }
  if (!classes.empty()) {
    text += fmt::format(" Component classes of that name: {}; see: shearpin class show {}",
                        first_few(classes), classes.front());
  }
  return text;
}

int run_find(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const std::string words = join(arguments.list("WORDS"), " ");
  const auto snapshot = session.snapshot(session.day());
  const auto& catalogue = session.catalogue();
  Listing listing{"kind,key,name,where", {}, {}};
  std::vector<std::string> nearest;
  search<domain::Position>(
      catalogue.positions, words, "position",
      [&](const domain::Position& p) {
        return domain::NameEntry{p.key, p.name, p.nicknames,
                                 p.place + ' ' + catalogue.at(p.rig).name};
      },
      [&](const domain::Position& p) {
        return catalogue.at(p.rig).key + (p.place.empty() ? "" : " / " + p.place) +
               (p.part ? ", takes " + catalogue.at(*p.part).key : "");
      },
      listing, nearest);
  search<domain::Part>(
      catalogue.parts, words, "part",
      [&](const domain::Part& p) {
        return domain::NameEntry{p.key, p.name, {}, p.note};
      },
      [&](const domain::Part& p) { return whereabouts(snapshot, p.id); }, listing, nearest);
  search<domain::Bin>(
      catalogue.bins, words, "bin",
      [](const domain::Bin& b) {
        return domain::NameEntry{b.key, b.name, {}, {}};
      },
      [](const domain::Bin& b) { return std::string(b.ashore ? "ashore" : "aboard"); }, listing,
      nearest);
  search<domain::Supplier>(
      catalogue.suppliers, words, "supplier",
      [](const domain::Supplier& s) {
        return domain::NameEntry{s.key, s.name, {}, {}};
      },
      [](const domain::Supplier& s) { return std::string(domain::to_text(s.kind)); }, listing,
      nearest);
  listing.none = nothing_text(words, nearest, catalogue);
  put_listing(context, listing);
  return kDone;
}

void put_cautions_of(const Session& session, const Context& context,
                     const domain::Position* position, const domain::Part* part) {
  if (context.format != Format::text) {
    return;
  }
  domain::Cautions cautions(session.catalogue());
  if (position != nullptr) {
    cautions.add(*position);
  }
  if (part != nullptr) {
    cautions.add(*part);
  }
  report::Cautions shown;
  for (const auto* note : cautions.notes()) {
    shown.emplace_back(note->key, note->text);
  }
  context.out << report::caution_text(shown);
}

void fits_position(const Session& session, const Context& context, PositionId id) {
  const auto snapshot = session.snapshot(session.day());
  const auto& catalogue = session.catalogue();
  const auto& position = catalogue.at(id);
  Listing listing{"part,how,name,where",
                  {},
                  fmt::format("{} {} calls for no part number.", position.key, position.name)};
  const auto add = [&](PartId id_of_part, const char* how, const std::string& where) {
    const auto& part = catalogue.at(id_of_part);
    listing.rows.push_back(
        {{"part", part.key}, {"how", how}, {"name", part.name}, {"where", where}});
  };
  for (const auto& fitting : domain::fitting_parts(catalogue, position)) {
    const char* how = !fitting.substitute ? "called for"
                      : fitting.temporary ? "for a while"
                                          : "stands in";
    add(fitting.part, how, whereabouts(snapshot, fitting.part));
  }
  for (const auto& substitute : catalogue.substitutes) {
    if (substitute.forbidden && position.part == substitute.stands_for) {
      add(substitute.part, "NEVER",
          substitute.note.empty() ? "recorded as not to be used" : substitute.note);
    }
  }
  put_listing(context, listing);
  if (context.format == Format::text && domain::Catalogue::has_workaround(position)) {
    context.out << report::wrap_text("Gets you by: " + position.workaround);
  }
  put_cautions_of(session, context, &position, nullptr);
}

void fits_part(const Session& session, const Context& context, PartId id) {
  const auto& catalogue = session.catalogue();
  const auto& part = catalogue.at(id);
  Listing listing{
      "position,how,name,place", {}, fmt::format("No position takes {}.", key_and_name(part))};
  for (const auto& position : catalogue.positions) {
    for (const auto& fitting : domain::fitting_parts(catalogue, position)) {
      if (fitting.part == id) {
        listing.rows.push_back(
            {{"position", position.key},
             {"how", fitting.substitute ? "stands in" : "called for"},
             {"name", position.name},
             {"place", catalogue.at(position.rig).key +
                           (position.place.empty() ? "" : " / " + position.place)}});
      }
    }
  }
  put_listing(context, listing);
  put_cautions_of(session, context, nullptr, &part);
}

int run_fits(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const std::string typed = arguments.required("WHAT");
  if (session.position_match(typed) <= session.part_match(typed)) {
    const auto position = session.position(typed).position;
    put_echoes(session, context);
    fits_position(session, context, position);
  } else {
    const auto part = session.part(typed);
    put_echoes(session, context);
    fits_part(session, context, part);
  }
  return kDone;
}

int run_history(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const std::string typed = arguments.required("WHAT");
  ledger::JournalQuery query;
  query.to = session.day();
  if (session.position_match(typed) <= session.part_match(typed)) {
    query.position = session.position(typed).position;
  } else {
    query.part = session.part(typed);
  }
  put_echoes(session, context);
  Listing listing{"day,entry,what,note", {}, "Nothing has happened there yet."};
  auto rows = session.ledger().journal(query);
  std::stable_sort(rows.begin(), rows.end(), [](const auto& a, const auto& b) {
    return a.draft.happened < b.draft.happened;
  });
  const auto texts = session.texts_of(rows);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const auto& row = rows[i];
    const bool live = !row.reversed_by && row.draft.kind != domain::EntryKind::undo;
    if (live || arguments.flag("all")) {
      listing.rows.push_back({{"day", row.draft.happened},
                              {"entry", std::to_string(row.id.value)},
                              {"what", texts[i] + (row.reversed_by ? " (taken back)" : "")},
                              {"note", row.draft.note}});
    }
  }
  put_listing(context, listing);
  return kDone;
}

}  // namespace

CommandSpec find_command() {
  CommandSpec spec;
  spec.name = "find";
  spec.group = kAsk;
  spec.summary = "Find a position, part, bin or supplier by words";
  spec.details = "Example:\n  shearpin find fridge fuse";
  spec.positionals = {{"WORDS", "in any order; a slip of the pen is forgiven", true, true}};
  spec.run = run_find;
  return spec;
}

CommandSpec fits_command() {
  CommandSpec spec;
  spec.name = "fits";
  spec.group = kAsk;
  spec.summary = "What fits here and where it lies; or where a part fits";
  spec.details = "Examples:\n  shearpin fits \"fridge fuse\"\n  shearpin fits p13";
  spec.positionals = {{"WHAT", "a position or a part"}};
  spec.run = run_fits;
  return spec;
}

CommandSpec history_command() {
  CommandSpec spec;
  spec.name = "history";
  spec.group = kAsk;
  spec.summary = "What has happened at a position or to a part";
  spec.details = "Example:\n  shearpin history l21";
  spec.positionals = {{"WHAT", "a position or a part"}};
  spec.options = {{"all", "", "entries taken back too", false}};
  spec.run = run_history;
  return spec;
}

}  // namespace shearpin::cli
