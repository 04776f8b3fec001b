#include "cli/import_apply.hpp"

#include <algorithm>

#include "base/text.hpp"
#include "cli/import_visitor.hpp"
#include "domain/plan_trip.hpp"

namespace shearpin::cli {

using namespace interchange;

std::string key_form(std::string_view text) {
  std::string form = lower_case(trimmed(text));
  std::replace(form.begin(), form.end(), '_', '-');
  std::replace(form.begin(), form.end(), ' ', '-');
  return form;
}

ImportApplier::ImportApplier(ledger::Ledger& ledger, ledger::Ledger::Transaction& transaction,
                             Date today, Date first_day, std::string batch)
    : ledger_(ledger),
      transaction_(transaction),
      today_(today),
      first_day_(first_day),
      batch_(std::move(batch)),
      catalogue_(std::make_shared<domain::Catalogue>(ledger.catalogue())) {}

EntryId ImportApplier::record(const domain::EntryDraft& draft) {
  const EntryId entry = transaction_.record(draft, batch_, said_);
  ++entries_;
  return entry;
}

void ImportApplier::record(const domain::Plan& plan, const std::string& id) {
  EntryId first{};
  for (const auto& draft : plan.entries) {
    const EntryId entry = record(draft);
    first = first.value == 0 ? entry : first;
  }
  if (!id.empty()) {
    by_id_[id] = first;
  }
}

domain::Snapshot ImportApplier::catalogue_alone(Date day) const {
  domain::Snapshot snapshot;
  snapshot.as_of = day;
  snapshot.catalogue = catalogue_;
  return snapshot;
}

/// Rows of one kind of master data do not look at each other, so the catalogue is read again only
/// for another kind or for a key met before.
void ImportApplier::refresh_for(const ImportRow& row, Kind kind) {
  const auto* master = std::get_if<MasterRow>(&row.body);
  const auto* key = master == nullptr ? nullptr : master->find("key");
  const std::string form = key == nullptr ? std::string{} : key_form(*key);
  if (!fresh_keys_.empty() && (fresh_kind_ != kind || fresh_keys_.count(form) > 0)) {
    catalogue_ = std::make_shared<domain::Catalogue>(ledger_.catalogue());
    places_.clear();
    fresh_keys_.clear();
  }
  if (is_master(kind)) {
    fresh_kind_ = kind;
    fresh_keys_.insert(form);
  }
}

void ImportApplier::apply(const ImportRow& row, Kind kind) {
  refresh_for(row, kind);
  said_ = date_of(row) ? std::optional(row.said) : std::nullopt;
  std::visit(Visitor{*this, kind}, row.body);
}

void ImportApplier::finish() {
  said_.reset();
  for (const auto& key : trip_order_) {
    const auto trip = domain::in_order(trips_[key]);
    domain::When when;
    when.on = std::min(trip.legs.front().from, today_);
    when.today = today_;
    record(domain::plan_trip(*catalogue_, {when, trip}).entries.front());
  }
}

}  // namespace shearpin::cli
