#include "world.hpp"

#include <sqlite3.h>
#include <unistd.h>

#include <atomic>
#include <catch2/catch.hpp>

#include "shearpin/base/error.hpp"

namespace shearpin::ledger {

using namespace domain;

Date day(std::string_view text) { return parse_date(text, Date{}); }

Folder::Folder() {
  static std::atomic<int> count = 0;
  path_ = std::filesystem::temp_directory_path() /
          ("shearpin-" + std::to_string(::getpid()) + "-" + std::to_string(count++));
  std::filesystem::create_directories(path_);
}

Folder::~Folder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

RawFile::RawFile(const std::filesystem::path& path) {
  sqlite3* handle = nullptr;
  sqlite3_open_v2(path.c_str(), &handle, SQLITE_OPEN_READWRITE, nullptr);
  handle_ = handle;
}

RawFile::~RawFile() { sqlite3_close(static_cast<sqlite3*>(handle_)); }

std::string RawFile::run(const std::string& sql) {
  char* message = nullptr;
  sqlite3_exec(static_cast<sqlite3*>(handle_), sql.c_str(), nullptr, nullptr, &message);
  const std::string text = message == nullptr ? "" : message;
  sqlite3_free(message);
  return text;
}

std::vector<std::string> RawFile::rows(const std::string& sql) {
  std::vector<std::string> rows;
  const auto add = [](void* to, int columns, char** cells, char**) {
    std::string line;
    for (int i = 0; i < columns; ++i) {
      if (i > 0) line += '|';
      line += cells[i] == nullptr ? "NULL" : cells[i];
    }
    static_cast<std::vector<std::string>*>(to)->push_back(line);
    return 0;
  };
  char* message = nullptr;
  sqlite3_exec(static_cast<sqlite3*>(handle_), sql.c_str(), add, &rows, &message);
  if (message != nullptr) FAIL(message);
  return rows;
}

std::string RawFile::one(const std::string& sql) {
  const std::vector<std::string> all = rows(sql);
  return all.empty() ? std::string() : all.front();
}

std::vector<std::string> dump(const std::filesystem::path& path) {
  RawFile file(path);
  std::vector<std::string> lines;
  for (const std::string& table :
       file.rows("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name")) {
    for (const std::string& row : file.rows("SELECT * FROM \"" + table + "\" ORDER BY 1, 2, 3")) {
      lines.push_back(table + ": " + row);
    }
  }
  return lines;
}

Stamp stamp_on(std::string_view today) {
  return {std::string(today) + "T18:03:07.123Z", day(today), "driver"};
}

World::World() : ledger(Ledger::create(folder_ / "ledger.db")) {
  Ledger::Transaction transaction = ledger.begin(stamp_on("2023-04-01"));
  EntryDraft things = draft(EntryKind::add, "2023-04-01");
  const auto id = [&transaction, &things](Master thing) {
    things.masters = {{std::nullopt, std::move(thing)}};
    transaction.record(things);
    return transaction.created().masters.at(0);
  };
  rig = {id(Rig{{"truck", "Expedition truck"}, {}})};
  ComponentClass fuse;
  fuse.key = "blade-fuse-mid";
  fuse.name = "Blade fuse, 10 to 20 A";
  fuse.failure_modes = {"overload", "random"};
  fuse.sensitivity = {{"humid", 1.3}, {"salt", 1.5}};
  fuses = {id(fuse)};
  Part part;
  part.component_class = fuses;
  part.price = Money{40};
  part.mass_g = 1;
  for (auto [key, to] : {std::pair{"p13", &p13}, std::pair{"p14", &p14}, std::pair{"p25", &p25}}) {
    part.key = key;
    part.name = std::string("Part ") + key;
    *to = {id(part)};
  }
  Position position;
  position.rig = rig;
  position.key = "l21";
  position.name = "Sample fridge fuse 15 A";
  position.part = p13;
  l21 = {id(position)};
  position.key = "l05";
  position.name = "Valve stems";
  position.part = p25;
  position.units = 4;
  l05 = {id(position)};
  b1 = {id(Bin{{"b1", "Door box"}, {}, rig})};
  b7 = {id(Bin{{"b7", "Shed shelf"}, {}, {}, true})};
  s1 = {id(Supplier{{"s1", "Farm counter"}, {}, SupplierKind::walk_in})};
  km = {id(Meter{{"truck-km", "Odometer"}, {}, rig, "km", 60.0})};
  nights = {id(Meter{{"nights", "Nights"}, {}, rig, "nights", {}})};
  transaction.commit();
}

Snapshot World::at(std::string_view as_of, std::string_view known) const {
  return ledger.snapshot(day(as_of), known.empty() ? std::nullopt : std::optional(day(known)));
}

EntryId World::record(const EntryDraft& wanted, std::string_view today) {
  Ledger::Transaction transaction = ledger.begin(stamp_on(today));
  const EntryId entry = transaction.record(wanted);
  made = transaction.created();
  transaction.commit();
  return entry;
}

EntryId World::undo(EntryId entry, std::string_view today) {
  Ledger::Transaction transaction = ledger.begin(stamp_on(today));
  const EntryId reversal = transaction.undo(entry);
  transaction.commit();
  return reversal;
}

namespace {

/// What `work` on a transaction is refused with; the transaction is committed all the same, so that
/// only what the refusal left behind would show.
template <class Work>
std::string refused(World& world, std::string_view today, Work work) {
  const std::vector<std::string> before = dump(world.path());
  std::string message;
  {
    Ledger::Transaction transaction = world.ledger.begin(stamp_on(today));
    try {
      work(transaction);
    } catch (const InputError& refusal) {
      message = refusal.what();
    }
    transaction.commit();
  }
  if (message.empty()) FAIL("it was not refused");
  CHECK(dump(world.path()) == before);
  return message;
}

}  // namespace

std::string World::refusal(const EntryDraft& wanted, std::string_view today) {
  return refused(*this, today, [&](Ledger::Transaction& t) { t.record(wanted); });
}

std::string World::undo_refusal(EntryId entry, std::string_view today) {
  return refused(*this, today, [&](Ledger::Transaction& t) { t.undo(entry); });
}

EntryDraft World::draft(EntryKind kind, std::string_view happened) const {
  EntryDraft entry;
  entry.kind = kind;
  entry.happened = day(happened);
  return entry;
}

EntryDraft World::receive(PartId part, std::int64_t quantity, BinId bin, std::string_view date,
                          std::string batch) const {
  EntryDraft entry = draft(EntryKind::receive, date);
  LotDraft lot;
  lot.part = part;
  lot.batch = std::move(batch);
  lot.cost = Money{40};
  entry.lots.push_back(lot);
  entry.movements.push_back({NewLot{0}, quantity, Outside::supplier, bin});
  return entry;
}

EntryDraft World::move(LotId lot, std::int64_t quantity, Place from, Place to,
                       std::string_view date, EntryKind kind) const {
  EntryDraft entry = draft(kind, date);
  entry.movements.push_back({lot, quantity, from, to});
  return entry;
}

EntryDraft World::use(PartId part, LotId lot, std::int64_t quantity, BinId bin,
                      std::string_view date) const {
  EntryDraft entry = move(lot, quantity, bin, Outside::consumed, date, EntryKind::use);
  entry.usages.push_back({part, std::nullopt, quantity, false});
  return entry;
}

EntryDraft World::fit(PositionId position, int unit, PartId part, std::string_view date) const {
  EntryDraft entry = draft(EntryKind::fit, date);
  FitLine line;
  line.position = position;
  line.unit = unit;
  line.part = part;
  entry.fits.push_back(line);
  return entry;
}

EntryDraft World::fail(UnitId unit, PositionId position, int number, PartId part, LotId lot,
                       std::string_view date) const {
  EntryDraft entry = draft(EntryKind::fail, date);
  EndLine end;
  end.unit = unit;
  end.cause = "overload";
  entry.ends.push_back(end);
  FitLine line;
  line.position = position;
  line.unit = number;
  line.part = part;
  line.lot = lot;
  entry.fits.push_back(line);
  entry.movements.push_back({lot, 1, b1, position});
  return entry;
}

EntryDraft World::fail_dead(UnitId unit, std::string_view date) const {
  EntryDraft entry = draft(EntryKind::fail, date);
  EndLine end;
  end.unit = unit;
  end.left = PlaceState::dead;
  end.note = "no spare aboard";
  entry.ends.push_back(end);
  return entry;
}

EntryDraft World::reading(MeterId meter, double value, std::string_view date, bool replaced) const {
  EntryDraft entry = draft(EntryKind::reading, date);
  entry.readings.push_back({meter, value, replaced});
  return entry;
}

}  // namespace shearpin::ledger
