/// Writes import files of a made-up ledger, the same for the same seed.
///   bench_make_ledger rig FOLDER CLASSES.csv SEED POSITIONS ENTRIES   many positions, mixed
///   history bench_make_ledger lives FOLDER CLASSES.csv SEED PARTS RECORDS     so many life records
///   a part
/// The second also writes records.txt (part, days, 1 if failed), for fitting elsewhere.
/// Random numbers are made from the engine's bits here, since the library's distributions differ
/// from one to the next.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <optional>
#include <random>
#include <stdexcept>

#include "tables.hpp"

namespace {

using shearpin::bench::ClassRow;
using shearpin::bench::day_text;
using shearpin::bench::Table;

constexpr int kToday = 20598;  // 2026-05-25
constexpr int kSpan = 1095;    // days of history
constexpr int kPositionsPerPart = 4;
constexpr int kBins = 12;
constexpr int kSuppliers = 6;
constexpr const char* kHistoryHeader = "date,kind,position,quantity,part,from,cause,left,to,result";

class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  /// Uniform in (0, 1).
  double chance() { return (static_cast<double>(engine_() >> 11) + 0.5) * 0x1p-53; }
  int below(int limit) { return static_cast<int>(chance() * limit); }
  double weibull(double scale, double shape) {
    return scale * std::pow(-std::log(chance()), 1 / shape);
  }

 private:
  std::mt19937_64 engine_;
};

struct Part {
  std::string key;
  const ClassRow* its_class = nullptr;
  int stock = 0;
  bool ordered = false;
  std::vector<std::string> positions;
};

/// Shortest life, in days of usual use, that a place with at most three failures in five years can
/// have without making nonsense of the belief.
constexpr double kShortestLife = 60;

std::vector<const ClassRow*> fitting(const std::vector<ClassRow>& classes, bool days_only) {
  std::vector<const ClassRow*> result;
  for (const auto& row : classes) {
    if (row.consumed || row.life < kShortestLife * row.usual_per_day) {
      continue;
    }
    if (!days_only || (row.basis == "days" && !row.dated && !row.hidden)) {
      result.push_back(&row);
    }
  }
  return result;
}

const char* meter_of(const ClassRow& its_class) {
  if (its_class.basis == "distance_km") {
    return "truck-km";
  }
  return its_class.basis == "engine_hours" ? "engine-h" : "";
}

/// Rigs, meters, bins, suppliers: the same for every ledger.
int write_frame(const std::string& folder) {
  Table(folder, "01-rigs", "key,name").row("truck,Expedition truck");
  Table meters(folder, "02-meters", "key,name,rig,unit");
  meters.row("truck-km,Truck odometer,truck,km");
  meters.row("engine-h,Engine hours,truck,h");
  Table bins(folder, "03-bins", "key,name,rig,ashore");
  for (int i = 1; i <= kBins; ++i) {
    bins.row(fmt::format("b{},Locker {},truck,{}", i, i, i == kBins ? "yes" : "no"));
  }
  Table suppliers(folder, "04-suppliers", "key,name,how");
  for (int i = 1; i <= kSuppliers; ++i) {
    suppliers.row(fmt::format("s{},Counter {},{}", i, i, i % 2 == 0 ? "parcel" : "walk-in"));
  }
  return 3 + kBins + kSuppliers;
}

class RigLedger {
 public:
  RigLedger(std::string folder, const std::vector<ClassRow>& classes, std::uint64_t seed)
      : folder_(std::move(folder)), dice_(seed), classes_(fitting(classes, false)) {
    for (const auto& row : classes) {
      if (row.consumed) {
        used_up_.push_back(&row);
      }
    }
  }

  void write(int positions, int entries) {
    entries_ = write_frame(folder_);
    write_parts(std::max(1, positions / kPositionsPerPart));
    write_positions(positions);
    write_readings();
    play(positions, entries);
  }

 private:
  static constexpr int kFirst = kToday - kSpan;

  void write_parts(int count) {
    Table parts(folder_, "05-parts", "key,name,class,supplier,home_bin");
    Table stock(folder_, "08-stock", "date,part,quantity,age");
    for (int i = 0; i < count; ++i) {
      Part part;
      const bool consumed = i % 10 == 9 && !used_up_.empty();
      const auto& choice = consumed ? used_up_ : classes_;
      part.key = fmt::format("p{:05}", i + 1);
      part.its_class = choice[static_cast<std::size_t>(i) % choice.size()];
      part.stock = consumed ? 1'000'000 : dice_.below(4);
      parts.row(fmt::format("{},Spare {},{},s{},b{}", part.key, i + 1, part.its_class->key,
                            1 + dice_.below(kSuppliers),
                            1 + dice_.below(kBins - 1)));  // the last bin is ashore
      if (part.stock > 0) {
        stock.row(fmt::format("{},{},{},", day_text(kFirst), part.key, part.stock));
        ++entries_;
      }
      parts_.push_back(part);
      ++entries_;
    }
  }

  void write_positions(int count) {
    Table positions(folder_, "06-positions", "key,name,rig,part,meter");
    Table fitted(folder_, "07-fitted", "date,position,part");
    for (int i = 0; i < count; ++i) {
      std::size_t which = 0;
      do {
        which = static_cast<std::size_t>(dice_.below(static_cast<int>(parts_.size())));
      } while (parts_[which].its_class->consumed);
      const auto& part = parts_[which];
      const auto key = fmt::format("x{:05}", i + 1);
      positions.row(
          fmt::format("{},Place {},truck,{},{}", key, i + 1, part.key, meter_of(*part.its_class)));
      fitted.row(fmt::format("{},{},{}", day_text(kFirst), key, part.key));
      part_at_.push_back(which);
      taken_.push_back(kFirst);
      entries_ += 2;
    }
  }

  void write_readings() {
    Table readings(folder_, "09-readings", "date,truck-km,engine-h");
    double km = 148200, hours = 4120;
    for (int day = kFirst; day <= kToday; day += 30) {
      readings.row(fmt::format("{},{:.0f},{:.0f}", day_text(day), km, hours));
      km += 1200 + dice_.below(900);
      hours += 30 + dice_.below(25);
      entries_ += 2;
    }
  }

  /// Spreads what is left of the entries over the days: at most three failures a position, the
  /// rest tests, repairs, renewals, pieces used up and nights.
  void play(int positions, int entries) {
    history_.emplace(folder_, "10-history", kHistoryHeader);
    orders_.emplace(folder_, "11-orders", "number,ordered,supplier,part,quantity,received");
    const int left = std::max(0, entries - entries_);
    const int failures = std::min(3 * positions, left * 6 / 10);
    for (int day = kFirst + 1; day <= kToday; ++day) {
      receive(day);
      const int done = day - kFirst;
      const auto share = [&](int total) {
        return static_cast<int>(static_cast<std::int64_t>(total) * done / kSpan -
                                static_cast<std::int64_t>(total) * (done - 1) / kSpan);
      };
      for (int i = share(failures); i > 0 && entries_ < entries; --i) {
        fail(day);
      }
      for (int quota = entries_ + share(left) - share(failures); entries_ < quota;) {
        other(day);
      }
    }
  }

  std::size_t free_position(int day) {
    for (int attempt = 0; attempt < 1000; ++attempt) {
      const auto which = static_cast<std::size_t>(dice_.below(static_cast<int>(taken_.size())));
      if (taken_[which] < day) {
        taken_[which] = day;
        return which;
      }
    }
    throw std::runtime_error("more happens in a day than there are positions");
  }

  static std::string position_key(std::size_t which) { return fmt::format("x{:05}", which + 1); }

  void add(int day, std::string_view rest) {
    history_->row(fmt::format("{},{}", day_text(day), rest));
    ++entries_;
  }

  /// A spare from aboard when there is one, else one bought on the spot; the last one is reordered.
  void take_spare(int day, const char* kind, const char* cause) {
    const std::size_t which = free_position(day);
    auto& part = parts_[part_at_[which]];
    const bool aboard = part.stock > 0;
    part.stock -= aboard ? 1 : 0;
    add(day, fmt::format("{},{},1,{},{},{},,,", kind, position_key(which), part.key,
                         aboard ? "" : "outside", cause));
    if (part.stock == 0 && !part.ordered) {
      order(day, part_at_[which]);
    }
  }

  void fail(int day) {
    if (day > kToday - 60 && dice_.chance() < 0.03) {
      const std::size_t which = free_position(day);
      taken_[which] = kToday;  // stays dead: nothing more happens there
      add(day, fmt::format("failure,{},1,,,wear-out,dead,,", position_key(which)));
      return;
    }
    take_spare(day, "failure", dice_.chance() < 0.3 ? "shock" : "wear-out");
  }

  void order(int day, std::size_t which) {
    const int arrives = day + 2 + static_cast<int>(dice_.weibull(12, 1.6));
    const int quantity = 1 + dice_.below(3);
    parts_[which].ordered = true;
    orders_->row(fmt::format("o{:06},{},s{},{},{},{}", ++order_number_, day_text(day),
                             1 + dice_.below(kSuppliers), parts_[which].key, quantity,
                             arrives <= kToday ? day_text(arrives) : ""));
    entries_ += arrives <= kToday ? 2 : 1;
    coming_.emplace(arrives, std::pair(which, quantity));
  }

  void receive(int day) {
    // What comes in on a day is there for that day's failures: receipts go in before history.
    while (!coming_.empty() && coming_.begin()->first <= day) {
      const auto [which, quantity] = coming_.begin()->second;
      parts_[which].stock += quantity;
      parts_[which].ordered = false;
      coming_.erase(coming_.begin());
    }
  }

  void other(int day) {
    const double roll = dice_.chance();
    if (roll < 0.35) {
      add(day, fmt::format("test,{},,,,,,,pass", position_key(free_position(day))));
    } else if (roll < 0.45) {
      add(day, fmt::format("repair,{},1,,,wear-out,,,", position_key(free_position(day))));
    } else if (roll < 0.55) {
      take_spare(day, "service", "");
    } else if (roll < 0.85 && parts_.size() > 9) {
      add(day, fmt::format("use,,{},{},,,,,", 1 + dice_.below(4), used_up_part().key));
    } else {
      add(day, fmt::format("stay,,{},,,,,Camp {},", 1 + dice_.below(5), 1 + dice_.below(90)));
    }
  }

  const Part& used_up_part() {
    const auto groups = parts_.size() / 10;
    return parts_[static_cast<std::size_t>(dice_.below(static_cast<int>(groups))) * 10 + 9];
  }

  std::string folder_;
  Dice dice_;
  std::vector<const ClassRow*> classes_, used_up_;
  std::vector<Part> parts_;
  std::vector<std::size_t> part_at_;
  std::vector<int> taken_;  ///< last day on which something happened at the position
  std::multimap<int, std::pair<std::size_t, int>> coming_;
  std::optional<Table> history_, orders_;
  int entries_ = 0;
  int order_number_ = 0;
};

/// Every part in four positions, a fifth of its records each: the last of each still alive.
void write_lives(const std::string& folder, const std::vector<ClassRow>& classes, Dice dice,
                 int count, int records) {
  const auto choice = fitting(classes, true);
  const int a_position = records / kPositionsPerPart;
  constexpr int kLongest = 1600;
  write_frame(folder);
  Table parts(folder, "05-parts", "key,name,class,supplier,home_bin");
  Table positions(folder, "06-positions", "key,name,rig,part");
  Table fitted(folder, "07-fitted", "date,position,part");
  Table stock(folder, "08-stock", "date,part,quantity");
  Table history(folder, "10-history", kHistoryHeader);
  Table lives(folder + "/..", "records", "part,days,failed");
  for (int i = 0; i < count; ++i) {
    const auto& its_class = *choice[static_cast<std::size_t>(i) % choice.size()];
    const auto part = fmt::format("p{:03}", i + 1);
    const double scale = (0.15 + 0.25 * dice.chance()) * kLongest * 4.0 / a_position;
    parts.row(fmt::format("{},Spare {},{},s1,b1", part, i + 1, its_class.key));
    stock.row(fmt::format("{},{},{}", day_text(kToday - 1), part, 1 + dice.below(3)));
    for (int p = 0; p < kPositionsPerPart; ++p) {
      const auto position = fmt::format("{}-{}", part, p + 1);
      positions.row(fmt::format("{},Place {} {},truck,{}", position, i + 1, p + 1, part));
      int day = kToday - 20 - dice.below(100);
      lives.row(fmt::format("{},{},0", part, kToday - day));
      for (int life = 1; life < a_position; ++life) {
        const int lasted = std::max(1, static_cast<int>(dice.weibull(scale, its_class.shape)));
        history.row(
            fmt::format("{},failure,{},1,{},outside,wear-out,,,", day_text(day), position, part));
        lives.row(fmt::format("{},{},1", part, lasted));
        day -= lasted;
      }
      fitted.row(fmt::format("{},{},{}", day_text(day), position, part));
    }
  }
}

int generate(const std::vector<std::string>& words) {
  if (words.size() != 6 || (words[0] != "rig" && words[0] != "lives")) {
    fmt::print(stderr, "bench_make_ledger rig|lives FOLDER CLASSES.csv SEED COUNT COUNT\n");
    return 2;
  }
  const auto classes = shearpin::bench::read_classes(words[2]);
  const std::uint64_t seed = std::stoull(words[3]);
  const int first = std::stoi(words[4]), second = std::stoi(words[5]);
  if (words[0] == "rig") {
    RigLedger(words[1], classes, seed).write(first, second);
  } else {
    write_lives(words[1], classes, Dice(seed), first, second);
  }
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return generate({argv + 1, argv + argc});
  } catch (const std::exception& error) {
    fmt::print(stderr, "bench_make_ledger: {}\n", error.what());
    return 1;
  }
}
