#pragma once
/// The checks of `verify`, each on the whole file.

#include "ledger/database.hpp"
#include "shearpin/ledger/ledger.hpp"

namespace shearpin::ledger {

// verify.cpp
void verify_file(const Database& database, VerifyReport& report);
void verify_foreign_keys(const Database& database, VerifyReport& report);
void verify_schema(const Database& database, VerifyReport& report);
// verify_entries.cpp
void verify_entries(const Database& database, VerifyReport& report);
void verify_chains(const Database& database, VerifyReport& report);
void verify_lines(const Database& database, VerifyReport& report);
void verify_masters(const Database& database, VerifyReport& report);
// verify_rules.cpp
void verify_stock(const Database& database, VerifyReport& report);
void verify_lots(const Database& database, VerifyReport& report);
void verify_units(const Database& database, VerifyReport& report);
void verify_orders(const Database& database, VerifyReport& report);
void verify_faults(const Database& database, VerifyReport& report);
void verify_meters(const Database& database, VerifyReport& report);

}  // namespace shearpin::ledger
