#include <array>

#include "base/refuse.hpp"
#include "domain/field_kit.hpp"

namespace shearpin::domain {
namespace {

using namespace kit;

constexpr Field<Rig> kRigFields[] = {FieldOf<Rig>::name(), FieldOf<Rig>::retired()};

struct UnitWord {
  std::string_view typed, unit;
};

constexpr UnitWord kUnitWords[] = {{"km", "km"},         {"mi", "mi"},        {"miles", "mi"},
                                   {"h", "h"},           {"hours", "h"},      {"cycles", "cycles"},
                                   {"nights", "nights"}, {"kilometres", "km"}};

void set_unit(Meter& meter, std::string_view text, const Catalogue&) {
  const std::string typed = lower_case(trimmed(text));
  for (const UnitWord& word : kUnitWords) {
    if (word.typed == typed) {
      meter.unit = word.unit;
      return;
    }
  }
  refuse("unit {} is refused: a meter counts km, mi, h, cycles or nights, for example km",
         quoted(text));
}

std::string get_unit(const Meter& meter, const Catalogue&) { return meter.unit; }

/// Miles are shown where they read back as the same kilometres, else kilometres with their name.
std::string get_meter_usual(const Meter& meter, const Catalogue&) {
  if (!meter.usual_per_day) {
    return "";
  }
  const double rate = *meter.usual_per_day;
  if (meter.unit != "mi") {
    return plain_number(rate) + "/day";
  }
  const double miles = std::stod(fmt::format("{:.12g}", rate / kKilometresPerMile));
  const bool same = !(miles * kKilometresPerMile < rate) && !(miles * kKilometresPerMile > rate);
  return same ? plain_number(miles) + "/day" : plain_number(rate) + " km/day";
}

/// A bare number is in the meter's own unit; `60 km/day` names one.
void set_meter_usual(Meter& meter, std::string_view text, const Catalogue&) {
  if (trimmed(text).empty()) {
    meter.usual_per_day.reset();
    return;
  }
  constexpr std::string_view what = "usual rate";
  const auto slash = text.find('/');
  const std::string_view amount = text.substr(0, slash);
  const double per_day = slash == std::string_view::npos
                             ? 1
                             : parse_per_day("1" + std::string(text.substr(slash)), what);
  double rate = 0;
  if (meter.unit == "mi") {
    const std::string lower = lower_case(amount);
    rate = lower.find("km") != std::string::npos
               ? parse_exposure(amount, "km", what)
               : parse_exposure(amount, "mi", what) * kKilometresPerMile;
  } else {
    rate = parse_exposure(amount, meter.unit.empty() ? "km" : meter.unit, what);
  }
  meter.usual_per_day = above_zero(rate * per_day, text, what, "60/day");
}

constexpr Field<Meter> kMeterFields[] = {
    FieldOf<Meter>::name(),
    FieldOf<Meter>::key<&Meter::rig, Rig>("rig", "the vehicle or trailer it is on", true),
    {"unit", "UNIT", "km, mi, h, cycles or nights", true, get_unit, set_unit},
    {"usual", "RATE", "where it has no readings yet: 60/day", false, get_meter_usual,
     set_meter_usual},
    FieldOf<Meter>::retired()};

constexpr Field<Bin> kBinFields[] = {
    FieldOf<Bin>::name(), FieldOf<Bin>::key<&Bin::rig, Rig>("rig", "the rig it is on"),
    FieldOf<Bin>::flag<&Bin::ashore>("ashore", "not on board: does not help on the road"),
    FieldOf<Bin>::flag<&Bin::outside_volume>("outside-volume",
                                             "a carrier outside: counts for mass, not for room"),
    FieldOf<Bin>::retired()};

constexpr Field<Supplier> kSupplierFields[] = {
    FieldOf<Supplier>::name(),
    FieldOf<Supplier>::word<&Supplier::kind, parse_supplier_kind>("how", "HOW",
                                                                  "walk-in or parcel"),
    FieldOf<Supplier>::retired()};

constexpr std::size_t kLongestNote = 2000;

/// A caution may be longer than a line of a list, and keeps its own words.
void set_note_text(SafetyNote& note, std::string_view text, const Catalogue&) {
  const std::string_view body = trimmed(text);
  if (body.empty() || body.size() > kLongestNote) {
    refuse(
        "safety note {} is refused: it must have 1 to {} bytes, for example \"Isolate before you "
        "open it.\"",
        quoted(body), kLongestNote);
  }
  note.text = body;
}

std::string get_note_text(const SafetyNote& note, const Catalogue&) { return note.text; }

constexpr Field<SafetyNote> kNoteFields[] = {
    FieldOf<SafetyNote>::line<&SafetyNote::shown_when>("shown-when", "when it is shown"),
    {"text", "TEXT", "the caution", true, get_note_text, set_note_text}};

void check_rig(RigId rig, std::string_view what, std::string_view key, const Catalogue& catalogue) {
  if (rig.value == 0) {
    refuse("{} {} is refused: it needs a rig, for example --rig truck", what, quoted(key));
  }
  catalogue.at(rig);
}

}  // namespace

template <>
std::span<const Field<Rig>> fields<Rig>() {
  return kRigFields;
}
template <>
std::span<const Field<Meter>> fields<Meter>() {
  return kMeterFields;
}
template <>
std::span<const Field<Bin>> fields<Bin>() {
  return kBinFields;
}
template <>
std::span<const Field<Supplier>> fields<Supplier>() {
  return kSupplierFields;
}
template <>
std::span<const Field<SafetyNote>> fields<SafetyNote>() {
  return kNoteFields;
}

void check(const Rig&, const Catalogue&) {}
void check(const Supplier&, const Catalogue&) {}
void check(const SafetyNote&, const Catalogue&) {}

void check(const Meter& meter, const Catalogue& catalogue) {
  check_rig(meter.rig, "meter", meter.key, catalogue);
  if (meter.unit.empty()) {
    refuse("meter {} is refused: it needs a unit, for example --unit km", quoted(meter.key));
  }
}

void check(const Bin& bin, const Catalogue& catalogue) { key_of(bin.rig, catalogue); }

bool counts(const Meter& meter, Basis basis) {
  switch (basis) {
    case Basis::days:
      return false;
    case Basis::distance_km:
      return meter.unit == "km" || meter.unit == "mi";
    case Basis::engine_hours:
    case Basis::run_hours:
      return meter.unit == "h";
    case Basis::cycles:
      return meter.unit == "cycles";
    case Basis::nights:
      return meter.unit == "nights";
  }
  return false;
}

}  // namespace shearpin::domain
