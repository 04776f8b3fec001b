#include <fmt/format.h>

#include <stdexcept>

#include "base/text.hpp"
#include "report/pager.hpp"
#include "report/phrases.hpp"
#include "report/sheet.hpp"
#include "report/stock_report.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::report {
namespace {

/// The report's own title where the page number leaves room for all of it.
std::string page_title(const advice::StockReport& report) {
  constexpr std::size_t kRoom = 44;
  return report.title.empty() || display_width(report.title) > kRoom ? "Pre-trip stock report"
                                                                     : report.title;
}

class TextSheet : public Sheet {
 public:
  explicit TextSheet(Pager& pager) : pager_(pager) {}

  void section(std::string_view title) override { pager_.heading(title); }
  void paragraph(std::string_view text) override { pager_.paragraph(text); }
  void caution(std::string_view text) override { pager_.lines(hanging("Caution: ", text)); }
  void item(std::string_view text) override { pager_.lines(bullet(text)); }
  void table(std::string_view, const TextTable& table) override { pager_.table(table); }
  void titled(std::string_view title, const TextTable& table) override {
    if (!table.empty()) {
      pager_.heading(title);
      pager_.table(table);
    }
  }
  void figure(const Figure& figure) override { titled(figure.title, figure.brief); }

 private:
  Pager& pager_;
};

}  // namespace

Paper parse_paper(std::string_view word) {
  const std::string low = lower_case(trimmed(word));
  if (low == "a4") {
    return Paper::a4;
  }
  if (low == "letter") {
    return Paper::letter;
  }
  throw UsageError(
      fmt::format("{} is not a paper size: use a4 or letter, e.g. --paper a4", quoted(word)));
}

std::size_t lines_of(Paper paper) {
  switch (paper) {
    case Paper::a4:
      return 60;
    case Paper::letter:
      return 56;
  }
  throw std::logic_error("a paper outside its list");
}

std::string report_text(const advice::StockReport& report, Paper paper) {
  Pager pager(paper, page_title(report), to_text(report.as_of));
  TextSheet sheet(pager);
  write_report(sheet, report);
  return pager.to_text();
}

}  // namespace shearpin::report
