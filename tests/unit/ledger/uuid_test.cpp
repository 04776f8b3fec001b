// Version 7 of RFC 9562: 48 bits of milliseconds since 1970, version 7, variant 10.

#include "ledger/uuid.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

namespace shearpin::ledger {

TEST_CASE("The time of RFC 9562's example stands in the first twelve digits") {
  // RFC 9562, appendix A.6: 2022-02-22T19:22:22.00Z is 0x017F22E279B0 milliseconds.
  UuidMaker maker("2022-02-22T19:22:22.000Z", "");
  const std::string uuid = maker.next();
  REQUIRE(uuid.size() == 36);
  CHECK(uuid.substr(0, 15) == "017f22e2-79b0-7");
  CHECK(std::string("89ab").find(uuid[19]) != std::string::npos);
}

TEST_CASE("Names of one moment rise and never repeat") {
  UuidMaker maker("2026-05-25T18:03:07Z", "");
  std::vector<std::string> names;
  for (int i = 0; i < 70000; ++i) names.push_back(maker.next());
  CHECK(std::is_sorted(names.begin(), names.end()));
  CHECK(std::set<std::string>(names.begin(), names.end()).size() == names.size());
}

TEST_CASE("Names go on rising when the clock was set back") {
  UuidMaker first("2026-05-25T18:03:07.500Z", "");
  const std::string latest = first.next();
  CHECK(UuidMaker("2026-05-25T18:03:07.500Z", latest).next() > latest);
  CHECK(UuidMaker("2020-01-01T00:00:00.000Z", latest).next() > latest);
  CHECK(UuidMaker("2026-05-25T18:03:08.000Z", latest).next() > latest);
  // The counter of a millisecond at its end.
  const std::string full = "019e5fd2-0000-7fff-bfff-000000000000";
  CHECK(UuidMaker("2020-01-01T00:00:00.000Z", full).next() > full);
}

TEST_CASE("A moment of a wrong form is a bug") {
  CHECK_THROWS_AS(UuidMaker("2026-05-25", ""), std::logic_error);
  CHECK_THROWS_AS(UuidMaker("2026-02-30T18:03:07.500Z", ""), std::logic_error);
  CHECK_THROWS_AS(UuidMaker("2026-05-25 18:03:07.500", ""), std::logic_error);
}

}  // namespace shearpin::ledger
