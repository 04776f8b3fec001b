#pragma once
/// What an entry did, in words, from its lines.

#include <string>
#include <unordered_map>

#include "ledger/database.hpp"
#include "shearpin/domain/draft.hpp"

namespace shearpin::ledger {

/// Writes summaries; keeps names read once.
class Summaries {
 public:
  explicit Summaries(const Database& database) : database_(database) {}

  /// `failed: Sample fridge fuse 15 A (l21) unit 1; 1 x p13 from b1`. Empty for a count that
  /// agreed.
  std::string of(EntryId entry, domain::EntryKind kind, std::optional<EntryId> reverses);

 private:
  struct Name {
    std::string key, name;
  };
  const Name& look_up(const char* sql, std::int64_t id);
  std::string position(std::int64_t id);
  std::string part(std::int64_t id);
  std::string place(Query& row);

  /// `price 0.40 -> 0.60`
  std::string field_change(const std::string& field, const Cell& before, const Cell& after);

  void changes(EntryId entry);
  void ends(EntryId entry);
  void begins(EntryId entry);
  void repairs(EntryId entry);
  void opens(EntryId entry);
  void movements(EntryId entry);
  void usages(EntryId entry);
  void tests(EntryId entry);
  void readings(EntryId entry);
  void stays(EntryId entry);
  void conditions(EntryId entry);
  void faults(EntryId entry);
  void attributions(EntryId entry);
  void orders(EntryId entry);
  void receipts(EntryId entry);
  void quarantines(EntryId entry);
  void policies(EntryId entry);
  void trips(EntryId entry);

  const Database& database_;
  std::vector<std::string> words_;
  std::unordered_map<const char*, std::unordered_map<std::int64_t, Name>> names_;
};

}  // namespace shearpin::ledger
