#pragma once
/// CSV files as the generator needs them: the class beliefs read, the import files written.

#include <cstdio>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace shearpin::bench {

/// What the generator wants to know of a component class.
struct ClassRow {
  std::string key;
  std::string basis;
  double life = 0;
  double usual_per_day = 0;
  double shape = 0;
  bool hidden = false, dated = false, consumed = false;
};

/// Reads data/classes/component-classes.csv. std::runtime_error where a column is missing.
std::vector<ClassRow> read_classes(const std::string& path);

/// 2023-05-25 for a number of days after 1970-01-01.
std::string day_text(int day);

/// One import file being written. Cells are written as they are: the generator's hold no commas.
class Table {
 public:
  Table(const std::string& folder, const std::string& name, std::string_view header);
  void row(std::string_view line);

 private:
  struct Close {
    void operator()(std::FILE* file) const { std::fclose(file); }
  };
  std::unique_ptr<std::FILE, Close> file_;
};

}  // namespace shearpin::bench
