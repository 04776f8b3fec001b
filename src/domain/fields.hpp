#pragma once
/// One table of fields for each kind of master data: the options of `KIND add` and `KIND set`, the
/// rows of `show`, the columns of tables in and out, and the change lines of the ledger.

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "shearpin/domain/catalogue.hpp"

namespace shearpin::domain {

/// What a kind of master data is called, and where the catalogue keeps it.
template <class T>
struct ThingKind {
  std::string_view word;
  std::vector<T> Catalogue::*list;
};
template <class T>
inline constexpr ThingKind<T> kThings{};
template <>
inline constexpr ThingKind<Rig> kThings<Rig>{"rig", &Catalogue::rigs};
template <>
inline constexpr ThingKind<ComponentClass> kThings<ComponentClass>{"class", &Catalogue::classes};
template <>
inline constexpr ThingKind<Part> kThings<Part>{"part", &Catalogue::parts};
template <>
inline constexpr ThingKind<Position> kThings<Position>{"position", &Catalogue::positions};
template <>
inline constexpr ThingKind<Meter> kThings<Meter>{"meter", &Catalogue::meters};
template <>
inline constexpr ThingKind<Bin> kThings<Bin>{"bin", &Catalogue::bins};
template <>
inline constexpr ThingKind<Supplier> kThings<Supplier>{"supplier", &Catalogue::suppliers};

/// One field of `T`. References to other things are by key, looked up exactly (case aside).
template <class T>
struct Field {
  std::string_view name;   ///< "price": the option --price and the column
  std::string_view value;  ///< metavar, "MONEY"; empty: a flag, read and shown as yes or no
  std::string_view help;
  bool required_on_add = false;
  /// Text that `set` reads back as exactly the same value; empty where nothing is set.
  std::string (*get)(const T&, const Catalogue&) = nullptr;
  /// Throws InputError naming value, rule and example, leaving the thing as it was. Empty text
  /// clears what may be missing, and makes a flag "no".
  void (*set)(T&, std::string_view, const Catalogue&) = nullptr;
  std::string_view thing = {};  ///< of a reference by key: the word for what it names, "part"
};

/// The fields of `T` in the order shown. Where several are set, set them in this order: a basis is
/// known before a life, a meter's unit before its rate.
template <class T>
std::span<const Field<T>> fields();
template <>
std::span<const Field<Rig>> fields<Rig>();
template <>
std::span<const Field<ComponentClass>> fields<ComponentClass>();
template <>
std::span<const Field<Part>> fields<Part>();
template <>
std::span<const Field<Substitute>> fields<Substitute>();
template <>
std::span<const Field<Position>> fields<Position>();
template <>
std::span<const Field<Meter>> fields<Meter>();
template <>
std::span<const Field<Bin>> fields<Bin>();
template <>
std::span<const Field<Supplier>> fields<Supplier>();
template <>
std::span<const Field<SafetyNote>> fields<SafetyNote>();

/// Rules between fields, to be checked once all are set; InputError names value, rule and example.
/// Class: low < median < high, high/low from 1.01 to 1000, shape 0.2 to 10, a known safety note.
/// Position: one to 1000 units; part and class agree; its meter counts what its class ages in (a
/// class that ages in days may have any); usual rate above zero. Meter, Bin: a rig where one is
/// needed. Part: pack of one or more. Substitute: check_substitute unless it is forbidden.
void check(const Rig&, const Catalogue&);
void check(const ComponentClass&, const Catalogue&);
void check(const Part&, const Catalogue&);
void check(const Substitute&, const Catalogue&);
void check(const Position&, const Catalogue&);
void check(const Meter&, const Catalogue&);
void check(const Bin&, const Catalogue&);
void check(const Supplier&, const Catalogue&);
void check(const SafetyNote&, const Catalogue&);

/// Refuses `part` as a substitute for `stands_for`: itself; a fuse whose rating is larger, or where
/// either rating is unknown; what is no fuse in the place of a fuse; and for a fuse of the
/// dc-high-current caution one of another class, since its interrupting rating may be too small.
void check_substitute(const Part& part, const Part& stands_for, const Catalogue& catalogue);

/// True when the meter's unit (km, mi, h, cycles, nights) counts what `basis` ages in.
bool counts(const Meter& meter, Basis basis);

}  // namespace shearpin::domain
