// What ships under data/ can be read without a refusal or a warning, and its figures agree with the
// story that the demo tells (data/demo/README.md).
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <set>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "support.hpp"

namespace shearpin::interchange {
namespace {

using test::row_at;

std::string data_folder() { return std::string(SHEARPIN_SOURCE_DIR) + "/data/"; }

ImportFile shipped(const std::string& path) {
  const auto kind = kind_of_file(path);
  REQUIRE(kind.has_value());
  return read_import(test::slurp(data_folder() + path), path, *kind, test::day("2026-05-25"));
}

std::vector<ImportFile> demo_files() {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(data_folder() + "demo")) {
    if (entry.path().extension() == ".csv") {
      names.push_back("demo/" + entry.path().filename().string());
    }
  }
  std::sort(names.begin(), names.end());
  std::vector<ImportFile> files;
  for (const auto& name : names) {
    files.push_back(shipped(name));
  }
  return files;
}

double number(const ImportRow& row, const char* field) {
  const auto* text = row.find(field);
  REQUIRE(text != nullptr);
  return parse_number(*text, field);
}

TEST_CASE("The component classes make sense") {
  const auto notes = shipped("safety-notes.csv");
  REQUIRE(test::refusals(notes).empty());
  std::set<std::string> note_keys;
  for (const auto& row : notes.rows) {
    note_keys.insert(row.text("key"));
  }
  const auto classes = shipped("classes/component-classes.csv");
  CHECK(test::refusals(classes).empty());
  CHECK(classes.warnings.empty());
  CHECK(classes.rows.size() == 160);
  std::set<std::string> keys;
  for (const auto& row : classes.rows) {
    const auto& one = row;
    INFO(*one.find("key"));
    CHECK(keys.insert(*one.find("key")).second);
    const double median = number(one, "life");
    const double low = number(one, "life_low");
    const double high = number(one, "life_high");
    CHECK(low < median);
    CHECK(median < high);
    // A log-normal belief has its median at the geometric mean of its ends; rounding allowed for.
    CHECK(median / std::sqrt(low * high) == Approx(1).epsilon(0.25));
    CHECK(*one.find("basis_note") != "");
    CHECK((*one.find("hidden") == "yes") == (one.find("test_interval") != nullptr));
    CHECK((*one.find("dated") == "no" || one.find("shelf_life") != nullptr));
    if (const auto* note = one.find("safety_note")) {
      CHECK(note_keys.count(*note) == 1);
    }
    if (const auto* factors = one.find("sensitivity")) {
      for (const auto& factor : split(*factors, ';')) {
        const auto parts = split(factor, ':');
        REQUIRE(parts.size() == 2);
        CHECK(parse_number(parts[1], "factor") > 1);
        CHECK(parse_number(parts[1], "factor") <= 4);
      }
    }
  }
}

TEST_CASE("The demo's files are read without a refusal or a warning") {
  const auto files = demo_files();
  CHECK(files.size() == 16);
  for (const auto& file : files) {
    INFO(file.name);
    CHECK(test::refusals(file).empty());
    CHECK(file.warnings.empty());
    CHECK_FALSE(file.rows.empty());
  }
  CHECK(first_day(files) == test::day("2022-06-10"));
}

TEST_CASE("The demo's log has its 88 lines and its 48 orders their 2876.60") {
  std::size_t numbered = 0;
  std::size_t failures = 0;
  Money spent;
  std::size_t orders = 0;
  std::size_t receipts = 0;
  for (const auto& file : demo_files()) {
    for (const auto& row : file.rows) {
      if (row.kind == RowKind::history) {
        const bool own = row.text("id").size() == 3 && row.text("id")[0] == 'e';
        numbered += own ? 1 : 0;
        failures += own && row.text("kind") == "failure" ? 1U : 0U;
      } else if (row.kind == RowKind::order) {
        ++orders;
        spent = spent + parse_money(row.text("cost"));
      } else if (row.kind == RowKind::receipt) {
        ++receipts;
      }
    }
  }
  CHECK(numbered == 88);
  CHECK(failures == 42);
  CHECK(orders == 48);
  CHECK(receipts == 46);
  CHECK(to_text(spent) == "2876.60");
}

}  // namespace
}  // namespace shearpin::interchange
