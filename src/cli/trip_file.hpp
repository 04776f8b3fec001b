#pragma once
/// A trip from one file: CSV as import takes it, or JSON as `trip show --format json` writes it
/// (docs/import-files.md, "trips").

#include <functional>
#include <string>

#include "cli/session.hpp"
#include "interchange/rows.hpp"

namespace shearpin::cli {

/// Finds a meter by the name a file gives it; throws InputError where there is none.
using MeterNamed = std::function<const domain::Meter&(const std::string&)>;

/// Adds the leg of one row, and the stop at its end. InputError for an unknown meter or a bad
/// amount.
void add_trip_row(domain::TripLine& trip, const interchange::TripRow& row,
                  const MeterNamed& meter_named);

/// The trip a file holds, not yet checked as a whole. Of a CSV file with several trips the one
/// whose key is `key`. What the file holds besides is named in warnings on stderr. InputError where
/// the file cannot be read or taken: file, place in it, value and rule.
domain::TripLine read_trip_file(const std::string& path, const std::string& key, Session& session);

}  // namespace shearpin::cli
