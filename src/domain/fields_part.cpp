#include "domain/field_kit.hpp"
#include "domain/plan_fitting.hpp"

namespace shearpin::domain {
namespace {

using namespace kit;

void set_class(Part& part, std::string_view text, const Catalogue& catalogue) {
  part.component_class = trimmed(text).empty()
                             ? std::nullopt
                             : std::optional(find_key(catalogue.classes, text, "class").id);
}

void set_supplier(Part& part, std::string_view text, const Catalogue& catalogue) {
  part.supplier = trimmed(text).empty()
                      ? std::nullopt
                      : std::optional(find_key(catalogue.suppliers, text, "supplier").id);
}

void set_home_bin(Part& part, std::string_view text, const Catalogue& catalogue) {
  part.home_bin = trimmed(text).empty() ? std::nullopt
                                        : std::optional(find_key(catalogue.bins, text, "bin").id);
}

std::string get_rating(const Part& part, const Catalogue&) {
  return part.rating_ampere ? plain_number(*part.rating_ampere) + "A" : std::string();
}

void set_rating(Part& part, std::string_view text, const Catalogue&) {
  part.rating_ampere =
      trimmed(text).empty() ? std::nullopt : std::optional<double>(parse_ampere(text));
}

constexpr Field<Part> kPartFields[] = {
    {"name", "TEXT", "what it is called", false, get_line<Part, &Part::name>,
     set_line<Part, &Part::name>},
    {"class", "KEY", "the component class that gives the first belief about its life", false,
     get_optional_key<Part, &Part::component_class>, set_class},
    {"price", "MONEY", "of one piece: 4.50", false, get_money<Part, &Part::price>,
     set_money<Part, &Part::price>},
    {"mass", "MASS", "of one piece: 12g", false, get_mass<Part, &Part::mass_g>,
     set_mass<Part, &Part::mass_g>},
    {"volume", "VOLUME", "of one piece: 5ml", false, get_volume<Part, &Part::volume_ml>,
     set_volume<Part, &Part::volume_ml>},
    {"pack", "N", "pieces in a pack as sold", false, get_count<Part, &Part::pack>,
     set_count<Part, &Part::pack>},
    {"shelf-life", "SPAN", "from manufacture to the end of its worth: 10y", false,
     get_days<Part, &Part::shelf_life_days>, set_days<Part, &Part::shelf_life_days>},
    {"supplier", "KEY", "where it is bought", false, get_optional_key<Part, &Part::supplier>,
     set_supplier},
    {"resupply", "WHERE", "anywhere, hardware-store, order-online or specialist", false,
     get_optional_word<Part, &Part::resupply>,
     set_optional_word<Part, &Part::resupply, parse_resupply>},
    {"rating", "AMPERE", "of a fuse or breaker: 15A", false, get_rating, set_rating},
    {"home-bin", "KEY", "where it is kept", false, get_optional_key<Part, &Part::home_bin>,
     set_home_bin},
    {"note", "TEXT", "a remark", false, get_line<Part, &Part::note>, set_line<Part, &Part::note>},
    {"retired", "", "kept for its history, offered no more", false, get_flag<Part, &Part::retired>,
     set_flag<Part, &Part::retired>}};

void set_part(Substitute& substitute, std::string_view text, const Catalogue& catalogue) {
  substitute.part = find_key(catalogue.parts, text, "part").id;
}

void set_stands_for(Substitute& substitute, std::string_view text, const Catalogue& catalogue) {
  substitute.stands_for = find_key(catalogue.parts, text, "part").id;
}

std::string get_only(const Substitute& substitute, const Catalogue& catalogue) {
  return key_of(substitute.only, catalogue);
}

void set_only(Substitute& substitute, std::string_view text, const Catalogue& catalogue) {
  substitute.only = trimmed(text).empty()
                        ? std::nullopt
                        : std::optional(find_key(catalogue.positions, text, "position").id);
}

constexpr Field<Substitute> kSubstituteFields[] = {
    {"part", "KEY", "the part that may serve", true, get_key<Substitute, &Substitute::part>,
     set_part},
    {"for", "KEY", "the part it stands for", true, get_key<Substitute, &Substitute::stands_for>,
     set_stands_for},
    {"temporary", "", "only until the right one can be had", false,
     get_flag<Substitute, &Substitute::temporary>, set_flag<Substitute, &Substitute::temporary>},
    {"only", "POSITION", "at this position alone", false, get_only, set_only},
    {"forbidden", "", "never to be used, kept as a warning", false,
     get_flag<Substitute, &Substitute::forbidden>, set_flag<Substitute, &Substitute::forbidden>},
    {"note", "TEXT", "a remark", false, get_line<Substitute, &Substitute::note>,
     set_line<Substitute, &Substitute::note>}};

/// Fuses under this caution break currents that burst one of a lower interrupting rating, whatever
/// its ampere rating says.
constexpr std::string_view kHighCurrentNote = "dc-high-current";

}  // namespace

template <>
std::span<const Field<Part>> fields<Part>() {
  return kPartFields;
}

template <>
std::span<const Field<Substitute>> fields<Substitute>() {
  return kSubstituteFields;
}

void check(const Part& part, const Catalogue& catalogue) {
  // Each reference must exist: the catalogue throws std::logic_error for one that does not.
  key_of(part.component_class, catalogue);
  key_of(part.supplier, catalogue);
  key_of(part.home_bin, catalogue);
  if (part.pack < 1) {
    throw InputError(
        fmt::format("pack {} is refused: it must be one piece or more, for example 5", part.pack));
  }
}

void check(const Substitute& substitute, const Catalogue& catalogue) {
  const Part& part = catalogue.at(substitute.part);
  const Part& stands_for = catalogue.at(substitute.stands_for);
  if (!substitute.forbidden) {
    check_substitute(part, stands_for, catalogue);
  } else if (part.id == stands_for.id) {
    throw InputError(fmt::format("part {} is refused: it cannot stand for itself", part.key));
  }
}

void check_substitute(const Part& part, const Part& stands_for, const Catalogue& catalogue) {
  const auto refuse = [&](std::string_view why) {
    throw InputError(fmt::format("part {} is refused as a substitute for {}: {}", part.key,
                                 stands_for.key, why));
  };
  if (part.id == stands_for.id) {
    refuse("it is the same part; name another one");
  }
  const bool fuse = protects_by_rating(catalogue, part);
  const bool for_fuse = protects_by_rating(catalogue, stands_for);
  if (for_fuse && !fuse) {
    refuse(
        "a fuse or breaker guards the wire, and only another of no larger rating may take its "
        "place");
  }
  const ComponentClass* kind = catalogue.class_of(stands_for);
  if (for_fuse && kind != nullptr && kind->safety_note == kHighCurrentNote &&
      part.component_class != stands_for.component_class) {
    refuse(fmt::format(
        "its class is not {}, so its interrupting rating may be too small for that circuit; use "
        "one of the same class",
        kind->key));
  }
  const std::string objection = rating_objection(catalogue, part, stands_for);
  if (!objection.empty()) {
    refuse(objection);
  }
}

}  // namespace shearpin::domain
