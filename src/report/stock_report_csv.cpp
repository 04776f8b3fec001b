#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/stock_report.hpp"

namespace shearpin::report {
namespace {

const std::vector<std::string> kColumns{"kind",
                                        "part",
                                        "name",
                                        "bin",
                                        "bin_name",
                                        "bin_aboard",
                                        "batch",
                                        "pieces",
                                        "carry",
                                        "short",
                                        "severity",
                                        "demand_mean",
                                        "chance_no_shortage_aboard",
                                        "chance_no_shortage",
                                        "remark"};

std::string carry_row(const advice::CarryLine& line) {
  return csv_line({"carry", line.part, line.name, "", "", "", "", std::to_string(line.stock.aboard),
                   std::to_string(line.carry), std::to_string(line.short_by()),
                   std::string(domain::to_text(line.severity)), plain_number(line.demand.mean),
                   plain_number(line.chance_aboard), plain_number(line.chance_carry), line.reason});
}

std::string pack_row(const advice::PackLine& line) {
  return csv_line({"pack", line.part, line.name, line.bin, line.bin_name,
                   line.aboard ? "yes" : "no", line.batch, std::to_string(line.quantity), "", "",
                   "", "", "", "", line.remark});
}

}  // namespace

std::string report_csv(const advice::StockReport& report) {
  std::string text = csv_line(kColumns);
  for (const advice::CarryLine& line : report.carry.lines) {
    text += carry_row(line);
  }
  for (const advice::PackLine& line : report.packing) {
    text += pack_row(line);
  }
  return text;
}

}  // namespace shearpin::report
