#include "base/refuse.hpp"
#include "domain/field_kit.hpp"

namespace shearpin::domain {
namespace {

using namespace kit;
using Class = ComponentClass;

double parse_life(const Class& kind, std::string_view text, std::string_view what) {
  const double life = kind.basis == Basis::days ? parse_days(text, what)
                                                : parse_exposure(text, unit_of(kind.basis), what);
  return above_zero(life, text, what, kind.basis == Basis::days ? "3y" : "12000");
}

template <auto Member>
std::string get_life(const Class& kind, const Catalogue&) {
  return plain_number(kind.*Member);
}

template <auto Member>
void set_life(Class& kind, std::string_view text, const Catalogue&) {
  kind.*Member = parse_life(kind, text, "life");
}

std::string get_usual(const Class& kind, const Catalogue&) {
  return plain_number(kind.usual_per_day);
}

void set_usual(Class& kind, std::string_view text, const Catalogue&) {
  kind.usual_per_day =
      above_zero(parse_per_day(text, "usual rate"), text, "usual rate", "2 or 60/day");
}

std::string get_shape(const Class& kind, const Catalogue&) { return plain_number(kind.shape); }

void set_shape(Class& kind, std::string_view text, const Catalogue&) {
  kind.shape = parse_number(text, "shape");
}

std::string get_sensitivity(const Class& kind, const Catalogue&) {
  std::vector<std::string> pieces;
  for (const auto& [condition, factor] : kind.sensitivity) {
    pieces.push_back(condition + ":" + plain_number(factor));
  }
  return list_text(pieces);
}

void set_sensitivity(Class& kind, std::string_view text, const Catalogue&) {
  std::map<std::string, double> factors;
  for (const std::string& piece : read_list(text, "sensitivity")) {
    const auto colon = piece.find(':');
    if (colon == std::string::npos) {
      refuse(
          "sensitivity {} is refused: it needs a condition and a factor, for example smoke-dust:4",
          quoted(piece));
    }
    const std::string condition = parse_key(piece.substr(0, colon), "condition");
    const double factor = parse_number(piece.substr(colon + 1), "factor");
    if (!(factor >= 0.01 && factor <= 100)) {
      refuse(
          "sensitivity {} is refused: a factor must be from 0.01 to 100, for example smoke-dust:4",
          quoted(piece));
    }
    if (!factors.emplace(condition, factor).second) {
      refuse("sensitivity {} is refused: {} is named twice, for example smoke-dust:4", quoted(text),
             condition);
    }
  }
  kind.sensitivity = std::move(factors);
}

std::string get_safety_note(const Class& kind, const Catalogue&) { return kind.safety_note; }

void set_safety_note(Class& kind, std::string_view text, const Catalogue& catalogue) {
  kind.safety_note =
      trimmed(text).empty() ? "" : find_key(catalogue.safety_notes, text, "safety note").key;
}

constexpr char kFailureMode[] = "failure mode";
using F = FieldOf<Class>;

constexpr Field<Class> kClassFields[] = {
    F::name(),
    F::line<&Class::system>("system", "the system it belongs to: dc-electrical, running-gear ..."),
    F::list<&Class::failure_modes, kFailureMode>("failure-modes", "how it fails: wear-out;freeze"),
    F::word<&Class::basis, parse_basis>(
        "basis", "BASIS", "ages in days, distance_km, engine_hours, run_hours, cycles or nights",
        true),
    {"usual", "RATE", "exposure on an ordinary day lived in, in its basis: 60/day", false,
     get_usual, set_usual},
    {"life", "LIFE", "by when 63 % have failed, middle of the belief: 3y, 12000 (km, h ...)", true,
     get_life<&Class::life_median>, set_life<&Class::life_median>},
    {"life-low", "LIFE", "one chance in ten that the life is shorter", true,
     get_life<&Class::life_low>, set_life<&Class::life_low>},
    {"life-high", "LIFE", "one chance in ten that the life is longer", true,
     get_life<&Class::life_high>, set_life<&Class::life_high>},
    {"shape", "NUMBER", "Weibull shape: 1 random, above 1 wears out, 0.5 to 8", true, get_shape,
     set_shape},
    F::word<&Class::severity, parse_severity>(
        "severity", "SEVERITY", "safety, stranded, uninhabitable, degraded or nuisance", true),
    F::flag<&Class::hidden>("hidden", "its failure is unseen until it is needed or tested"),
    F::span<&Class::test_interval_days>("test-interval", "how often to test it: 30d"),
    F::word<&Class::resupply, parse_resupply>(
        "resupply", "WHERE", "anywhere, hardware-store, order-online or specialist", true),
    F::span<&Class::shelf_life_days>("shelf-life", "from manufacture to the end of its worth: 10y"),
    F::flag<&Class::dated>("dated", "the marked end goes on running after fitting"),
    F::mass<&Class::mass_g>(),
    F::volume<&Class::volume_ml>(),
    F::money<&Class::price>("price", "of one piece: 4.50"),
    {"sensitivity", "LIST", "what wears it faster, and how many times: smoke-dust:4;heat:1.2",
     false, get_sensitivity, set_sensitivity},
    F::line<&Class::workaround>("workaround", "what gets a person by without it"),
    {"safety-note", "KEY", "the caution shown with it", false, get_safety_note, set_safety_note},
    F::line<&Class::basis_note>("basis-note", "where the belief comes from"),
    F::flag<&Class::consumed>(
        "consumed", "used up rather than fitted: the life is the exposure until one piece is gone"),
    F::retired()};

}  // namespace

template <>
std::span<const Field<ComponentClass>> fields<ComponentClass>() {
  return kClassFields;
}

void check(const ComponentClass& kind, const Catalogue& catalogue) {
  if (!(kind.life_low > 0 && kind.life_low < kind.life_median &&
        kind.life_median < kind.life_high)) {
    refuse(
        "life-low {}, life {}, life-high {} is refused: they must rise, for example 500, 1000, "
        "2000",
        plain_number(kind.life_low), plain_number(kind.life_median), plain_number(kind.life_high));
  }
  const double ratio = kind.life_high / kind.life_low;
  if (!(ratio >= 1.01 && ratio <= 1000)) {
    refuse("life-high {} is refused: it must be 1.01 to 1,000 times life-low {}, for example {}",
           plain_number(kind.life_high), plain_number(kind.life_low),
           significant(3 * kind.life_low, 3));
  }
  if (!(kind.shape >= 0.5 && kind.shape <= 8)) {
    refuse("shape {} is refused: it must be from 0.5 to 8, for example 1.2",
           plain_number(kind.shape));
  }
  if (!(kind.usual_per_day > 0)) {
    refuse("usual rate {} is refused: it must be above zero, for example 2",
           plain_number(kind.usual_per_day));
  }
  if (!kind.safety_note.empty()) {
    find_key(catalogue.safety_notes, kind.safety_note, "safety note");
  }
}

}  // namespace shearpin::domain
