/// Fit and demand of many parts, timed inside: posterior and demand of one stretch.
///   bench_fit_demand write FOLDER SEED PARTS RECORDS POSITIONS
///   bench_fit_demand run FOLDER [seconds.txt]
/// The first writes beliefs.csv (a line a part), records.csv (part, days, 1 if failed) and
/// units.csv (part, age today) for this and the other programs; a fifth of the records is still
/// alive. The second reads them, works out every part, writes the chances of no more than 0, 1, 2,
/// ... demands to chances.csv and the seconds taken, reading and writing left out, to the screen
/// or, added, to the file named.

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <fstream>
#include <map>
#include <random>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "shearpin/stats/weibull_posterior.hpp"
#include "stocking/fitted_demand.hpp"
#include "tables.hpp"

namespace {

namespace stats = shearpin::stats;
namespace stocking = shearpin::stocking;
using shearpin::bench::Table;

constexpr double kStretch = 60;  // days, one unit of exposure each
constexpr double kRange = 4;     // the belief's 80 % range is a quarter to four times the median

struct Part {
  stats::WeibullPrior prior{};
  std::vector<stats::LifeRecord> records;
  std::vector<stocking::UnitState> units;
};

/// Uniform in (0, 1), the same with every library.
double chance(std::mt19937_64& random) {
  return (static_cast<double>(random() >> 11) + 0.5) * 0x1p-53;
}

void write(const std::string& folder, std::uint64_t seed, int parts, int records, int positions) {
  std::mt19937_64 random(seed);
  Table beliefs(folder, "beliefs", "part,median,low,high,shape,days");
  Table lives(folder, "records", "part,days,failed");
  Table units(folder, "units", "part,age");
  for (int i = 0; i < parts; ++i) {
    const auto key = fmt::format("p{:05}", i + 1);
    const double median = 100 * std::pow(10, chance(random));
    const double shape = 0.9 + 1.6 * chance(random);
    const double life = median * std::pow(kRange, chance(random) - 0.5);
    beliefs.row(fmt::format("{},{:.1f},{:.1f},{:.1f},{:.2f},{}", key, median, median / kRange,
                            median * kRange, shape, kStretch));
    const auto lasted = [&] {
      return std::max(1.0, std::round(life * std::pow(-std::log(chance(random)), 1 / shape)));
    };
    const int alive = records / 5;
    for (int r = 0; r < records; ++r) {
      const double cut = r < alive ? 0.2 + 0.6 * chance(random) : 1;
      lives.row(fmt::format("{},{:.0f},{}", key, std::max(1.0, std::round(cut * lasted())),
                            r < alive ? 0 : 1));
    }
    for (int p = 0; p < positions; ++p) {
      units.row(fmt::format("{},{:.0f}", key, 0.8 * chance(random) * lasted()));
    }
  }
}

/// Calls use(key, numbers) for each line of a CSV file.
template <class Use>
void for_each_line(const std::string& path, Use use) {
  std::ifstream file(path);
  if (!file) {
    throw std::runtime_error(path + " cannot be read");
  }
  std::string line;
  std::getline(file, line);
  while (std::getline(file, line)) {
    std::replace(line.begin(), line.end(), ',', ' ');
    std::istringstream cells(line);
    std::string key;
    cells >> key;
    std::vector<double> numbers;
    for (double number = 0; cells >> number;) {
      numbers.push_back(number);
    }
    use(key, numbers);
  }
}

std::map<std::string, Part> read(const std::string& folder) {
  std::map<std::string, Part> parts;
  for_each_line(folder + "/beliefs.csv", [&](const std::string& key, const auto& at) {
    parts[key].prior = {at.at(0), at.at(1), at.at(2), at.at(3)};
  });
  for_each_line(folder + "/records.csv", [&](const std::string& key, const auto& at) {
    const auto kind = at.at(1) > 0 ? stats::LifeKind::failed : stats::LifeKind::alive;
    parts.at(key).records.push_back({kind, 0, 0, at.at(0)});
  });
  for_each_line(folder + "/units.csv", [&](const std::string& key, const auto& at) {
    stocking::UnitState unit;
    unit.age = at.at(0);
    unit.exposure_per_day = 1;
    parts.at(key).units.push_back(unit);
  });
  return parts;
}

stocking::Pmf demand_of(const Part& part) {
  stats::PosteriorOptions options;
  options.lives = std::max(1.0, kStretch / part.prior.scale_median);
  const auto posterior = stats::weibull_posterior(part.prior, part.records, options);
  return stocking::FittedDemand(posterior.nodes, part.units, kStretch).distribution(kStretch);
}

void run(const std::string& folder, const std::string& seconds_file) {
  const auto parts = read(folder);
  std::vector<stocking::Pmf> demands;
  demands.reserve(parts.size());
  const auto start = std::chrono::steady_clock::now();
  for (const auto& [key, part] : parts) {
    demands.push_back(demand_of(part));
  }
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  Table chances(folder, "chances", "part,stock,chance");
  std::size_t i = 0;
  for (const auto& [key, part] : parts) {
    const auto& demand = demands[i++];
    for (std::size_t n = 0; n < demand.size(); ++n) {
      chances.row(fmt::format("{},{},{:.12f}", key, n,
                              stocking::chance_at_most(demand, static_cast<long>(n))));
    }
  }
  if (seconds_file.empty()) {
    fmt::print("{:.6f}\n", took.count());
  } else {
    std::ofstream(seconds_file, std::ios::app) << fmt::format("{:.6f}\n", took.count());
  }
}

}  // namespace

int main(int argc, char** argv) {
  try {
    const std::vector<std::string> words(argv + 1, argv + argc);
    if (words.size() == 6 && words[0] == "write") {
      write(words[1], std::stoull(words[2]), std::stoi(words[3]), std::stoi(words[4]),
            std::stoi(words[5]));
      return 0;
    }
    if ((words.size() == 2 || words.size() == 3) && words[0] == "run") {
      run(words[1], words.size() == 3 ? words[2] : "");
      return 0;
    }
    fmt::print(stderr,
               "bench_fit_demand write FOLDER SEED PARTS RECORDS POSITIONS\n"
               "bench_fit_demand run FOLDER [seconds.txt]\n");
    return 2;
  } catch (const std::exception& error) {
    fmt::print(stderr, "bench_fit_demand: {}\n", error.what());
    return 1;
  }
}
