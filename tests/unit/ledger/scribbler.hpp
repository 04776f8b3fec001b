#pragma once
/// Writes entries of every kind, days in any order, many of them impossible, and takes some back.

#include <random>
#include <set>
#include <utility>
#include <vector>

#include "world.hpp"

namespace shearpin::ledger {

class Scribbler {
 public:
  Scribbler(World& world, std::uint32_t seed);
  /// One attempt at something.
  void step();
  void commit() { transaction_.commit(); }

  static constexpr std::size_t kEveryKind = 25;
  int written = 0, refused = 0;
  std::set<domain::EntryKind> kinds;  ///< of what was written

 private:
  int below(int limit) { return static_cast<int>(dice_() % static_cast<std::uint32_t>(limit)); }
  std::string some_day();
  template <class List>
  auto any(const List& list) {
    return list.at(static_cast<std::size_t>(below(static_cast<int>(list.size()))));
  }
  BinId some_bin() { return below(2) == 0 ? world_.b1 : world_.b7; }
  domain::EntryDraft of_units(int what, const std::string& on);
  domain::EntryDraft of_stores(int what, const std::string& on);
  domain::EntryDraft of_the_field(int what, const std::string& on);
  domain::EntryDraft of_masters(const std::string& on);
  template <class Work>
  void attempt(Work work);

  World& world_;
  Ledger::Transaction transaction_;
  std::mt19937 dice_;
  std::vector<EntryId> entries_;
  std::vector<LotId> lots_;
  std::vector<OrderId> orders_;
  std::set<std::pair<UnitId, int>> known_;
  std::vector<std::pair<UnitId, int>> units_;
};

}  // namespace shearpin::ledger
