#pragma once
/// Row numbers of the ledger, one type per kind of thing so that two cannot be swapped.

#include <compare>
#include <cstdint>
#include <functional>

namespace shearpin {

/// A number that names one `Tag`; ids of different tags neither compare nor convert.
template <class Tag>
struct Id {
  std::int64_t value = 0;
  friend auto operator<=>(const Id&, const Id&) = default;
};

using RigId = Id<struct RigTag>;
using ClassId = Id<struct ClassTag>;
using PartId = Id<struct PartTag>;
using PositionId = Id<struct PositionTag>;
using MeterId = Id<struct MeterTag>;
using BinId = Id<struct BinTag>;
using SupplierId = Id<struct SupplierTag>;
using LotId = Id<struct LotTag>;
using OrderId = Id<struct OrderTag>;
using FaultId = Id<struct FaultTag>;
using UnitId = Id<struct UnitTag>;
using EntryId = Id<struct EntryTag>;

}  // namespace shearpin

template <class Tag>
struct std::hash<shearpin::Id<Tag>> {
  std::size_t operator()(const shearpin::Id<Tag>& id) const noexcept {
    return std::hash<std::int64_t>{}(id.value);
  }
};
