#pragma once
/// Trips as people keep them: one with its legs, use and stops, or the list of them. Formats:
/// docs/json.md; the JSON of one trip is what `trip add --file` reads (docs/import-files.md).

#include <cstddef>
#include <string>
#include <vector>

#include "shearpin/domain/catalogue.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::report {

/// Head, what it lacks, legs, use by leg and in total, stops with home as the last, conditions and
/// signal. A plan that is not whole is shown as far as it goes.
std::string trip_text(const domain::TripLine& trip, const domain::Catalogue& catalogue,
                      std::size_t width);
/// Amounts as the meter shows them; the same plan gives the same bytes.
std::string trip_json(const domain::TripLine& trip, const domain::Catalogue& catalogue);

/// One line a trip: key, name, days, legs, stops, whether it is whole.
std::string trips_text(const std::vector<domain::TripLine>& trips, std::size_t width);
std::string trips_json(const std::vector<domain::TripLine>& trips);
std::string trips_csv(const std::vector<domain::TripLine>& trips);

}  // namespace shearpin::report
