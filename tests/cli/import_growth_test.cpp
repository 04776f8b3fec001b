// How the work of an import grows with its rows, however they pile up on one thing. Processor time
// of the built binary at two sizes: four times the rows would take sixteen times as long if each
// row were compared with all before it.

#include <sys/resource.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <chrono>
#include <functional>

#include "sandbox.hpp"
#include "shearpin/base/date.hpp"

using namespace shearpin;
using namespace shearpin::test;

namespace {

constexpr int kFew = 1500;
constexpr int kMany = 4 * kFew;
constexpr double kMost = 8;  // in proportion: 4; with the square: 16

/// Processor time of all programs that were started and have ended.
double seconds_used() {
  rusage used{};
  getrusage(RUSAGE_CHILDREN, &used);
  const auto seconds = [](const timeval& time) {
    return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
  };
  return seconds(used.ru_utime) + seconds(used.ru_stime);
}

/// A day for row `i` of `rows`: over ten years, in order, several rows to a day.
std::string day_of(int i, int rows) {
  const Date first = std::chrono::year{2014} / 1 / 2;
  const int days = static_cast<int>(3600LL * i / rows);
  return to_text(Date{std::chrono::sys_days(first) + std::chrono::days{days}});
}

struct Pile {
  std::string file, head;
  std::function<std::string(int row)> line;  ///< what follows the day
};

/// A fuse at one place, a bin full of fuses, a meter.
void make_one_of_each(const Sandbox& box, int pieces) {
  box.write("rigs.csv", "key,name\ntruck,Truck\n");
  box.write("meters.csv", "key,name,rig,unit\nkm,Odometer,truck,km\n");
  box.write("bins.csv", "key,name,rig\nb1,Box,truck\nb2,Drawer,truck\n");
  box.write("parts.csv", "key,name,home_bin\nfuse,Fuse,b1\nbelt,Belt,b1\n");
  box.write("positions.csv", "key,name,rig,part\nx1,Fridge fuse,truck,fuse\n");
  box.write("fitted.csv", "date,position,part\n2014-01-01,x1,fuse\n");
  box.write("stock.csv", "date,part,quantity\n2014-01-01,fuse," + std::to_string(pieces) + "\n");
  box.ok("init --on 2014-01-01");
  box.ok("import rigs.csv meters.csv bins.csv parts.csv positions.csv fitted.csv stock.csv");
}

double seconds_of(const Pile& pile, int rows) {
  const Sandbox box;
  make_one_of_each(box, rows);
  std::string text = pile.head + "\n";
  for (int i = 0; i < rows; ++i) text += day_of(i, rows) + "," + pile.line(i) + "\n";
  box.write(pile.file, text);
  const double before = seconds_used();
  box.ok("import " + pile.file);
  return seconds_used() - before;
}

}  // namespace

TEST_CASE("The work of an import grows with its rows, not with their square") {
  const Pile piles[] = {
      {"more-stock.csv", "date,part,quantity", [](int) { return std::string("belt,1"); }},
      {"readings.csv", "date,meter,value", [](int i) { return "km," + std::to_string(10 * i); }},
      {"history.csv", "date,kind,position,cause",
       [](int) { return std::string("failure,x1,overload"); }},
      {"history.csv", "date,kind,position,cause",
       [](int) { return std::string("repair,x1,overload"); }},
      {"history.csv", "date,kind,position,result", [](int) { return std::string("test,x1,pass"); }},
      {"history.csv", "date,kind,part,quantity,from,to",
       [](int i) { return std::string(i % 2 == 0 ? "move,fuse,1,b1,b2" : "use,fuse,1,b1,"); }},
  };
  for (const Pile& pile : piles) {
    INFO(pile.head << ": " << pile.line(0));
    const double few = std::min(seconds_of(pile, kFew), seconds_of(pile, kFew));
    const double many = std::min(seconds_of(pile, kMany), seconds_of(pile, kMany));
    INFO(kFew << " rows: " << few << " s, " << kMany << " rows: " << many << " s");
    CHECK(many < kMost * few);
  }
}
