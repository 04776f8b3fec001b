#include "shearpin/domain/policy.hpp"

#include <catch2/catch.hpp>
#include <limits>
#include <set>

#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::domain;

TEST_CASE("the shipped policy is complete and within its own ranges") {
  std::set<std::string> keys;
  for (const PolicyRow& row : policy_rows()) {
    CAPTURE(row.key);
    CHECK(keys.insert(row.key).second);
    CHECK(row.least <= row.shipped());
    CHECK(row.shipped() <= row.most);
    CHECK_FALSE(row.meaning.empty());
    CHECK_FALSE(row.unit.empty());
    CHECK_FALSE(row.source.empty());
  }
  CHECK_NOTHROW(check(Policy{}));
}

TEST_CASE("each row stands for a number of its own") {
  Policy policy;
  double number = 0;
  for (const PolicyRow& row : policy_rows()) row.of(policy) = ++number;
  number = 0;
  for (const PolicyRow& row : policy_rows()) {
    CAPTURE(row.key);
    CHECK(row.in(policy) == ++number);
  }
  CHECK(policy.lead(Resupply::specialist).high > policy.lead(Resupply::anywhere).high);
  CHECK(policy.cost_of_day(Severity::nuisance) > policy.target(Severity::nuisance));
}

// The figures are the project's own beliefs, documented as such: no published source.
TEST_CASE("targets and costs follow the severity") {
  const Policy policy;
  CHECK(policy.target(Severity::safety) == 0.995);
  CHECK(policy.target(Severity::nuisance) == 0.70);
  CHECK(policy.cost_of_day(Severity::stranded) == 150);
  CHECK(policy.review_days == 30);
}

TEST_CASE("the owner's number replaces the shipped one and is kept apart") {
  Policy policy;
  policy.set("target-degraded", 0.8);
  CHECK(policy.target(Severity::degraded) == 0.8);
  CHECK(policy.is_own("target-degraded"));
  CHECK_FALSE(policy.is_own("review-days"));
  policy.set("target-degraded", std::nullopt);
  CHECK(policy.target(Severity::degraded) == 0.90);
  CHECK_FALSE(policy.is_own("target-degraded"));
}

TEST_CASE("an unknown key, or a value outside the range, is refused") {
  Policy policy;
  CHECK_THROWS_WITH(policy.set("target-saftey", 0.9),
                    Catch::Contains("target-saftey") && Catch::Contains("target-safety"));
  CHECK_THROWS_AS(policy.set("target-safety", 1.0), InputError);
  CHECK_THROWS_AS(policy.set("review-days", -1), InputError);
  CHECK_THROWS_AS(policy.set("review-days", std::numeric_limits<double>::quiet_NaN()), InputError);
  CHECK_THROWS_AS(policy.set("no-such-key", std::nullopt), InputError);
  CHECK(policy.target(Severity::safety) == 0.995);
  CHECK_FALSE(policy.is_own("target-safety"));
}

TEST_CASE("ranges of lives and lead times must rise") {
  Policy policy;
  policy.set("lead-specialist-low", 20);
  CHECK_THROWS_WITH(check(policy), Catch::Contains("lead-specialist"));
  policy.set("lead-specialist-median", 30);
  CHECK_NOTHROW(check(policy));
}
