#include "base/refuse.hpp"
#include "domain/field_kit.hpp"
#include "domain/plan_fitting.hpp"

namespace shearpin::domain {
namespace {

using namespace kit;

using P = FieldOf<Part>;

constexpr Field<Part> kPartFields[] = {
    P::name(),
    P::key<&Part::component_class, ComponentClass>(
        "class", "the component class that gives the first belief about its life"),
    P::money<&Part::price>("price", "of one piece: 4.50"),
    P::mass<&Part::mass_g>(),
    P::volume<&Part::volume_ml>(),
    P::count<&Part::pack>("pack", "pieces in a pack as sold"),
    P::span<&Part::shelf_life_days>("shelf-life", "from manufacture to the end of its worth: 10y"),
    P::key<&Part::supplier, Supplier>("supplier", "where it is bought"),
    P::amount<&Part::resupply, spelt<Resupply>, parse_resupply>(
        "resupply", "WHERE", "anywhere, hardware-store, order-online or specialist"),
    P::amount<&Part::rating_ampere, amperes, parse_ampere>("rating", "AMPERE",
                                                           "of a fuse or breaker: 15A"),
    P::key<&Part::home_bin, Bin>("home-bin", "where it is kept"),
    P::line<&Part::note>("note", "a remark"),
    P::retired()};

using S = FieldOf<Substitute>;

constexpr Field<Substitute> kSubstituteFields[] = {
    S::key<&Substitute::part, Part>("part", "the part that may serve", true),
    S::key<&Substitute::stands_for, Part>("for", "the part it stands for", true),
    S::flag<&Substitute::temporary>("temporary", "only until the right one can be had"),
    S::key<&Substitute::only, Position>("only", "at this position alone", false, "POSITION"),
    S::flag<&Substitute::forbidden>("forbidden", "never to be used, kept as a warning"),
    S::line<&Substitute::note>("note", "a remark")};

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
    refuse("pack {} is refused: it must be one piece or more, for example 5", part.pack);
  }
}

void check(const Substitute& substitute, const Catalogue& catalogue) {
  const Part& part = catalogue.at(substitute.part);
  const Part& stands_for = catalogue.at(substitute.stands_for);
  if (!substitute.forbidden) {
    check_substitute(part, stands_for, catalogue);
  } else if (part.id == stands_for.id) {
    refuse("part {} is refused: it cannot stand for itself", part.key);
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
