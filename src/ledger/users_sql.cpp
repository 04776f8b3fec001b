#include "ledger/users_sql.hpp"

#include <array>

#include "ledger/sql_live.hpp"

namespace shearpin::ledger {
namespace {

// Reversals carry change lines too; they are never in the way of taking an entry back.
#define SHEARPIN_SQL_USERS_END \
  ") AND e.id <> ?1 AND e.root IS NULL AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY e.id"

constexpr const char* kUsersOfRig =
    "SELECT e.id FROM entry AS e WHERE e.id IN ("
    " SELECT entry FROM condition WHERE rig = ?2 UNION"
    " SELECT changed_by FROM position WHERE gone = 0 AND rig = ?2 UNION"
    " SELECT changed_by FROM meter WHERE gone = 0 AND rig = ?2 UNION"
    " SELECT changed_by FROM bin WHERE gone = 0 AND rig = ?2 UNION"
    " SELECT entry FROM change WHERE kind = 'rig' AND object = ?2 AND added = "
    "0" SHEARPIN_SQL_USERS_END;
constexpr const char* kUsersOfClass =
    "SELECT e.id FROM entry AS e WHERE e.id IN ("
    " SELECT changed_by FROM part WHERE gone = 0 AND component_class = ?2 UNION"
    " SELECT changed_by FROM position WHERE gone = 0 AND component_class = ?2 UNION"
    " SELECT entry FROM change WHERE kind = 'class' AND object = ?2 AND added = "
    "0" SHEARPIN_SQL_USERS_END;
constexpr const char* kUsersOfPart =
    "SELECT e.id FROM entry AS e WHERE e.id IN ("
    " SELECT entry FROM lot WHERE part = ?2 UNION"
    " SELECT entry FROM unit_begin WHERE part = ?2 UNION"
    " SELECT entry FROM order_line WHERE part = ?2 UNION"
    " SELECT entry FROM usage WHERE part = ?2 UNION"
    " SELECT changed_by FROM position WHERE gone = 0 AND part = ?2 UNION"
    " SELECT changed_by FROM substitute WHERE gone = 0 AND part = ?2 UNION"
    " SELECT changed_by FROM substitute WHERE gone = 0 AND stands_for = ?2 UNION"
    " SELECT entry FROM change WHERE kind = 'part' AND object = ?2 AND added = "
    "0" SHEARPIN_SQL_USERS_END;
constexpr const char* kUsersOfPosition =
    "SELECT e.id FROM entry AS e WHERE e.id IN ("
    " SELECT entry FROM unit_begin WHERE position = ?2 UNION"
    " SELECT entry FROM movement WHERE to_position = ?2 UNION"
    " SELECT entry FROM movement WHERE from_position = ?2 UNION"
    " SELECT entry FROM open_place WHERE position = ?2 UNION"
    " SELECT entry FROM test WHERE position = ?2 UNION"
    " SELECT entry FROM usage WHERE position = ?2 UNION"
    " SELECT entry FROM fault WHERE position = ?2 UNION"
    " SELECT changed_by FROM substitute WHERE gone = 0 AND only_at = ?2 UNION"
    " SELECT entry FROM change WHERE kind = 'position' AND object = ?2 AND added = "
    "0" SHEARPIN_SQL_USERS_END;
constexpr const char* kUsersOfMeter =
    "SELECT e.id FROM entry AS e WHERE e.id IN ("
    " SELECT entry FROM reading WHERE meter = ?2 UNION"
    " SELECT entry FROM trip_use WHERE meter = ?2 UNION"
    " SELECT changed_by FROM position WHERE gone = 0 AND meter = ?2 UNION"
    " SELECT changed_by FROM position WHERE gone = 0 AND usual_meter = ?2 UNION"
    " SELECT entry FROM change WHERE kind = 'meter' AND object = ?2 AND added = "
    "0" SHEARPIN_SQL_USERS_END;
constexpr const char* kUsersOfBin =
    "SELECT e.id FROM entry AS e WHERE e.id IN ("
    " SELECT entry FROM movement WHERE to_bin = ?2 UNION"
    " SELECT entry FROM movement WHERE from_bin = ?2 UNION"
    " SELECT changed_by FROM part WHERE gone = 0 AND home_bin = ?2 UNION"
    " SELECT entry FROM change WHERE kind = 'bin' AND object = ?2 AND added = "
    "0" SHEARPIN_SQL_USERS_END;
constexpr const char* kUsersOfSupplier =
    "SELECT e.id FROM entry AS e WHERE e.id IN ("
    " SELECT entry FROM order_line WHERE supplier = ?2 UNION"
    " SELECT changed_by FROM part WHERE gone = 0 AND supplier = ?2 UNION"
    " SELECT entry FROM change WHERE kind = 'supplier' AND object = ?2 AND added = "
    "0" SHEARPIN_SQL_USERS_END;
constexpr const char* kUsersOfSubstitute =
    "SELECT e.id FROM entry AS e WHERE e.id IN ("
    " SELECT entry FROM change WHERE kind = 'substitute' AND object = ?2 AND added = "
    "0" SHEARPIN_SQL_USERS_END;
constexpr const char* kUsersOfSafetyNote =
    "SELECT e.id FROM entry AS e WHERE e.id IN ("
    " SELECT changed_by FROM class WHERE gone = 0 AND safety_note = (SELECT key FROM safety_note "
    "WHERE id = ?2) UNION"
    " SELECT entry FROM change WHERE kind = 'safety_note' AND object = ?2 AND added = "
    "0" SHEARPIN_SQL_USERS_END;

constexpr std::array kUsers = {UsersSql{"rig", kUsersOfRig},
                               UsersSql{"class", kUsersOfClass},
                               UsersSql{"part", kUsersOfPart},
                               UsersSql{"position", kUsersOfPosition},
                               UsersSql{"meter", kUsersOfMeter},
                               UsersSql{"bin", kUsersOfBin},
                               UsersSql{"supplier", kUsersOfSupplier},
                               UsersSql{"substitute", kUsersOfSubstitute},
                               UsersSql{"safety_note", kUsersOfSafetyNote}};

}  // namespace

std::span<const UsersSql> users_of_masters() { return kUsers; }

const char* const kGoneReferences =
    " SELECT 'rig', t.key FROM condition AS x JOIN rig AS t ON t.id = x.rig AND t.gone = 1 "
    "WHERE x.entry = ?1 UNION"
    " SELECT 'rig', t.key FROM position AS x JOIN rig AS t ON t.id = x.rig AND t.gone = 1 "
    "WHERE x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) UNION"
    " SELECT 'rig', t.key FROM meter AS x JOIN rig AS t ON t.id = x.rig AND t.gone = 1 WHERE "
    "x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) UNION"
    " SELECT 'rig', t.key FROM bin AS x JOIN rig AS t ON t.id = x.rig AND t.gone = 1 WHERE "
    "x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) UNION"
    " SELECT 'class', t.key FROM part AS x JOIN class AS t ON t.id = x.component_class AND "
    "t.gone = 1 WHERE x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) UNION"
    " SELECT 'class', t.key FROM position AS x JOIN class AS t ON t.id = x.component_class "
    "AND t.gone = 1 WHERE x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) UNION"
    " SELECT 'part', t.key FROM lot AS x JOIN part AS t ON t.id = x.part AND t.gone = 1 "
    "WHERE x.entry = ?1 UNION"
    " SELECT 'part', t.key FROM unit_begin AS x JOIN part AS t ON t.id = x.part AND t.gone = "
    "1 WHERE x.entry = ?1 UNION"
    " SELECT 'part', t.key FROM order_line AS x JOIN part AS t ON t.id = x.part AND t.gone = "
    "1 WHERE x.entry = ?1 UNION"
    " SELECT 'part', t.key FROM usage AS x JOIN part AS t ON t.id = x.part AND t.gone = 1 "
    "WHERE x.entry = ?1 UNION"
    " SELECT 'part', t.key FROM position AS x JOIN part AS t ON t.id = x.part AND t.gone = 1 "
    "WHERE x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) UNION"
    " SELECT 'part', t.key FROM substitute AS x JOIN part AS t ON t.id = x.part AND t.gone = "
    "1 WHERE x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) UNION"
    " SELECT 'part', t.key FROM substitute AS x JOIN part AS t ON t.id = x.stands_for AND "
    "t.gone = 1 WHERE x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) UNION"
    " SELECT 'position', t.key FROM unit_begin AS x JOIN position AS t ON t.id = x.position "
    "AND t.gone = 1 WHERE x.entry = ?1 UNION"
    " SELECT 'position', t.key FROM movement AS x JOIN position AS t ON t.id = x.to_position "
    "AND t.gone = 1 WHERE x.entry = ?1 UNION"
    " SELECT 'position', t.key FROM movement AS x JOIN position AS t ON t.id = "
    "x.from_position AND t.gone = 1 WHERE x.entry = ?1 UNION"
    " SELECT 'position', t.key FROM open_place AS x JOIN position AS t ON t.id = x.position "
    "AND t.gone = 1 WHERE x.entry = ?1 UNION"
    " SELECT 'position', t.key FROM test AS x JOIN position AS t ON t.id = x.position AND "
    "t.gone = 1 WHERE x.entry = ?1 UNION"
    " SELECT 'position', t.key FROM usage AS x JOIN position AS t ON t.id = x.position AND "
    "t.gone = 1 WHERE x.entry = ?1 UNION"
    " SELECT 'position', t.key FROM fault AS x JOIN position AS t ON t.id = x.position AND "
    "t.gone = 1 WHERE x.entry = ?1 UNION"
    " SELECT 'position', t.key FROM substitute AS x JOIN position AS t ON t.id = x.only_at "
    "AND t.gone = 1 WHERE x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) UNION"
    " SELECT 'meter', t.key FROM reading AS x JOIN meter AS t ON t.id = x.meter AND t.gone = "
    "1 WHERE x.entry = ?1 UNION"
    " SELECT 'meter', t.key FROM trip_use AS x JOIN meter AS t ON t.id = x.meter AND t.gone "
    "= 1 WHERE x.entry = ?1 UNION"
    " SELECT 'meter', t.key FROM position AS x JOIN meter AS t ON t.id = x.meter AND t.gone "
    "= 1 WHERE x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) UNION"
    " SELECT 'meter', t.key FROM position AS x JOIN meter AS t ON t.id = x.usual_meter AND "
    "t.gone = 1 WHERE x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) UNION"
    " SELECT 'bin', t.key FROM movement AS x JOIN bin AS t ON t.id = x.to_bin AND t.gone = 1 "
    "WHERE x.entry = ?1 UNION"
    " SELECT 'bin', t.key FROM movement AS x JOIN bin AS t ON t.id = x.from_bin AND t.gone = "
    "1 WHERE x.entry = ?1 UNION"
    " SELECT 'bin', t.key FROM part AS x JOIN bin AS t ON t.id = x.home_bin AND t.gone = 1 "
    "WHERE x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) UNION"
    " SELECT 'supplier', t.key FROM order_line AS x JOIN supplier AS t ON t.id = x.supplier "
    "AND t.gone = 1 WHERE x.entry = ?1 UNION"
    " SELECT 'supplier', t.key FROM part AS x JOIN supplier AS t ON t.id = x.supplier AND "
    "t.gone = 1 WHERE x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) UNION"
    " SELECT 'safety_note', t.key FROM class AS x JOIN safety_note AS t ON t.key = "
    "x.safety_note AND t.gone = 1 WHERE x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1) "
    "AND NOT EXISTS (SELECT 1 FROM safety_note AS s WHERE s.key = t.key AND s.gone = 0) "
    "ORDER BY 1, 2";

}  // namespace shearpin::ledger
