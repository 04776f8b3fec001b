#include "report/entry_text.hpp"

#include <fmt/format.h>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "domain/fields.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::report {
namespace {

using namespace domain;

constexpr std::size_t kMostThings = 4;  // of those added by one entry
constexpr std::size_t kMostWords = 6;   // of one entry, in a line of the journal

constexpr std::string_view word_of(const Rig&) { return "rig"; }
constexpr std::string_view word_of(const ComponentClass&) { return "class"; }
constexpr std::string_view word_of(const Part&) { return "part"; }
constexpr std::string_view word_of(const Substitute&) { return "substitute"; }
constexpr std::string_view word_of(const Position&) { return "position"; }
constexpr std::string_view word_of(const Meter&) { return "meter"; }
constexpr std::string_view word_of(const Bin&) { return "bin"; }
constexpr std::string_view word_of(const Supplier&) { return "supplier"; }
constexpr std::string_view word_of(const SafetyNote&) { return "safety note"; }

std::string_view end_word(EndKind kind) {
  if (kind == EndKind::failed_on_test) return "found failed";
  if (kind == EndKind::expired) return "expired, taken off";
  if (kind == EndKind::stand_in_removed) return "stand-in taken out";
  return to_text(kind);
}

std::string_view left_word(PlaceState state) {
  if (state == PlaceState::dead) return ", left dead";
  if (state == PlaceState::workaround) return ", on a workaround";
  if (state == PlaceState::stand_in) return ", on a stand-in";
  return "";
}

/// `, cause overload`, or nothing.
std::string tail(std::string_view word, const std::string& text) {
  return text.empty() ? std::string() : fmt::format(", {}{}", word, text);
}

/// `80 g` of 80g, `3652.5 days` of 10y, `0.5 a day` of 0.5/day: an amount as a sentence has it.
std::string told(std::string_view value, std::string text) {
  if (text.empty()) return "(none)";
  if (value == "SPAN") return plain_number(parse_days(text, "span")) + " days";
  if (value == "RATE" && text.find('/') != std::string::npos) {
    return text.replace(text.find('/'), 1, " a ");
  }
  if (value == "RATE") return text + " a day";
  if (value == "MASS" || value == "VOLUME" || value == "AMPERE") {
    text.insert(text.find_first_not_of("0123456789.e+-"), " ");
  }
  return text;
}

/// Collects what each line of a draft says.
class EntryWords {
 public:
  EntryWords(const EntryDraft& draft, const Mentioned& mentioned)
      : draft_(draft), mentioned_(mentioned) {}

  std::vector<std::string> all() {
    add_masters();
    for (const auto& line : draft_.policies) {
      add("{} = {}", line.key, line.value ? plain_number(*line.value) : "as shipped");
    }
    for (const auto& line : draft_.ends) {
      add("{}: {}{}{}{}", end_word(line.kind), unit(line.unit), tail("cause ", line.cause),
          left_word(line.left), line.note.empty() ? "" : ": " + line.note);
    }
    for (const auto& line : draft_.fits) {
      add("{}: {} unit {}, {}", line.stand_in ? "stand-in" : "fitted", name(line.position),
          line.unit,
          line.part              ? key(*line.part)
          : line.no_part.empty() ? "no part number"
                                 : line.no_part);
    }
    for (const auto& line : draft_.repairs) {
      add("repaired in place: {}{}", unit(line.unit), tail("cause ", line.cause));
    }
    for (const auto& line : draft_.opens) {
      add("{}: {} unit {}{}", to_text(line.state), name(line.position), line.unit,
          tail("", line.note));
    }
    for (const auto& line : draft_.usages) {
      add("{}: {} x {}{}", line.lost ? "lost" : "used", line.quantity,
          line.part ? key(*line.part) : "a unit",
          line.position ? " at " + name(*line.position) : "");
    }
    for (const auto& line : draft_.tests) {
      add("test {}: {}{}{}", line.passed ? "passed" : "FAILED", name(line.position),
          line.unit ? fmt::format(" unit {}", *line.unit) : "", tail("", line.reading));
    }
    add_stores();
    for (const auto& line : draft_.stays) {
      add("stayed {}{}", counted(line.nights, "night"), tail("", line.place));
    }
    for (const auto& line : draft_.readings) {
      const Meter& meter = mentioned_.catalogue.at(line.meter);
      add("{} reads {} {}{}", meter.key, plain_number(line.value),
          meter.unit == "mi" ? "km" : meter.unit, line.replaced ? ", meter replaced" : "");
    }
    for (const auto& line : draft_.conditions) {
      add("{} on {} from {}{}", line.condition, line.rig ? key(*line.rig) : "all rigs",
          shearpin::to_text(line.from), line.to ? " to " + shearpin::to_text(*line.to) : " on");
    }
    for (const auto& line : draft_.faults) {
      add("fault {} {} at {}", line.key, line.closes ? "closed" : "opened",
          line.position ? name(*line.position) : "?");
    }
    for (const auto& line : draft_.attributions) {
      add("failure at {} put down to fault {}", unit(line.unit), line.fault);
    }
    for (const auto& line : draft_.trips) add_trip(line);
    return std::move(words_);
  }

 private:
  template <class... Values>
  void add(fmt::format_string<Values...> text, Values&&... values) {
    words_.push_back(fmt::format(text, std::forward<Values>(values)...));
  }

  template <class ThingId>
  std::string key(ThingId id) const {
    return mentioned_.catalogue.at(id).key;
  }
  std::string name(PositionId id) const {
    const Position& position = mentioned_.catalogue.at(id);
    return position.name.empty() || position.name == position.key
               ? position.key
               : fmt::format("{} ({})", position.name, position.key);
  }
  std::string unit(UnitId id) const {
    const FitLine& fit = mentioned_.units.at(id);
    return fmt::format("{} unit {}", name(fit.position), fit.unit);
  }
  const LotDraft& lot(const LotRef& ref) const {
    const auto* own = std::get_if<NewLot>(&ref);
    return own ? draft_.lots.at(own->index) : mentioned_.lots.at(std::get<LotId>(ref));
  }
  std::string place(const Place& place) const {
    if (const auto* bin = std::get_if<BinId>(&place)) return key(*bin);
    if (const auto* position = std::get_if<PositionId>(&place)) return key(*position);
    return std::string(to_text(std::get<Outside>(place)));
  }

  void add_masters();
  template <class Thing>
  void add_changes(const Thing& before, const Thing& after);
  void add_stores();
  void add_trip(const TripLine& trip);

  const EntryDraft& draft_;
  const Mentioned& mentioned_;
  std::vector<std::string> words_;
};

/// Things added first, then who may stand in for what, then what changed.
void EntryWords::add_masters() {
  std::size_t things = 0;
  for (const auto& line : draft_.masters) {
    if (line.before || std::holds_alternative<Substitute>(line.after)) continue;
    if (++things > kMostThings) continue;
    std::visit(
        [this](const auto& thing) {
          if constexpr (!std::is_same_v<std::decay_t<decltype(thing)>, Substitute>) {
            add("{} {} added", word_of(thing), thing.key);
          }
        },
        line.after);
  }
  if (things > kMostThings) add("and {} more", things - kMostThings);
  for (const auto& line : draft_.masters) {
    const auto* substitute = std::get_if<Substitute>(&line.after);
    if (line.before || substitute == nullptr) continue;
    add("{} {} for {}", key(substitute->part),
        substitute->forbidden ? "must never stand in" : "may stand in",
        key(substitute->stands_for));
  }
  for (const auto& line : draft_.masters) {
    if (!line.before) continue;
    std::visit(
        [&](const auto& after) {
          add_changes(std::get<std::decay_t<decltype(after)>>(*line.before), after);
        },
        line.after);
  }
}

template <class Thing>
void EntryWords::add_changes(const Thing& before, const Thing& after) {
  std::string what(word_of(after));
  if constexpr (std::is_same_v<Thing, Substitute>) {
    what += " " + key(after.part);
  } else if constexpr (std::is_same_v<Thing, SafetyNote>) {
    what += " " + after.key;
  } else {
    what += " " + key(after.id);
  }
  const auto add_change = [&](std::string_view field, std::string_view value,
                              const std::string& from, const std::string& to) {
    if (from == to) return;
    add("{}: {} {} -> {}", what, field, told(value, from), told(value, to));
  };
  if constexpr (!std::is_same_v<Thing, Substitute>) add_change("key", "KEY", before.key, after.key);
  for (const auto& field : fields<Thing>()) {
    const std::string from = field.get(before, mentioned_.catalogue);
    const std::string to = field.get(after, mentioned_.catalogue);
    if (field.name != "retired") {
      add_change(field.name, field.value, from, to);
    } else if (from != to) {
      add("{} {}", what, to == "yes" ? "retired" : "in use again");
    }
  }
}

void EntryWords::add_stores() {
  for (const auto& line : draft_.orders) {
    add("{}: {} x {} from {}", line.number, line.quantity, key(line.part), key(line.supplier));
  }
  for (const auto& line : draft_.receipts) {
    const std::string& number = mentioned_.orders.at(line.order).number;
    if (line.quantity > 0) add("{} of order {}", line.quantity, number);
    if (line.cancelled) add("order {} cancelled", number);
  }
  for (const auto& line : draft_.movements) {
    add("{} x {} from {} to {}", line.quantity, key(lot(line.lot).part), place(line.from),
        place(line.to));
  }
  for (const auto& line : draft_.quarantines) {
    const LotDraft& aside = lot(line.lot);
    add("{}{} {}", key(aside.part), tail("batch ", aside.batch),
        line.quarantined ? "set aside" : "free for use again");
  }
}

void EntryWords::add_trip(const TripLine& trip) {
  if (is_removed(trip)) {
    add("trip {} removed", trip.key);
    return;
  }
  const auto number = [](const auto& list) { return static_cast<long long>(list.size()); };
  add("trip {} of {}{}", trip.key, counted(number(trip.legs), "leg"),
      trip.stops.empty() ? "" : " and " + counted(number(trip.stops), "stop"));
}

}  // namespace

std::string entry_text(const EntryDraft& draft, std::optional<EntryId> reverses,
                       const Mentioned& mentioned) {
  std::vector<std::string> words = EntryWords(draft, mentioned).all();
  if (reverses) {
    words.insert(words.begin(), fmt::format("took back entry {}", reverses->value));
  }
  const std::size_t all = words.size();
  if (all > kMostWords) {
    words.resize(kMostWords - 1);
    words.push_back(fmt::format("and {} more", all - kMostWords + 1));
  }
  return join(words, "; ");
}

}  // namespace shearpin::report
