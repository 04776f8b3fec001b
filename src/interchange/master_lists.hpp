#pragma once
/// Which list of the catalogue a table of master data fills.

#include <stdexcept>

#include "interchange/rows.hpp"
#include "shearpin/domain/catalogue.hpp"

namespace shearpin::interchange {

/// What `use` makes of the list (`&domain::Catalogue::parts`) of a kind of master data.
template <class Use>
auto with_master_list(Kind kind, const Use& use) {
  using domain::Catalogue;
  switch (kind) {
    case Kind::safety_notes:
      return use(&Catalogue::safety_notes);
    case Kind::classes:
      return use(&Catalogue::classes);
    case Kind::rigs:
      return use(&Catalogue::rigs);
    case Kind::meters:
      return use(&Catalogue::meters);
    case Kind::bins:
      return use(&Catalogue::bins);
    case Kind::suppliers:
      return use(&Catalogue::suppliers);
    case Kind::parts:
      return use(&Catalogue::parts);
    case Kind::positions:
      return use(&Catalogue::positions);
    case Kind::substitutes:
      return use(&Catalogue::substitutes);
    case Kind::fitted:
    case Kind::stock:
    case Kind::readings:
    case Kind::conditions:
    case Kind::orders:
    case Kind::history:
    case Kind::counts:
    case Kind::trips:
      break;
  }
  throw std::logic_error("a dated row taken for master data");
}

}  // namespace shearpin::interchange
