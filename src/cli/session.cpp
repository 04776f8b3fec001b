#include "cli/session.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <csignal>
#include <istream>
#include <ostream>
#include <span>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "cli/output.hpp"
#include "domain/name_lookup.hpp"
#include "report/entry_text.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::cli {
namespace {

using domain::NameEntry;

/// A thing that was given no name is called by its key; not told twice.
std::string name_beside_key(const NameEntry& entry) {
  return entry.name == entry.key ? std::string{} : entry.name;
}

/// "l21 Sample fridge fuse"
std::string entry_words(const NameEntry& entry) {
  const std::string name = name_beside_key(entry);
  return name.empty() ? entry.key : entry.key + ' ' + name;
}

std::string listed(const std::vector<NameEntry>& entries, std::span<const std::size_t> which) {
  std::string text;
  for (const std::size_t i : which) {
    text += fmt::format("\n  {:<12} {}", entries[i].key, name_beside_key(entries[i]));
  }
  return text;
}

/// A part's key typed where a position is wanted: says where that part is called for.
void refuse_part_for_position(const domain::Catalogue& catalogue, const std::string& typed) {
  const std::string key = lower_case(trimmed(typed));
  const auto same = [&key](const auto& thing) { return thing.key == key; };
  const auto part = std::find_if(catalogue.parts.begin(), catalogue.parts.end(), same);
  if (part == catalogue.parts.end() ||
      std::any_of(catalogue.positions.begin(), catalogue.positions.end(), same)) {
    return;
  }
  std::string places;
  for (const auto& position : catalogue.positions) {
    if (position.part == part->id) {
      places += fmt::format("\n  {:<12} {}", position.key, position.name);
    }
  }
  refuse("{} {} is a part: say at which position.{}", part->key, part->name,
         places.empty() ? " None calls for it; see: shearpin position list" : places);
}

/// A position typed where a part is wanted and none is called so: says which part it calls for.
void refuse_position_for_part(const domain::Catalogue& catalogue, const std::string& typed) {
  const auto positions = apply::names_of_all<domain::Position>(catalogue);
  const auto found = domain::find_name(typed, positions);
  if (found.hits.size() != 1) {
    return;
  }
  const auto& position = catalogue.positions[found.hits.front()];
  refuse("\"{}\" is a position, {}: a part is wanted. {}", typed,
         entry_words(positions[found.hits.front()]),
         position.part ? fmt::format("It calls for {}.", catalogue.at(*position.part).key)
                       : std::string("It calls for none; see: shearpin history ") + position.key);
}

}  // namespace

ledger::Ledger open_ledger(const Context& context, ledger::Ledger::Mode mode) {
  std::error_code ignored;
  if (!std::filesystem::exists(context.ledger, ignored)) {
    throw LedgerError(fmt::format(
        "no ledger at {}. Make one with: shearpin init --rig camper --name \"Our camper\"",
        context.ledger.string()));
  }
  return ledger::Ledger::open(context.ledger, mode);
}

Session::Session(Context& context, ledger::Ledger::Mode mode)
    : context_(context), ledger_(open_ledger(context, mode)) {
  if (mode == ledger::Ledger::Mode::write) {
    begin();
  }
  catalogue_ = std::make_shared<domain::Catalogue>(ledger_.catalogue());
}

void Session::begin() {
  transaction_.emplace(ledger_.begin({context_.written, context_.today, context_.who}));
}

void Session::unlocked(const std::function<void()>& ask) {
  const bool writing = transaction_.has_value();
  const auto version = ledger_.data_version();
  transaction_.reset();
  ask();
  if (!writing) {
    return;
  }
  begin();
  if (ledger_.data_version() != version) {
    refuse("somebody else wrote to the ledger meanwhile; nothing was written. Repeat the command.");
  }
}

std::optional<std::size_t> Session::ask_which(const std::vector<NameEntry>& entries,
                                              std::span<const std::size_t> hits,
                                              const std::string& typed) {
  context_.err << fmt::format("Which \"{}\"?\n", typed);
  for (std::size_t i = 0; i < hits.size(); ++i) {
    context_.err << fmt::format("  {} {:<12} {}\n", i + 1, entries[hits[i]].key,
                                name_beside_key(entries[hits[i]]));
  }
  constexpr int kTries = 3;
  for (int attempt = 0; attempt < kTries; ++attempt) {
    context_.err << fmt::format("Number 1-{} (Enter for none): ", hits.size()) << std::flush;
    std::string answer;
    if (!std::getline(context_.in, answer) || trimmed(answer).empty()) {
      break;
    }
    const std::string word = lower_case(trimmed(answer));
    for (std::size_t i = 0; i < hits.size(); ++i) {
      if (word == std::to_string(i + 1) || word == entries[hits[i]].key) {
        return hits[i];
      }
    }
    context_.err << fmt::format("\"{}\" is none of them.\n", word);
  }
  return std::nullopt;
}

void Session::require_yes(const std::string& doubt, const std::string& how, bool given) {
  if (given) {
    return;
  }
  bool yes = false;
  if (context_.in_is_terminal) {
    unlocked([&] {
      context_.err << fitted_to(doubt, context_.width) << "Is that right? (y/N): " << std::flush;
      std::string answer;
      std::getline(context_.in, answer);
      const std::string word = lower_case(trimmed(answer));
      yes = word == "y" || word == "yes";
    });
  }
  if (!yes) {
    refuse("{} Nothing was written. If that is right: {}", doubt, how);
  }
}

std::size_t Session::find(const std::string& typed, const std::string& what, const Names& names) {
  if (what == "position") {
    refuse_part_for_position(*catalogue_, typed);
  }
  check_text(typed, what);
  const auto entries = names();
  const auto found = domain::find_name(typed, entries);
  if (found.hits.size() == 1) {
    const auto& hit = entries[found.hits.front()];
    if (found.step != domain::MatchStep::exact_key) {
      echoes_.push_back(fmt::format("\"{}\" is {}", typed, entry_words(hit)));
    }
    return found.hits.front();
  }
  if (found.hits.size() > 1) {
    if (context_.in_is_terminal) {
      std::optional<std::size_t> chosen;
      unlocked([&] { chosen = ask_which(entries, found.hits, typed); });
      if (chosen) {
        return *chosen;
      }
    }
    refuse("\"{}\" could be {} {}{}; give the key of one:{}", typed, found.hits.size(), what,
           what.ends_with('s') ? "es" : "s", listed(entries, found.hits));
  }
  if (what == "part") {
    refuse_position_for_part(*catalogue_, typed);
  }
  if (entries.empty()) {
    refuse("no {} called \"{}\": the ledger has none yet. Add one with: shearpin {} add KEY", what,
           typed, what);
  }
  const std::string nearest = found.suggestions.empty()
                                  ? fmt::format(" See: shearpin {} list", what)
                                  : " Nearest:" + listed(entries, found.suggestions);
  refuse("no {} called \"{}\".{}", what, typed, nearest);
}

domain::TripLine Session::trip(const std::string& typed) {
  const auto trips = ledger_.trips();
  const auto names = [&trips] {
    std::vector<NameEntry> entries;
    for (const auto& trip : trips) {
      entries.push_back({trip.key, trip.name, {}, {}});
    }
    return entries;
  };
  return domain::in_order(trips[find(typed, "trip", names)]);
}

/// A person is told of likely double entries, of what is left and of what is on order: whatever
/// came before is read, not the latest alone.
domain::Snapshot Session::planned_from(Date day, const std::optional<ledger::Scope>& needed,
                                       const std::vector<PartId>& told) const {
  ledger::Scope scope = needed.value_or(ledger::Scope{{}, {}, true, false});
  scope.parts.insert(scope.parts.end(), told.begin(), told.end());
  scope.stores_only = scope.stores_only || !told.empty();
  scope.latest = false;
  return snapshot(day, scope);
}

std::vector<std::string> Session::texts_of(std::span<const ledger::JournalRow> rows) const {
  const auto mentioned = ledger_.mentioned(rows);
  std::vector<std::string> texts;
  for (const auto& row : rows) {
    texts.push_back(report::entry_text(row.draft, row.reverses, mentioned));
  }
  return texts;
}

std::vector<EntryId> Session::stage(const std::vector<domain::EntryDraft>& drafts) {
  std::vector<EntryId> entries;
  for (const auto& draft : drafts) {
    entries.push_back(transaction_->record(draft));
  }
  return entries;
}

void Session::commit(const std::vector<EntryId>& entries) {
  if (!context_.dry_run) {
    transaction_->commit();
    // Whoever reads the receipt may be gone already; what is recorded is done all the same.
    std::signal(SIGPIPE, SIG_IGN);
    if (!entries.empty()) {
      context_.kept = entries.size() == 1
                          ? fmt::format("recorded as entry {}", entries.front().value)
                          : fmt::format("recorded as {} entries, {} to {}", entries.size(),
                                        entries.front().value, entries.back().value);
    }
  }
  transaction_.reset();
}

std::vector<EntryId> Session::record(const std::vector<domain::EntryDraft>& drafts) {
  auto entries = stage(drafts);
  commit(entries);
  return entries;
}

Date Session::on(const std::optional<std::string>& typed) const {
  const Date day = typed ? parse_date(*typed, context_.today) : context_.day();
  if (day > context_.today) {
    refuse(
        "{} is after today ({}): what has not happened cannot be recorded; example: --on yesterday",
        to_text(day), to_text(context_.today));
  }
  return day;
}

}  // namespace shearpin::cli
