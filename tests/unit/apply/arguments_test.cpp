#include <catch2/catch.hpp>

#include "apply/arguments.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::apply;

TEST_CASE("arguments give back what was added") {
  Arguments arguments("shearpin fail");
  arguments.add("POSITION", "t9");
  arguments.add("note", "one");
  arguments.add("note", "two");
  arguments.add_flag("repaired");
  CHECK(arguments.has("POSITION"));
  CHECK(arguments.text("POSITION") == "t9");
  CHECK(arguments.required("POSITION") == "t9");
  CHECK(arguments.text("note") == "one");
  CHECK(arguments.list("note") == std::vector<std::string>{"one", "two"});
  CHECK(arguments.flag("repaired"));
  CHECK(arguments.text("repaired") == std::nullopt);
}

TEST_CASE("what was not given is absent") {
  const Arguments arguments;
  CHECK_FALSE(arguments.has("on"));
  CHECK_FALSE(arguments.flag("repaired"));
  CHECK(arguments.text("on") == std::nullopt);
  CHECK(arguments.list("note").empty());
}

TEST_CASE("a required value that is missing is named as it is typed") {
  const Arguments arguments("shearpin fail");
  CHECK_THROWS_AS(arguments.required("on"), UsageError);
  CHECK_THROWS_WITH(arguments.required("on"),
                    Catch::Contains("--on") && Catch::Contains("shearpin fail --help"));
  CHECK_THROWS_WITH(arguments.required("PART|POSITION"), Catch::Contains("needs PART|POSITION"));
}

TEST_CASE("an empty value is a value") {
  Arguments arguments;
  arguments.add("note", "");
  CHECK(arguments.text("note") == "");
  CHECK(arguments.required("note").empty());
}
