#pragma once
/// Master data of a ledger: what exists, apart from what has happened to it.
/// Plain regular values; every cross reference is an id that the same Catalogue holds.

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "shearpin/base/date.hpp"
#include "shearpin/base/id.hpp"
#include "shearpin/base/money.hpp"
#include "shearpin/domain/vocabulary.hpp"

namespace shearpin::domain {

/// What every kind of master data has: a key to type, a name to read, and whether it is retired
/// (kept for its history, offered no more).
struct Named {
  std::string key;
  std::string name;
  bool retired = false;
  friend bool operator==(const Named&, const Named&) = default;
};

/// A vehicle or trailer.
struct Rig : Named {
  RigId id;
  friend bool operator==(const Rig&, const Rig&) = default;
};

/// A kind of component with the first belief about its life.
struct ComponentClass : Named {
  ClassId id;
  std::string system;
  std::vector<std::string> failure_modes;
  Basis basis = Basis::days;
  double usual_per_day = 1;      ///< exposure on an ordinary day lived in, own basis (belief)
  double life_median = 1095.75;  ///< characteristic life, own basis
  double life_low = 182.625;     ///< 10 % point of the belief
  double life_high = 6574.5;     ///< 90 % point of the belief
  double shape = 1.2;            ///< belief about the Weibull shape
  Severity severity = Severity::degraded;
  bool hidden = false;  ///< failure unseen until needed or tested
  std::optional<double> test_interval_days;
  Resupply resupply = Resupply::order_online;
  std::optional<double> shelf_life_days;
  bool dated = false;  ///< the marked end runs from manufacture and goes on after fitting
  std::optional<double> mass_g, volume_ml;
  std::optional<Money> price;                 ///< per piece
  std::map<std::string, double> sensitivity;  ///< condition name -> factor on exposure
  std::string workaround;
  std::string safety_note;  ///< key of a safety note, may be empty
  std::string basis_note;   ///< where the belief comes from
  bool consumed = false;    ///< life is the exposure until one piece is used up (not fitted)
  friend bool operator==(const ComponentClass&, const ComponentClass&) = default;
};

/// A stock number: what you would buy again.
struct Part : Named {
  PartId id;
  std::optional<ClassId> component_class;
  std::optional<Money> price;  ///< per piece
  std::optional<double> mass_g, volume_ml;
  int pack = 1;  ///< pieces in a pack as sold
  std::optional<double> shelf_life_days;
  std::optional<SupplierId> supplier;
  std::optional<Resupply> resupply;
  std::optional<double> rating_ampere;
  std::optional<BinId> home_bin;
  std::string note;
  friend bool operator==(const Part&, const Part&) = default;
};

/// `part` may serve where `stands_for` is called for.
struct Substitute {
  PartId part;
  PartId stands_for;
  bool temporary = false;
  std::optional<PositionId> only;  ///< at this position alone
  bool forbidden = false;          ///< recorded as never to be used (a larger fuse)
  std::string note;
  friend bool operator==(const Substitute&, const Substitute&) = default;
};

/// A place on a rig that holds one or more like units, numbered 1..units.
struct Position : Named {
  PositionId id;
  RigId rig;
  std::optional<PartId> part;              ///< the part called for; none: no part number
  std::optional<ClassId> component_class;  ///< of the position itself, where it has no part
  int units = 1;
  int pieces = 1;  ///< pieces of the part that one unit takes (cells that drain together)
  std::optional<Severity> severity;  ///< the owner's own; else the class's
  std::optional<MeterId> meter;
  std::optional<double> usual_per_day;
  std::optional<MeterId> usual_meter;  ///< usual_per_day counts per unit of this meter (nights)
  std::string workaround;              ///< "none" means nothing gets the person by; empty: unknown
  std::string place;
  std::vector<std::string> nicknames;
  std::optional<Money> cost_of_day;  ///< a day without, the owner's own figure
  std::string note;
  friend bool operator==(const Position&, const Position&) = default;
};

/// A named count that exposure is read from.
struct Meter : Named {
  MeterId id;
  RigId rig;
  std::string unit;  ///< km, mi, h, cycles, nights (mi is shown; readings are stored in km)
  std::optional<double> usual_per_day;
  friend bool operator==(const Meter&, const Meter&) = default;
};

/// A place where spares lie.
struct Bin : Named {
  BinId id;
  std::optional<RigId> rig;
  bool ashore = false;          ///< not on board: does not help on the road
  bool outside_volume = false;  ///< a wheel carrier: counts for mass, not for room
  friend bool operator==(const Bin&, const Bin&) = default;
};

struct Supplier : Named {
  SupplierId id;
  SupplierKind kind = SupplierKind::parcel;
  friend bool operator==(const Supplier&, const Supplier&) = default;
};

/// A caution shown where work can hurt someone.
struct SafetyNote {
  std::string key;
  std::string shown_when;
  std::string text;
  friend bool operator==(const SafetyNote&, const SafetyNote&) = default;
};

/// All master data. Ids index nothing: use the `find` functions.
struct Catalogue {
  std::vector<Rig> rigs;
  std::vector<ComponentClass> classes;
  std::vector<Part> parts;
  std::vector<Substitute> substitutes;
  std::vector<Position> positions;
  std::vector<Meter> meters;
  std::vector<Bin> bins;
  std::vector<Supplier> suppliers;
  std::vector<SafetyNote> safety_notes;

  /// The thing with this id; throws std::logic_error when the ledger names one it does not hold.
  const Rig& at(RigId) const;
  const ComponentClass& at(ClassId) const;
  const Part& at(PartId) const;
  const Position& at(PositionId) const;
  const Meter& at(MeterId) const;
  const Bin& at(BinId) const;
  const Supplier& at(SupplierId) const;

  /// The class that rules a position: its part's, else its own, else none.
  const ComponentClass* class_of(const Position&) const;
  const ComponentClass* class_of(const Part&) const;
  /// Severity of a position before its workaround counts: its own, else its class's, else degraded.
  Severity severity_of(const Position&) const;
  /// True when a workaround is declared: text other than empty and "none"; the position's own text,
  /// an empty one falling back to nothing (a class's workaround is advice, not a declaration).
  static bool has_workaround(const Position&);
  /// The part's own figure, else its class's.
  std::optional<double> mass_of(const Part&) const;
  std::optional<double> volume_of(const Part&) const;
  std::optional<Money> price_of(const Part&) const;
  Resupply resupply_of(const Part&) const;
  std::optional<double> shelf_life_of(const Part&) const;
  /// The note for a class, a part or a position; nullptr when none is named.
  const SafetyNote* safety_note_of(const ComponentClass*) const;
};

}  // namespace shearpin::domain
