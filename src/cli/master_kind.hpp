#pragma once
/// What `KIND add|set|show|list|retire` is told with, for each kind of master data.

#include <string_view>

#include "domain/fields.hpp"

namespace shearpin::cli {

struct MasterKind {
  std::string_view word;     ///< "part"
  std::string_view summary;  ///< of the command
  std::string_view example;  ///< of `add`, without the program's name
  std::string_view next;     ///< after adding; {} is the key
};
template <class T>
inline constexpr MasterKind kMasterKind{};
template <>
inline constexpr MasterKind kMasterKind<domain::Rig>{
    domain::kThings<domain::Rig>.word, "Vehicles and trailers",
    "rig add trailer --name \"Lab trailer\"", "shearpin position add KEY --rig {} --class CLASS"};
template <>
inline constexpr MasterKind kMasterKind<domain::ComponentClass>{
    domain::kThings<domain::ComponentClass>.word,
    "Component classes: the first belief about a life",
    "class add door-seal --life 4y --life-low 2y --life-high 9y --shape 1.5 --basis days "
    "--severity degraded --resupply order-online",
    "shearpin part add KEY --class {}"};
template <>
inline constexpr MasterKind kMasterKind<domain::Part>{
    domain::kThings<domain::Part>.word, "Stock numbers: what you would buy again",
    "part add fuse-15 --class blade-fuse-mid --rating 15A --price 0.40 --pack 10",
    "shearpin receive {} N --into BIN, or shearpin position add KEY --part {}"};
template <>
inline constexpr MasterKind kMasterKind<domain::Position>{
    domain::kThings<domain::Position>.word, "Places on a rig that hold one or more like units",
    "position add fridge-fuse --rig trailer --part fuse-15 --also \"cold box fuse\"",
    "shearpin fit {} --age unknown"};
template <>
inline constexpr MasterKind kMasterKind<domain::Meter>{
    domain::kThings<domain::Meter>.word, "Counts that use is read from",
    "meter add truck-km --rig truck --unit km --usual 60/day",
    "shearpin meter read {} VALUE --on DATE"};
template <>
inline constexpr MasterKind kMasterKind<domain::Bin>{
    domain::kThings<domain::Bin>.word, "Places where spares lie, aboard or ashore",
    "bin add left-locker --rig truck --name \"Left locker\"", "shearpin receive PART N --into {}"};
template <>
inline constexpr MasterKind kMasterKind<domain::Supplier>{
    domain::kThings<domain::Supplier>.word, "Where parts are bought",
    "supplier add farm-counter --how walk-in", "shearpin part set PART --supplier {}"};

template <class T>
const MasterKind& master_kind() {
  return kMasterKind<T>;
}

}  // namespace shearpin::cli
