// The tables of docs/json.md are made from the rows of the answers. SHEARPIN_WRITE_DOCS=1 in the
// environment writes them anew.

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

#include "base/text.hpp"
#include "report/sections.hpp"

using namespace shearpin;
using namespace shearpin::report;

namespace {

/// Stands before each table, with the keys that lead to its row; a blank line ends the table.
constexpr std::string_view kMark = "<!-- keys of ";
constexpr std::string_view kMarkEnd = " -->";

/// A kind of row by its keys.
std::string kind_of(const Row& row) {
  std::string keys;
  for (const Field& field : row) {
    keys += std::string(field.key) + ' ';
  }
  return keys;
}

class Document {
 public:
  explicit Document(const std::string& text) : lines_(split(text, '\n')) {
    for (const std::string& line : lines_) {
      if (!path_in(line).empty()) {
        told_.insert(kind_of(row_at(path_in(line))));
      }
    }
  }

  /// The document with every table made anew.
  std::string renewed() {
    std::string text;
    bool old_table = false;
    for (std::size_t i = 0; i < lines_.size(); ++i) {
      old_table = old_table && !lines_[i].empty();
      if (!old_table) {
        text += lines_[i] + (i + 1 < lines_.size() ? "\n" : "");
      }
      if (!path_in(lines_[i]).empty()) {
        text += table(row_at(path_in(lines_[i])));
        old_table = true;
      }
    }
    return text;
  }

  bool has(const std::string& answer) const {
    return std::any_of(lines_.begin(), lines_.end(),
                       [&](const auto& line) { return path_in(line) == answer; });
  }

  static const std::map<std::string, Row>& answers() {
    static const std::map<std::string, Row> all{
        {"carry", carry_fields({})},     {"reorder", reorder_fields({})},
        {"now", now_fields({})},         {"weak", weak_fields({})},
        {"rate", rate_fields({})},       {"compare", compare_fields({})},
        {"explain", explain_fields({})}, {"replay", replay_fields({})},
        {"report", report_fields({})},   {"trip show", trip_fields({}, {})},
        {"trip list", trips_fields({})}, {"trip debrief", debrief_fields({})}};
    return all;
  }

 private:
  static std::string path_in(const std::string& line) {
    return line.starts_with(kMark) ? line.substr(kMark.size(), line.find(kMarkEnd) - kMark.size())
                                   : "";
  }

  /// `carry.parts.trip`: an answer, then keys.
  static Row row_at(const std::string& path) {
    const auto keys = split(path, '.');
    Row row = answers().at(keys.front());
    for (std::size_t i = 1; i < keys.size(); ++i) {
      const auto field = std::find_if(row.begin(), row.end(),
                                      [&](const Field& one) { return one.key == keys[i]; });
      REQUIRE(field != row.end());
      row = field->value.form();
    }
    return row;
  }

  /// What a field means, with the keys of the row in it where these stand nowhere before.
  std::string meaning(const Field& field) {
    std::string text(field.meaning);
    if (!text.empty() && field.value.form) {
      const Row row = field.value.form();
      if (told_.insert(kind_of(row)).second) {
        std::vector<std::string> keys;
        for (const Field& inner : row) {
          const std::string told = meaning(inner);
          keys.push_back(fmt::format("`{}`{}", inner.key, told.empty() ? "" : " (" + told + ")"));
        }
        text += "; with " + join(keys, ", ");
      }
    }
    return text;
  }

  std::string table(const Row& row) {
    std::string text = "| key | meaning |\n|---|---|\n";
    std::string keys;
    for (const Field& field : row) {
      keys += fmt::format("{}`{}`", keys.empty() ? "" : ", ", field.key);
      if (const std::string told = meaning(field); !told.empty()) {
        text += fmt::format("| {} | {} |\n", keys, told);
        keys.clear();
      }
    }
    INFO(keys);
    CHECK(keys.empty());  // every key has a meaning, its own or that of the next
    return text;
  }

  std::vector<std::string> lines_;
  std::set<std::string> told_;  ///< kinds of rows with a table, or described already
};

}  // namespace

TEST_CASE("The tables of docs/json.md are those that the rows of the answers give") {
  const std::string path = std::string(SHEARPIN_SOURCE_DIR) + "/docs/json.md";
  std::ostringstream bytes;
  bytes << std::ifstream(path).rdbuf();
  Document document(bytes.str());
  for (const auto& answer : Document::answers()) {
    INFO(answer.first);
    CHECK(document.has(answer.first));
  }
  const std::string renewed = document.renewed();
  if (std::getenv("SHEARPIN_WRITE_DOCS") != nullptr) {
    std::ofstream(path) << renewed;
  }
  INFO("SHEARPIN_WRITE_DOCS=1 writes them anew");
  CHECK(renewed == bytes.str());
}
