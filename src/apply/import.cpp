#include "apply/import.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "apply/commands.hpp"
#include "apply/master.hpp"
#include "apply/trip_leg.hpp"
#include "base/quantity.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_trip.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::apply {

using interchange::ImportRow;
using interchange::Kind;
using interchange::RowKind;

namespace {

/// Lower case, with hyphens for blanks and underscores: what keys and names are compared by.
std::string key_form(std::string_view text) {
  std::string form = lower_case(trimmed(text));
  std::replace(form.begin(), form.end(), '_', '-');
  std::replace(form.begin(), form.end(), ' ', '-');
  return form;
}

[[noreturn]] void refuse_name(const std::string& typed, const std::string& what,
                              const std::vector<domain::NameEntry>& entries) {
  std::vector<domain::NameEntry> plain;  // of keys and names alone: nothing else is taken in a file
  for (const auto& entry : entries) {
    plain.push_back({entry.key, entry.name, {}, {}});
  }
  const auto near = domain::find_name(typed, plain);
  const auto& close = near.hits.empty() ? near.suggestions : near.hits;
  refuse("no {} called \"{}\"{}", what, typed,
         close.empty() ? "" : fmt::format("; nearest: {}", plain[close.front()].key));
}

}  // namespace

Import::Import(const ledger::Ledger& ledger, ledger::Ledger::Transaction& transaction, Date today,
               std::string batch)
    : ledger_(ledger),
      transaction_(transaction),
      today_(today),
      first_day_(today),
      batch_(std::move(batch)),
      catalogue_(std::make_shared<domain::Catalogue>(ledger.catalogue())) {}

Date Import::on(const std::optional<std::string>& typed) const {
  return typed ? parse_date(*typed, today_) : today_;
}

domain::Snapshot Import::planned_from(Date day, const std::optional<ledger::Scope>& needed,
                                      const std::vector<PartId>&) const {
  if (needed) {
    return ledger_.snapshot(day, std::nullopt, *needed, catalogue_);
  }
  domain::Snapshot snapshot;
  snapshot.as_of = day;
  snapshot.catalogue = catalogue_;
  return snapshot;
}

std::size_t Import::find(const std::string& typed, const std::string& what, const Names& names) {
  auto& index = indexes_[what];
  if (index.keys.empty()) {
    const auto entries = names();
    for (std::size_t i = 0; i < entries.size(); ++i) {
      index.keys.emplace(entries[i].key, i);
      index.forms.emplace(key_form(entries[i].key), i);
      index.names[key_form(entries[i].name)].push_back(i);
    }
  }
  if (const auto key = index.keys.find(typed); key != index.keys.end()) {
    return key->second;
  }
  const auto form = key_form(typed);
  if (const auto key = index.forms.find(form); key != index.forms.end()) {
    return key->second;
  }
  const auto named = index.names.find(form);
  if (named == index.names.end()) {
    refuse_name(typed, what, names());
  }
  if (named->second.size() > 1) {
    refuse("\"{}\" names {} {}s; give the key", typed, named->second.size(), what);
  }
  return named->second.front();
}

/// Rows of one kind of master data do not look at each other, so the catalogue is read again only
/// for another kind or for a key met before.
void Import::refresh_for(const ImportRow& row, Kind kind) {
  const std::string form = interchange::is_master(kind) ? key_form(row.text("key")) : std::string();
  if (!fresh_keys_.empty() && (fresh_kind_ != kind || fresh_keys_.count(form) > 0)) {
    catalogue_ = std::make_shared<domain::Catalogue>(ledger_.catalogue());
    indexes_.clear();
    fresh_keys_.clear();
  }
  if (interchange::is_master(kind)) {
    fresh_kind_ = kind;
    fresh_keys_.insert(form);
  }
}

EntryId Import::record(const domain::EntryDraft& draft) {
  const EntryId entry = transaction_.record(draft, batch_, said_);
  ++entries_;
  return entry;
}

void Import::undo(const ImportRow& row) {
  const auto& id = row.text("undoes");
  const auto found = by_id_.find(id);
  if (found == by_id_.end()) {
    refuse("undoes \"{}\": no line of this import has that id", id);
  }
  transaction_.undo(found->second, row.text("note"));
  ++entries_;
}

void Import::take_master(const ImportRow& row, Kind kind) {
  domain::EntryDraft draft;
  draft.masters.push_back(master_line(row, kind, *catalogue_));
  const auto& line = draft.masters.back();
  if (line.before && *line.before == line.after) {
    return;  // the same thing again: nothing to record
  }
  draft.kind = line.before ? domain::EntryKind::set : domain::EntryKind::add;
  draft.happened = first_day_;
  record(draft);
}

void Import::take_leg(const ImportRow& row) {
  const std::string key = parse_key(row.text("trip"), "trip");
  auto trip = std::find_if(trips_.begin(), trips_.end(),
                           [&](const domain::TripLine& one) { return one.key == key; });
  if (trip == trips_.end()) {
    trip = trips_.emplace(trips_.end());
    trip->key = trip->name = key;
  }
  add_leg(*trip, row, *this);
}

void Import::record_trips() {
  said_.reset();
  for (const auto& told : trips_) {
    const auto trip = domain::in_order(told);
    domain::When when;
    when.on = std::min(trip.legs.front().from, today_);
    when.today = today_;
    record(domain::plan_trip(*catalogue_, {when, trip}).entries.front());
  }
}

/// The order that a receipt belongs to is named where it is known. With `none` for a bin it is
/// filled and nothing is put into stock: it only keeps its lead time.
domain::Plan Import::receipt(const ImportRow& row, Arguments words) {
  const PartId of = part(row.text("part"));
  ledger::Scope scope;
  scope.orders_of = {of};
  scope.exposure = false;
  scope.latest = true;
  const auto& number = row.text("number");
  const domain::Order* found = nullptr;
  const auto now = planned_from(*row.date, scope, {});
  for (const auto& order : now.orders) {
    found = lower_case(order.number) == lower_case(number) ? &order : found;
  }
  if (row.text("bin") != "none") {
    if (found != nullptr) {
      words.add("order", found->number);
    }
    return receive(words, *this).plan;
  }
  if (found == nullptr) {
    throw InputError(fmt::format("no order {} of {}", number, row.text("part")));
  }
  domain::EntryDraft draft;
  draft.kind = domain::EntryKind::receive;
  draft.happened = *row.date;
  draft.recorded = *row.date;
  draft.note = row.text("note");
  draft.receipts.push_back({found->id, parse_count(row.text("quantity"), "quantity"), false});
  return {{draft}, {}};
}

void Import::take_dated(const ImportRow& row) {
  const auto& command = command_of(row);
  const auto bin = std::find_if(command.words.begin(), command.words.end(),
                                [](const auto& word) { return word.first == "bin"; });
  if (bin != command.words.end() && row.text("bin").empty() &&
      !named<domain::Part>(row.text("part")).home_bin) {
    refuse("bin is needed: {} has no home bin", named<domain::Part>(row.text("part")).key);
  }
  const auto words = words_of(row, command);
  const auto plan = row.kind == RowKind::receipt ? receipt(row, words) : command.plan(words, *this);
  std::optional<EntryId> first;
  for (const auto& draft : plan.entries) {
    const EntryId entry = record(draft);
    first = first.value_or(entry);
  }
  if (first && row.find("id") != nullptr) {
    by_id_[row.text("id")] = *first;
  }
}

void Import::take(const ImportRow& row, Kind kind) {
  refresh_for(row, kind);
  said_ = row.date ? std::optional(row.said) : std::nullopt;
  if (row.kind == RowKind::master) {
    take_master(row, kind);
  } else if (row.kind == RowKind::leg) {
    take_leg(row);
  } else if (row.text("kind") == "undo" ||
             (row.kind == RowKind::reading && row.find("undoes") != nullptr)) {
    undo(row);
  } else {
    take_dated(row);
  }
}

std::vector<interchange::Refusal> Import::apply(const std::vector<interchange::ImportFile>& files) {
  first_day_ = interchange::first_day(files).value_or(today_);
  std::vector<interchange::Refusal> refusals;
  for (const auto& file : files) {
    refusals.insert(refusals.end(), file.refusals.begin(), file.refusals.end());
  }
  for (const auto& ref : interchange::in_order(files)) {
    try {
      take(*ref.row, files[ref.file].kind);
    } catch (const InputError& error) {  // collected: all refusals are shown together
      refusals.push_back({files[ref.file].name, ref.row->line, "", "", error.what()});
    }
  }
  if (refusals.empty()) {
    record_trips();
  }
  return refusals;
}

}  // namespace shearpin::apply
