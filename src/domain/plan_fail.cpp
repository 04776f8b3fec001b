#include "domain/plan_fail.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_spare.hpp"

namespace shearpin::domain {

using namespace planning;

namespace {

bool is_failure(const UnitLife& life) {
  return life.end &&
         (life.end->kind == EndKind::failed || life.end->kind == EndKind::failed_on_test);
}

/// The unit was ended by a failed test and nothing was put in its place since.
bool awaits_unit_since_test(const Snapshot& now, const UnitPlace& place) {
  if (place.life || !place.last || !is_failure(*place.last)) {
    return false;
  }
  return std::any_of(now.tests.begin(), now.tests.end(), [&](const TestResult& test) {
    return !test.passed && test.entry == place.last->end->entry;
  });
}

void check_request(const Snapshot& now, const FailRequest& request) {
  check_when(request.when);
  const bool takes = request.remedy == Remedy::spare || request.remedy == Remedy::repaired;
  if (!takes && !request.pick.empty()) {
    refuse(
        "--with and --from name the spare that was put in; leave them out with --workaround, "
        "--left-dead and --stand-in");
  }
  if (request.remedy == Remedy::stand_in && trimmed(request.remedy_text).empty()) {
    refuse("--stand-in needs words for what was put in, such as --stand-in \"plain bolt\"");
  }
  if (request.last_good && !request.found_on_test) {
    refuse("--last-good {} belongs to a failure found on a test; add --found-on-test",
           to_text(*request.last_good));
  }
  if (request.last_good && *request.last_good > request.when.on) {
    refuse(
        "--last-good {} lies after the test of {}; it is the last day the unit is known to have "
        "worked",
        to_text(*request.last_good), to_text(request.when.on));
  }
  if (!request.fault) {
    return;
  }
  const auto fault = std::find_if(now.faults.begin(), now.faults.end(),
                                  [&](const Fault& one) { return one.id == *request.fault; });
  if (fault != now.faults.end() && fault->closed && *fault->closed < request.when.on) {
    refuse("fault {} was closed on {}, before {}; name one that is open, or leave --fault out",
           fault->key, to_text(*fault->closed), to_text(request.when.on));
  }
}

/// What a person calls the workaround: the words given, else the declared one.
std::string workaround_words(const Position& position, const FailRequest& request) {
  if (!request.remedy_text.empty()) {
    return request.remedy_text;
  }
  if (Catalogue::has_workaround(position)) {
    return position.workaround;
  }
  if (!request.when.note.empty()) {
    return request.when.note;
  }
  if (position.workaround == "none") {
    refuse("{} is declared to have no workaround; say what gets you by: --workaround --note TEXT",
           position.key);
  }
  return {};
}

/// One failure being planned.
class FailPlan {
 public:
  FailPlan(const Snapshot& now, const FailRequest& request)
      : now_(now),
        request_(request),
        position_(now.catalogue->at(request.position)),
        places_(places_of(now, position_, request.when.on)) {}

  Plan make() {
    choose();
    entry_ = start_entry(EntryKind::fail, request_.when);
    if (fitted_) {
      fitted_units();
    } else {
      open_units();
    }
    finish();
    return plan_;
  }

 private:
  const UnitPlace& place(int unit) const { return places_.at(static_cast<std::size_t>(unit - 1)); }
  Outcome& out() { return plan_.outcome; }

  void choose() {
    if (request_.units.empty() && position_.units > 1) {
      for (const UnitPlace& one : places_) {
        if (awaits_unit_since_test(now_, one)) {
          refuse("{} by a failed test and not replaced; name the unit that is meant, such as {}",
                 open_text(position_, one), unit_name(position_, one.unit));
        }
      }
    }
    const ChosenUnits chosen =
        choose_units(position_, places_, request_.units, request_.count, false);
    out().position = position_.id;
    out().units = chosen.units;
    out().unit_why = chosen.why;
    fitted_ = place(chosen.units.front()).life != nullptr;
    for (const int unit : chosen.units) {
      if ((place(unit).life != nullptr) != fitted_) {
        refuse("{} while {}; log them one at a time: fail {}", open_text(position_, place(unit)),
               open_text(position_, place(chosen.units.front())), unit_name(position_, unit));
      }
    }
  }

  void end(int unit, PlaceState left, const std::string& words) {
    const UnitLife& life = *place(unit).life;
    const bool tested = request_.found_on_test && !life.stand_in;
    EndLine& line = end_unit(entry_, life, tested ? EndKind::failed_on_test : EndKind::failed,
                             Outside::scrapped);
    line.cause = request_.cause;
    line.fault = request_.fault;
    line.left = left;
    line.note = words;
    if (!tested) {
      return;
    }
    line.test_date = request_.when.on;
    line.last_good = request_.last_good.value_or(last_known_good(now_, life, request_.when.on));
    if (*line.last_good < life.fitted) {
      refuse("--last-good {} lies before {} was fitted on {}; give a day from then on",
             to_text(*line.last_good), unit_name(position_, unit), to_text(life.fitted));
    }
    out().last_good = line.last_good;
  }

  void fitted_units() {
    switch (request_.remedy) {
      case Remedy::spare:
        fit_spares(true);
        break;
      case Remedy::repaired:
        repair();
        break;
      case Remedy::workaround:
        leave(PlaceState::workaround, workaround_words(position_, request_));
        break;
      case Remedy::left_dead:
        leave(PlaceState::dead, request_.remedy_text);
        break;
      case Remedy::stand_in:
        leave(PlaceState::stand_in, request_.remedy_text);
        break;
    }
    hint();
  }

  void fit_spares(bool ends) {
    const std::vector<int>& units = out().units;
    const auto fills = choose_fills(now_, position_, units.size(), request_.pick, request_.when.on);
    for (std::size_t i = 0; i < units.size(); ++i) {
      if (ends) {
        end(units[i], fills[i] ? PlaceState::empty : PlaceState::dead, {});
      }
      if (fills[i]) {
        apply_fill(entry_, position_, units[i], *fills[i]);
        add_fill_line(out(), *fills[i]);
      } else {
        out().left_open.push_back(units[i]);
        out().left_state = PlaceState::dead;
      }
    }
  }

  void put_stand_in(int unit) {
    FitLine line;
    line.position = position_.id;
    line.unit = unit;
    line.no_part = request_.remedy_text;
    line.stand_in = true;
    entry_.fits.push_back(line);
  }

  void leave(PlaceState state, const std::string& words) {
    for (const int unit : out().units) {
      end(unit, state, words);
      if (state == PlaceState::stand_in) {
        put_stand_in(unit);
      }
      out().left_open.push_back(unit);
    }
    out().left_state = state;
  }

  void repair() {
    if (request_.found_on_test || request_.fault) {
      refuse(
          "--repaired means that the same unit lives on: its life is neither ended by a test nor "
          "set aside for a fault; leave out --found-on-test and --fault");
    }
    bool own_part = false;
    if (request_.pick.part) {
      own_part = use_piece(*request_.pick.part);
    } else if (!request_.pick.empty()) {
      refuse("--repaired with --from: name the part that the repair used up, --with PART");
    }
    for (const int unit : out().units) {
      if (place(unit).life->stand_in) {
        refuse("{}; a stand-in is not repaired, put in a new one: --stand-in TEXT",
               open_text(position_, place(unit)));
      }
      entry_.repairs.push_back({place(unit).life->id, request_.cause, own_part});
    }
    out().left_state = PlaceState::fitted;
    out().repaired = true;
  }

  /// A piece that a repair used up; true when it is the position's own part.
  bool use_piece(PartId part) {
    const auto fitting = fitting_parts(*now_.catalogue, position_);
    const bool own = std::any_of(fitting.begin(), fitting.end(),
                                 [&](const Fitting& one) { return one.part == part; });
    check_pieces(request_.repair_pieces, now_.catalogue->at(part).key);
    Shelf shelf(now_, request_.when.on);
    const Source source{request_.pick.from, request_.pick.batch, request_.pick.state,
                        request_.pick.from.has_value(), false};
    Fill used;
    used.why = shelf.why_first(part, source);
    used.taken = shelf.take(part, request_.repair_pieces, source);
    used.notes = doubts(now_, used.taken, request_.when.on);
    for (const Taken& taken : used.taken) {
      add_movement(entry_, {*taken.lot, taken.pieces, *taken.bin, Outside::consumed});
    }
    if (!own) {
      entry_.usages.push_back({part, position_.id, request_.repair_pieces, false});
    }
    add_fill_line(out(), used);
    return own;
  }

  void open_units() {
    for (const int unit : out().units) {
      open_unit(unit, place(unit));
    }
    if (request_.remedy == Remedy::spare) {
      fit_after_test();
    }
  }

  void open_unit(int unit, const UnitPlace& here) {
    if (!here.last && here.state == PlaceState::empty) {
      refuse_open(here);
    }
    const auto change = [&](PlaceState state, const std::string& words) {
      if (here.state == state) {
        refuse_open(here);
      }
      entry_.opens.push_back({position_.id, unit, state, words});
      if (state == PlaceState::stand_in) {
        put_stand_in(unit);
      }
      out().left_open.push_back(unit);
      out().left_state = state;
    };
    switch (request_.remedy) {
      case Remedy::spare:
        if (!awaits_unit_since_test(now_, here)) {
          refuse_open(here);
        }
        return;
      case Remedy::repaired:
        refuse_open(here);
      case Remedy::workaround:
        change(PlaceState::workaround, workaround_words(position_, request_));
        break;
      case Remedy::left_dead:
        change(PlaceState::dead, request_.remedy_text);
        break;
      case Remedy::stand_in:
        change(PlaceState::stand_in, request_.remedy_text);
        break;
    }
    add_notes(out().notes, {open_text(position_, here) +
                            "; no new failure is recorded, only what gets you by has changed"});
  }

  /// The failure is in the ledger since the test; only the new unit is missing.
  void fit_after_test() {
    entry_.kind = EntryKind::fit;
    fit_spares(false);
    const std::vector<int>& units = out().units;
    if (!out().left_open.empty()) {
      refuse_open(place(out().left_open.front()));
    }
    add_note(entry_, request_.cause.empty() ? "" : "cause: " + request_.cause);
    add_notes(out().notes, {fmt::format("the failure was recorded by the test of {}; this fits the "
                                        "new unit",
                                        to_text(place(units.front()).last->end->date))});
  }

  [[noreturn]] void refuse_open(const UnitPlace& here) const {
    const std::string name = unit_name(position_, here.unit);
    if (!here.last && here.state == PlaceState::empty) {
      refuse(
          "{0}: by {1} no unit is recorded as fitted, and a failure comes after the fit. If one "
          "was: shearpin fit {0} --on DATE with its day, or --age unknown; a fit written with a "
          "later day is taken back first, with undo",
          name, to_text(request_.when.on));
    }
    refuse(
        "{}; a unit fails once. When a new one goes in: fit {}{} --from BIN; or change what gets "
        "you by: fail {} --workaround, or --stand-in TEXT",
        open_text(position_, here), name, position_.part ? "" : " PART", name);
  }

  void hint() {
    const auto near = [&](Date day) { return std::abs(days_between(day, request_.when.on)) <= 1; };
    for (const UnitLife& life : now_.lives) {
      if (life.position != position_.id) {
        continue;
      }
      std::vector<Date> days;
      if (request_.remedy == Remedy::repaired) {
        days = life.repairs;
      }
      if (is_failure(life)) {
        days.push_back(life.end->date);
      }
      const auto twin = std::find_if(days.begin(), days.end(), near);
      if (twin != days.end()) {
        add_notes(
            out().hints,
            {fmt::format("{} already has a failure on {}; if this is the same one, take one of "
                         "them back with undo",
                         unit_name(position_, life.unit), to_text(*twin))});
      }
    }
    const ComponentClass* kind = now_.catalogue->class_of(position_);
    if (kind && kind->hidden && !request_.found_on_test && request_.remedy != Remedy::repaired) {
      out().hints.push_back(fmt::format(
          "a {} fails unseen; if this was found on a test, say since when it may have been "
          "dead: --found-on-test --last-good DATE",
          kind->key));
    }
  }

  void finish() {
    plan_.entries.push_back(entry_);
    const std::optional<PartId> part = out().part_used ? out().part_used : position_.part;
    if (part) {
      add_stock_line(out(), now_, plan_.entries, *part, request_.when.on);
    }
    if (!out().left_open.empty()) {
      out().gets_by = gets_by(*now_.catalogue, position_);
      out().elsewhere = elsewhere_for(now_, position_, request_.when.on);
      add_notes(out().notes, class_spares(now_, position_, request_.when.on));
    }
  }

  const Snapshot& now_;
  const FailRequest& request_;
  const Position& position_;
  std::vector<UnitPlace> places_;
  bool fitted_ = true;
  EntryDraft entry_;
  Plan plan_;
};

}  // namespace

Plan plan_fail(const Snapshot& now, const FailRequest& request) {
  check_request(now, request);
  return FailPlan(now, request).make();
}

}  // namespace shearpin::domain
