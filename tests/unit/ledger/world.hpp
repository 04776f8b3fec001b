#pragma once
/// A small invented ledger in a folder of its own, and a door to its file beside the library.

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "shearpin/ledger/ledger.hpp"

namespace shearpin::ledger {

/// `entry 3`, as messages name it.
inline std::string entry_words(EntryId entry) { return "entry " + std::to_string(entry.value); }

/// 2024-06-11.
Date day(std::string_view text);

/// A new empty folder, removed with all in it at the end.
class Folder {
 public:
  Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder();
  std::filesystem::path operator/(std::string_view name) const { return path_ / name; }
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

/// A connection of its own to the file, as another program would have.
class RawFile {
 public:
  explicit RawFile(const std::filesystem::path& path);
  RawFile(const RawFile&) = delete;
  RawFile& operator=(const RawFile&) = delete;
  ~RawFile();
  /// Runs SQL; the message of a failure, empty when it went well.
  std::string run(const std::string& sql);
  /// Rows of a query, cells joined with `|`.
  std::vector<std::string> rows(const std::string& sql);
  std::string one(const std::string& sql);

 private:
  void* handle_ = nullptr;
};

/// Every row of every table of the file, for comparing before and after.
std::vector<std::string> dump(const std::filesystem::path& path);

Stamp stamp_on(std::string_view today);

/// A truck with a fridge fuse (l21, one unit) and valve stems (l05, four), parts p13, p14, p25,
/// bins b1 and b7 (ashore), a supplier, two meters. Everything was added on 2023-04-01.
class World {
  Folder folder_;

 public:
  World();

  Ledger ledger;
  RigId rig;
  ClassId fuses;
  PartId p13, p14, p25;
  PositionId l21, l05;
  BinId b1, b7;
  SupplierId s1;
  MeterId km, nights;

  const std::filesystem::path& path() const { return ledger.path(); }
  std::filesystem::path file(std::string_view name) const { return folder_ / name; }
  domain::Snapshot at(std::string_view as_of, std::string_view known = {}) const;

  /// Records one draft and commits; the entry's number. What it made is in `made`.
  EntryId record(const domain::EntryDraft& draft, std::string_view today = kToday);
  EntryId undo(EntryId entry, std::string_view today = kToday);
  /// The message of the InputError that recording gives; fails the test when it gives none, or when
  /// the file is not as before.
  std::string refusal(const domain::EntryDraft& draft, std::string_view today = kToday);
  std::string undo_refusal(EntryId entry, std::string_view today = kToday);
  Created made;  ///< by the latest record()

  static constexpr std::string_view kToday = "2026-05-25";

  // Drafts.
  domain::EntryDraft draft(domain::EntryKind kind, std::string_view happened) const;
  /// `quantity` pieces of a new lot into a bin.
  domain::EntryDraft receive(PartId part, std::int64_t quantity, BinId bin, std::string_view date,
                             std::string batch = {}) const;
  domain::EntryDraft move(LotId lot, std::int64_t quantity, domain::Place from, domain::Place to,
                          std::string_view date,
                          domain::EntryKind kind = domain::EntryKind::move) const;
  domain::EntryDraft use(PartId part, LotId lot, std::int64_t quantity, BinId bin,
                         std::string_view date) const;
  domain::EntryDraft fit(PositionId position, int unit, PartId part, std::string_view date) const;
  /// The unit fails and a piece of the lot takes its place.
  domain::EntryDraft fail(UnitId unit, PositionId position, int number, PartId part, LotId lot,
                          std::string_view date) const;
  domain::EntryDraft fail_dead(UnitId unit, std::string_view date) const;
  domain::EntryDraft reading(MeterId meter, double value, std::string_view date,
                             bool replaced = false) const;
};

}  // namespace shearpin::ledger
