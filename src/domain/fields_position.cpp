#include "base/refuse.hpp"
#include "domain/field_kit.hpp"

namespace shearpin::domain {
namespace {

using namespace kit;

/// The meter that "a night" means at a position: that of its rig, else the only one there is.
const Meter* nights_meter(const Position& position, const Catalogue& catalogue) {
  const Meter* own = nullptr;
  const Meter* any = nullptr;
  int count_own = 0;
  int count_any = 0;
  for (const Meter& meter : catalogue.meters) {
    if (meter.unit == "nights" && !meter.retired) {
      any = &meter;
      ++count_any;
      if (meter.rig == position.rig) {
        own = &meter;
        ++count_own;
      }
    }
  }
  if (count_own == 1) {
    return own;
  }
  return count_own == 0 && count_any == 1 ? any : nullptr;
}

std::string get_usual(const Position& position, const Catalogue& catalogue) {
  if (!position.usual_per_day) {
    return "";
  }
  const std::string rate = plain_number(*position.usual_per_day);
  if (!position.usual_meter) {
    return rate + "/day";
  }
  const Meter* nights = nights_meter(position, catalogue);
  if (nights != nullptr && nights->id == *position.usual_meter) {
    return rate + "/night";
  }
  return rate + "/" + catalogue.at(*position.usual_meter).key;
}

[[noreturn]] void refuse_usual(std::string_view text, std::string_view why) {
  refuse("usual rate {} is refused: {}, for example 0.5/day", quoted(text), why);
}

/// The meter a rate counts by: a key first, then the word night.
const Meter* meter_of_rate(const Position& position, const std::string& per, std::string_view text,
                           const Catalogue& catalogue) {
  for (const Meter& meter : catalogue.meters) {
    if (meter.key == per) {
      return &meter;
    }
  }
  if (per != "night" && per != "nights") {
    return nullptr;
  }
  const Meter* nights = nights_meter(position, catalogue);
  if (nights == nullptr) {
    refuse_usual(text,
                 "a rate by the night needs one meter that counts nights (of its own rig, where "
                 "there are several), or the key of one");
  }
  return nights;
}

void set_usual(Position& position, std::string_view text, const Catalogue& catalogue) {
  if (trimmed(text).empty()) {
    position.usual_per_day.reset();
    position.usual_meter.reset();
    return;
  }
  const auto slash = text.rfind('/');
  const std::string per =
      slash == std::string_view::npos ? "" : lower_case(trimmed(text.substr(slash + 1)));
  const Meter* meter = per.empty() ? nullptr : meter_of_rate(position, per, text, catalogue);
  double rate = 0;
  if (meter != nullptr) {
    rate = parse_number(text.substr(0, slash), "usual rate");
  } else {
    try {
      rate = parse_per_day(text, "usual rate");
    } catch (const InputError&) {
      refuse_usual(text, "it must be a number a day, week, month, year, night or unit of a meter");
    }
  }
  position.usual_per_day = above_zero(rate, text, "usual rate", "0.5/day");
  position.usual_meter = meter != nullptr ? std::optional(meter->id) : std::nullopt;
}

constexpr char kNickname[] = "nickname";
using F = FieldOf<Position>;

constexpr Field<Position> kPositionFields[] = {
    F::key<&Position::rig, Rig>("rig", "the vehicle or trailer it is on", true),
    F::name(),
    F::list<&Position::nicknames, kNickname>("also", "nicknames, with semicolons between them"),
    F::line<&Position::place>("place", "where on the rig it is"),
    F::key<&Position::part, Part>("part", "the part it calls for"),
    F::key<&Position::component_class, ComponentClass>(
        "class", "the component class, where it has no part number"),
    F::count<&Position::units>("units", "like units that it holds"),
    F::count<&Position::pieces>("pieces", "pieces that one unit takes (cells that drain together)"),
    F::amount<&Position::severity, spelt<Severity>, parse_severity>(
        "severity", "SEVERITY", "safety, stranded, uninhabitable, degraded or nuisance"),
    F::key<&Position::meter, Meter>("meter", "the meter its use is read from"),
    {"usual", "RATE", "its use where no meter counts it: 0.5/day, 0.4/night, 2/METER", false,
     get_usual, set_usual},
    F::line<&Position::workaround>("workaround",
                                   "what gets a person by without it; none: nothing does"),
    F::money<&Position::cost_of_day>(
        "cost-of-day", "what a day without it costs, instead of the severity's figure"),
    F::line<&Position::note>("note", "a remark"),
    F::retired()};

void check_meter(const Position& position, const Catalogue& catalogue) {
  const ComponentClass* kind = catalogue.class_of(position);
  if (!position.meter || kind == nullptr || kind->basis == Basis::days) {
    return;
  }
  const Meter& meter = catalogue.at(*position.meter);
  if (!counts(meter, kind->basis)) {
    refuse(
        "meter {} is refused: it counts {}, and class {} ages in {}; name a meter that counts {}, "
        "or a usual rate",
        meter.key, meter.unit, kind->key, to_text(kind->basis), unit_of(kind->basis));
  }
}

}  // namespace

template <>
std::span<const Field<Position>> fields<Position>() {
  return kPositionFields;
}

void check(const Position& position, const Catalogue& catalogue) {
  if (position.rig.value == 0) {
    refuse("position {} is refused: it needs a rig, for example --rig {}", quoted(position.key),
           catalogue.rigs.empty() ? std::string("truck") : catalogue.rigs.front().key);
  }
  catalogue.at(position.rig);
  if (position.units < 1 || position.units > 1000 || position.pieces < 1 ||
      position.pieces > 1000) {
    refuse("{} units of {} pieces is refused: both must be from 1 to 1,000, for example 4",
           position.units, position.pieces);
  }
  if (position.part && position.component_class) {
    const Part& part = catalogue.at(*position.part);
    if (part.component_class && part.component_class != position.component_class) {
      refuse("class {} is refused: part {} is of class {}; leave the class of the position out",
             catalogue.at(*position.component_class).key, part.key,
             catalogue.at(*part.component_class).key);
    }
  }
  if (position.usual_per_day && !(*position.usual_per_day > 0)) {
    refuse_usual(plain_number(*position.usual_per_day), "it must be above zero");
  }
  check_meter(position, catalogue);
}

}  // namespace shearpin::domain
