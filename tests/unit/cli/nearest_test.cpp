#include "cli/nearest.hpp"

#include <catch2/catch.hpp>

using namespace shearpin::cli;

using Names = std::vector<std::string>;

namespace {
const Names kNames = {"fail", "fit", "fits", "find", "receive", "reorder", "report"};
}

TEST_CASE("a mistyped name is near to what was meant") {
  CHECK(nearest_names("recieve", kNames) == Names{"receive"});
  CHECK(nearest_names("FAIL", kNames) == Names{"fail"});
  CHECK(nearest_names("fial", kNames) == Names{"fail"});
  CHECK(nearest_names("repotr", kNames) == Names{"report"});
}

TEST_CASE("a shortened name is near to all that begin so") {
  CHECK(nearest_names("re", kNames) == Names{"receive", "reorder", "report"});
}

TEST_CASE("a word of a name is near to it") {
  CHECK(nearest_names("--dead", {"--on", "--left-dead", "--dry-run"}) == Names{"--left-dead"});
  CHECK(nearest_names("mass", {"max-mass", "add-mass", "massive"}).size() == 3);
  CHECK(nearest_names("--", {"--on", "--left-dead"}).size() == 2);
}

TEST_CASE("the nearest stands first and no more than three are given") {
  CHECK(nearest_names("fitd", kNames).front() == "fit");
  CHECK(nearest_names("fi", kNames).size() == 3);
}

TEST_CASE("a name far from all has none near") {
  CHECK(nearest_names("xylophone", kNames).empty());
  CHECK(nearest_names("", kNames).empty());
  CHECK(nearest_names("fail", {}).empty());
}
