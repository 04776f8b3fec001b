#pragma once
/// A trip from one file: CSV as import takes it, or JSON as `trip show --format json` writes it
/// (docs/import-files.md, "trips").

#include <string>

#include "cli/session.hpp"

namespace shearpin::cli {

/// The trip a file holds, not yet checked as a whole. Of a CSV file with several trips the one
/// whose key is `key`. What the file holds besides is named in warnings on stderr. InputError where
/// the file cannot be read or taken: file, place in it, value and rule.
domain::TripLine read_trip_file(const std::string& path, const std::string& key, Session& session);

}  // namespace shearpin::cli
