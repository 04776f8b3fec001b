#include "ledger/master_sql.hpp"

#include <array>

namespace shearpin::ledger {
namespace {

constexpr const char* kRigFields[] = {"key", "name", "retired"};
constexpr const char* kAllRig = "SELECT id, key, name, retired FROM rig WHERE gone = 0 ORDER BY id";
constexpr const char* kEveryRig = "SELECT id, entry, gone, key, name, retired FROM rig ORDER BY id";
constexpr const char* kOneRig = "SELECT id, key, name, retired FROM rig WHERE id = ?1 AND gone = 0";
constexpr const char* kFindRig = "SELECT id FROM rig WHERE key = ?1 AND gone = 0";
constexpr const char* kInsertRig =
    "INSERT INTO rig (id, entry, changed_by, gone, key, name, retired) VALUES (?1, ?2, ?2, 0, "
    "?3, ?4, ?5)";
constexpr const char* kUpdateRig =
    "UPDATE rig SET changed_by = ?1, key = ?2, name = ?3, retired = ?4 WHERE id = ?5";

constexpr const char* kClassFields[] = {"key",           "name",
                                        "retired",       "system",
                                        "failure_modes", "basis",
                                        "usual_per_day", "life_median",
                                        "life_low",      "life_high",
                                        "shape",         "severity",
                                        "hidden",        "test_interval_days",
                                        "resupply",      "shelf_life_days",
                                        "dated",         "mass_g",
                                        "volume_ml",     "price",
                                        "sensitivity",   "workaround",
                                        "safety_note",   "basis_note",
                                        "consumed"};
constexpr const char* kAllClass =
    "SELECT id, key, name, retired, system, failure_modes, basis, usual_per_day, life_median, "
    "life_low, life_high, shape, severity, hidden, test_interval_days, resupply, "
    "shelf_life_days, dated, mass_g, volume_ml, price, sensitivity, workaround, safety_note, "
    "basis_note, consumed FROM class WHERE gone = 0 ORDER BY id";
constexpr const char* kEveryClass =
    "SELECT id, entry, gone, key, name, retired, system, failure_modes, basis, "
    "usual_per_day, life_median, life_low, life_high, shape, severity, hidden, "
    "test_interval_days, resupply, shelf_life_days, dated, mass_g, volume_ml, price, "
    "sensitivity, workaround, safety_note, basis_note, consumed FROM class ORDER BY id";
constexpr const char* kOneClass =
    "SELECT id, key, name, retired, system, failure_modes, basis, usual_per_day, life_median, "
    "life_low, life_high, shape, severity, hidden, test_interval_days, resupply, "
    "shelf_life_days, dated, mass_g, volume_ml, price, sensitivity, workaround, safety_note, "
    "basis_note, consumed FROM class WHERE id = ?1 AND gone = 0";
constexpr const char* kFindClass = "SELECT id FROM class WHERE key = ?1 AND gone = 0";
constexpr const char* kInsertClass =
    "INSERT INTO class (id, entry, changed_by, gone, key, name, retired, system, "
    "failure_modes, basis, usual_per_day, life_median, life_low, life_high, shape, severity, "
    "hidden, test_interval_days, resupply, shelf_life_days, dated, mass_g, volume_ml, price, "
    "sensitivity, workaround, safety_note, basis_note, consumed) VALUES (?1, ?2, ?2, 0, ?3, "
    "?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, ?20, ?21, ?22, "
    "?23, ?24, ?25, ?26, ?27)";
constexpr const char* kUpdateClass =
    "UPDATE class SET changed_by = ?1, key = ?2, name = ?3, retired = ?4, system = ?5, "
    "failure_modes = ?6, basis = ?7, usual_per_day = ?8, life_median = ?9, life_low = ?10, "
    "life_high = ?11, shape = ?12, severity = ?13, hidden = ?14, test_interval_days = ?15, "
    "resupply = ?16, shelf_life_days = ?17, dated = ?18, mass_g = ?19, volume_ml = ?20, price "
    "= ?21, sensitivity = ?22, workaround = ?23, safety_note = ?24, basis_note = ?25, "
    "consumed = ?26 WHERE id = ?27";

constexpr const char* kPartFields[] = {
    "key",       "name", "retired",         "component_class", "price",    "mass_g",
    "volume_ml", "pack", "shelf_life_days", "supplier",        "resupply", "rating_ampere",
    "home_bin",  "note"};
constexpr const char* kAllPart =
    "SELECT id, key, name, retired, component_class, price, mass_g, volume_ml, pack, "
    "shelf_life_days, supplier, resupply, rating_ampere, home_bin, note FROM part WHERE gone "
    "= 0 ORDER BY id";
constexpr const char* kEveryPart =
    "SELECT id, entry, gone, key, name, retired, component_class, price, mass_g, volume_ml, "
    "pack, shelf_life_days, supplier, resupply, rating_ampere, home_bin, note FROM part "
    "ORDER BY id";
constexpr const char* kOnePart =
    "SELECT id, key, name, retired, component_class, price, mass_g, volume_ml, pack, "
    "shelf_life_days, supplier, resupply, rating_ampere, home_bin, note FROM part WHERE id = "
    "?1 AND gone = 0";
constexpr const char* kFindPart = "SELECT id FROM part WHERE key = ?1 AND gone = 0";
constexpr const char* kInsertPart =
    "INSERT INTO part (id, entry, changed_by, gone, key, name, retired, component_class, "
    "price, mass_g, volume_ml, pack, shelf_life_days, supplier, resupply, rating_ampere, "
    "home_bin, note) VALUES (?1, ?2, ?2, 0, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, "
    "?14, ?15, ?16)";
constexpr const char* kUpdatePart =
    "UPDATE part SET changed_by = ?1, key = ?2, name = ?3, retired = ?4, component_class = "
    "?5, price = ?6, mass_g = ?7, volume_ml = ?8, pack = ?9, shelf_life_days = ?10, supplier "
    "= ?11, resupply = ?12, rating_ampere = ?13, home_bin = ?14, note = ?15 WHERE id = ?16";

constexpr const char* kSubstituteFields[] = {"part",    "stands_for", "temporary",
                                             "only_at", "forbidden",  "note"};
constexpr const char* kAllSubstitute =
    "SELECT id, part, stands_for, temporary, only_at, forbidden, note FROM substitute WHERE "
    "gone = 0 ORDER BY id";
constexpr const char* kEverySubstitute =
    "SELECT id, entry, gone, part, stands_for, temporary, only_at, forbidden, note FROM "
    "substitute ORDER BY id";
constexpr const char* kOneSubstitute =
    "SELECT id, part, stands_for, temporary, only_at, forbidden, note FROM substitute WHERE "
    "id = ?1 AND gone = 0";
constexpr const char* kFindSubstitute =
    "SELECT id FROM substitute WHERE part = ?1 AND stands_for = ?2 AND ifnull(only_at, 0) = "
    "ifnull(?3, 0) AND gone = 0";
constexpr const char* kInsertSubstitute =
    "INSERT INTO substitute (id, entry, changed_by, gone, part, stands_for, temporary, "
    "only_at, forbidden, note) VALUES (?1, ?2, ?2, 0, ?3, ?4, ?5, ?6, ?7, ?8)";
constexpr const char* kUpdateSubstitute =
    "UPDATE substitute SET changed_by = ?1, part = ?2, stands_for = ?3, temporary = ?4, "
    "only_at = ?5, forbidden = ?6, note = ?7 WHERE id = ?8";

constexpr const char* kPositionFields[] = {
    "key",        "name",   "retired",   "rig",        "part",          "component_class",
    "units",      "pieces", "severity",  "meter",      "usual_per_day", "usual_meter",
    "workaround", "place",  "nicknames", "cost_of_day"};
constexpr const char* kAllPosition =
    "SELECT id, key, name, retired, rig, part, component_class, units, pieces, severity, "
    "meter, usual_per_day, usual_meter, workaround, place, nicknames, cost_of_day FROM "
    "position WHERE gone = 0 ORDER BY id";
constexpr const char* kEveryPosition =
    "SELECT id, entry, gone, key, name, retired, rig, part, component_class, units, pieces, "
    "severity, meter, usual_per_day, usual_meter, workaround, place, nicknames, cost_of_day "
    "FROM position ORDER BY id";
constexpr const char* kOnePosition =
    "SELECT id, key, name, retired, rig, part, component_class, units, pieces, severity, "
    "meter, usual_per_day, usual_meter, workaround, place, nicknames, cost_of_day FROM "
    "position WHERE id = ?1 AND gone = 0";
constexpr const char* kFindPosition = "SELECT id FROM position WHERE key = ?1 AND gone = 0";
constexpr const char* kInsertPosition =
    "INSERT INTO position (id, entry, changed_by, gone, key, name, retired, rig, part, "
    "component_class, units, pieces, severity, meter, usual_per_day, usual_meter, workaround, "
    "place, nicknames, cost_of_day) VALUES (?1, ?2, ?2, 0, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, "
    "?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18)";
constexpr const char* kUpdatePosition =
    "UPDATE position SET changed_by = ?1, key = ?2, name = ?3, retired = ?4, rig = ?5, part = "
    "?6, component_class = ?7, units = ?8, pieces = ?9, severity = ?10, meter = ?11, "
    "usual_per_day = ?12, usual_meter = ?13, workaround = ?14, place = ?15, nicknames = ?16, "
    "cost_of_day = ?17 WHERE id = ?18";

constexpr const char* kMeterFields[] = {"key", "name", "retired", "rig", "unit", "usual_per_day"};
constexpr const char* kAllMeter =
    "SELECT id, key, name, retired, rig, unit, usual_per_day FROM meter WHERE gone = 0 ORDER "
    "BY id";
constexpr const char* kEveryMeter =
    "SELECT id, entry, gone, key, name, retired, rig, unit, usual_per_day FROM meter ORDER "
    "BY id";
constexpr const char* kOneMeter =
    "SELECT id, key, name, retired, rig, unit, usual_per_day FROM meter WHERE id = ?1 AND "
    "gone = 0";
constexpr const char* kFindMeter = "SELECT id FROM meter WHERE key = ?1 AND gone = 0";
constexpr const char* kInsertMeter =
    "INSERT INTO meter (id, entry, changed_by, gone, key, name, retired, rig, unit, "
    "usual_per_day) VALUES (?1, ?2, ?2, 0, ?3, ?4, ?5, ?6, ?7, ?8)";
constexpr const char* kUpdateMeter =
    "UPDATE meter SET changed_by = ?1, key = ?2, name = ?3, retired = ?4, rig = ?5, unit = "
    "?6, usual_per_day = ?7 WHERE id = ?8";

constexpr const char* kBinFields[] = {"key", "name", "retired", "rig", "ashore", "outside_volume"};
constexpr const char* kAllBin =
    "SELECT id, key, name, retired, rig, ashore, outside_volume FROM bin WHERE gone = 0 ORDER "
    "BY id";
constexpr const char* kEveryBin =
    "SELECT id, entry, gone, key, name, retired, rig, ashore, outside_volume FROM bin ORDER "
    "BY id";
constexpr const char* kOneBin =
    "SELECT id, key, name, retired, rig, ashore, outside_volume FROM bin WHERE id = ?1 AND "
    "gone = 0";
constexpr const char* kFindBin = "SELECT id FROM bin WHERE key = ?1 AND gone = 0";
constexpr const char* kInsertBin =
    "INSERT INTO bin (id, entry, changed_by, gone, key, name, retired, rig, ashore, "
    "outside_volume) VALUES (?1, ?2, ?2, 0, ?3, ?4, ?5, ?6, ?7, ?8)";
constexpr const char* kUpdateBin =
    "UPDATE bin SET changed_by = ?1, key = ?2, name = ?3, retired = ?4, rig = ?5, ashore = "
    "?6, outside_volume = ?7 WHERE id = ?8";

constexpr const char* kSupplierFields[] = {"key", "name", "retired", "kind"};
constexpr const char* kAllSupplier =
    "SELECT id, key, name, retired, kind FROM supplier WHERE gone = 0 ORDER BY id";
constexpr const char* kEverySupplier =
    "SELECT id, entry, gone, key, name, retired, kind FROM supplier ORDER BY id";
constexpr const char* kOneSupplier =
    "SELECT id, key, name, retired, kind FROM supplier WHERE id = ?1 AND gone = 0";
constexpr const char* kFindSupplier = "SELECT id FROM supplier WHERE key = ?1 AND gone = 0";
constexpr const char* kInsertSupplier =
    "INSERT INTO supplier (id, entry, changed_by, gone, key, name, retired, kind) VALUES (?1, "
    "?2, ?2, 0, ?3, ?4, ?5, ?6)";
constexpr const char* kUpdateSupplier =
    "UPDATE supplier SET changed_by = ?1, key = ?2, name = ?3, retired = ?4, kind = ?5 WHERE "
    "id = ?6";

constexpr const char* kSafetyNoteFields[] = {"key", "shown_when", "text"};
constexpr const char* kAllSafetyNote =
    "SELECT id, key, shown_when, text FROM safety_note WHERE gone = 0 ORDER BY id";
constexpr const char* kEverySafetyNote =
    "SELECT id, entry, gone, key, shown_when, text FROM safety_note ORDER BY id";
constexpr const char* kOneSafetyNote =
    "SELECT id, key, shown_when, text FROM safety_note WHERE id = ?1 AND gone = 0";
constexpr const char* kFindSafetyNote = "SELECT id FROM safety_note WHERE key = ?1 AND gone = 0";
constexpr const char* kInsertSafetyNote =
    "INSERT INTO safety_note (id, entry, changed_by, gone, key, shown_when, text) VALUES (?1, "
    "?2, ?2, 0, ?3, ?4, ?5)";
constexpr const char* kUpdateSafetyNote =
    "UPDATE safety_note SET changed_by = ?1, key = ?2, shown_when = ?3, text = ?4 WHERE id = "
    "?5";

// In the order of domain::Master.
constexpr std::array kTables = {
    MasterSql{"rig", kRigFields, kAllRig, kEveryRig, kOneRig, kFindRig, kInsertRig, kUpdateRig},
    MasterSql{"class", kClassFields, kAllClass, kEveryClass, kOneClass, kFindClass, kInsertClass,
              kUpdateClass},
    MasterSql{"part", kPartFields, kAllPart, kEveryPart, kOnePart, kFindPart, kInsertPart,
              kUpdatePart},
    MasterSql{"substitute", kSubstituteFields, kAllSubstitute, kEverySubstitute, kOneSubstitute,
              kFindSubstitute, kInsertSubstitute, kUpdateSubstitute},
    MasterSql{"position", kPositionFields, kAllPosition, kEveryPosition, kOnePosition,
              kFindPosition, kInsertPosition, kUpdatePosition},
    MasterSql{"meter", kMeterFields, kAllMeter, kEveryMeter, kOneMeter, kFindMeter, kInsertMeter,
              kUpdateMeter},
    MasterSql{"bin", kBinFields, kAllBin, kEveryBin, kOneBin, kFindBin, kInsertBin, kUpdateBin},
    MasterSql{"supplier", kSupplierFields, kAllSupplier, kEverySupplier, kOneSupplier,
              kFindSupplier, kInsertSupplier, kUpdateSupplier},
    MasterSql{"safety_note", kSafetyNoteFields, kAllSafetyNote, kEverySafetyNote, kOneSafetyNote,
              kFindSafetyNote, kInsertSafetyNote, kUpdateSafetyNote}};
static_assert(kTables.size() == std::variant_size_v<domain::Master>);

}  // namespace

std::span<const MasterSql> master_tables() { return kTables; }

}  // namespace shearpin::ledger
