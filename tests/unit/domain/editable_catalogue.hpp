#pragma once
/// Changing the catalogue of a snapshot that a test puts together.

#include "shearpin/domain/snapshot.hpp"

namespace shearpin::domain {

/// The catalogue to change; a copy of it first where other snapshots share it.
inline Catalogue& editable_catalogue(Snapshot& snapshot) {
  if (snapshot.catalogue.use_count() > 1) {
    snapshot.catalogue = std::make_shared<Catalogue>(*snapshot.catalogue);
  }
  return const_cast<Catalogue&>(*snapshot.catalogue);  // never made const
}

}  // namespace shearpin::domain
