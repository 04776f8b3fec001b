#include "cli/master_kind.hpp"

namespace shearpin::cli {

template <>
const MasterKind<domain::Rig>& master_kind<domain::Rig>() {
  static const MasterKind<domain::Rig> kind{
      "rig",
      "Vehicles and trailers",
      "rig add trailer --name \"Lab trailer\"",
      "shearpin position add KEY --rig {} --class CLASS",
      &domain::Catalogue::rigs,
      [](Session& session, const std::string& typed) -> const domain::Rig& {
        return session.catalogue().at(session.rig(typed));
      }};
  return kind;
}

template <>
const MasterKind<domain::ComponentClass>& master_kind<domain::ComponentClass>() {
  static const MasterKind<domain::ComponentClass> kind{
      "class",
      "Component classes: the first belief about a life",
      "class add door-seal --life 4y --life-low 2y --life-high 9y --shape 1.5 --basis days "
      "--severity degraded --resupply order-online",
      "shearpin part add KEY --class {}",
      &domain::Catalogue::classes,
      [](Session& session, const std::string& typed) -> const domain::ComponentClass& {
        return session.catalogue().at(session.component_class(typed));
      }};
  return kind;
}

template <>
const MasterKind<domain::Part>& master_kind<domain::Part>() {
  static const MasterKind<domain::Part> kind{
      "part",
      "Stock numbers: what you would buy again",
      "part add fuse-15 --class blade-fuse-mid --rating 15A --price 0.40 --pack 10",
      "shearpin receive {} N --into BIN, or shearpin position add KEY --part {}",
      &domain::Catalogue::parts,
      [](Session& session, const std::string& typed) -> const domain::Part& {
        return session.catalogue().at(session.part(typed));
      }};
  return kind;
}

template <>
const MasterKind<domain::Position>& master_kind<domain::Position>() {
  static const MasterKind<domain::Position> kind{
      "position",
      "Places on a rig that hold one or more like units",
      "position add fridge-fuse --rig trailer --part fuse-15 --also \"cold box fuse\"",
      "shearpin fit {} --age unknown",
      &domain::Catalogue::positions,
      [](Session& session, const std::string& typed) -> const domain::Position& {
        return session.catalogue().at(session.position(typed).position);
      }};
  return kind;
}

template <>
const MasterKind<domain::Meter>& master_kind<domain::Meter>() {
  static const MasterKind<domain::Meter> kind{
      "meter",
      "Counts that use is read from",
      "meter add truck-km --rig truck --unit km --usual 60/day",
      "shearpin meter read {} VALUE --on DATE",
      &domain::Catalogue::meters,
      [](Session& session, const std::string& typed) -> const domain::Meter& {
        return session.catalogue().at(session.meter(typed));
      }};
  return kind;
}

template <>
const MasterKind<domain::Bin>& master_kind<domain::Bin>() {
  static const MasterKind<domain::Bin> kind{
      "bin",
      "Places where spares lie, aboard or ashore",
      "bin add left-locker --rig truck --name \"Left locker\"",
      "shearpin receive PART N --into {}",
      &domain::Catalogue::bins,
      [](Session& session, const std::string& typed) -> const domain::Bin& {
        return session.catalogue().at(session.bin(typed));
      }};
  return kind;
}

template <>
const MasterKind<domain::Supplier>& master_kind<domain::Supplier>() {
  static const MasterKind<domain::Supplier> kind{
      "supplier",
      "Where parts are bought",
      "supplier add farm-counter --how walk-in",
      "shearpin part set PART --supplier {}",
      &domain::Catalogue::suppliers,
      [](Session& session, const std::string& typed) -> const domain::Supplier& {
        return session.catalogue().at(session.supplier(typed));
      }};
  return kind;
}

}  // namespace shearpin::cli
