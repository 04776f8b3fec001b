#pragma once
// Small ledgers that the cases begin with.

#include <string>

#include "sandbox.hpp"

namespace shearpin::test {

// A camper with two bins aboard and one ashore, two suppliers, two fuses and a belt; a fridge fuse
// and three lamps fitted since 2026-01-01, five fuses aboard and ten ashore.
void make_camper(const Sandbox& box);

// The ledger of data/demo/, every file in one import. The last line it printed.
std::string make_demo(const Sandbox& box);

// Pieces of a part in a bin, read from `part show`-free ground: the movements in the file.
long long book(const Sandbox& box, const std::string& part, const std::string& bin);

// All that is derived and a person can see, as of the end of the record: master data, units, stock,
// readings, conditions, orders. Two ledgers with the same text tell the same story.
std::string state_of(const Sandbox& box);

// The number of the newest entry.
long long newest_entry(const Sandbox& box);

// The day before which nothing of the demo is in the future: its as-of day.
inline const std::string kDemoDay = "2026-05-25";

// The stretch of the demo's trip, without its stops.
inline const std::string kDemoTrip =
    "--days 38 --use truck-km=3740 --use engine-h=115 --use trailer-km=3110 --use heater-h=93 "
    "--use "
    "generator-h=52 --use winch-cycles=250 --use nights=37 --condition rough-road:28 --condition "
    "smoke-dust:12 --condition freezing:9 --condition high-altitude:9 --condition heat:3";

}  // namespace shearpin::test
