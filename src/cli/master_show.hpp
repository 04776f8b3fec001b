#pragma once
/// Showing master data: one thing, a list, a change.

#include <vector>

#include "cli/session.hpp"
#include "domain/fields.hpp"

namespace shearpin::cli {

/// One thing with all its fields, and what the ledger knows around it: stock of a part, units of a
/// position, last reading of a meter, contents of a bin.
template <class T>
void put_thing(const Session& session, const Context& context, const T& thing);

/// Table, JSON or CSV of many.
template <class T>
void put_list(const Session& session, const Context& context, const std::vector<T>& things);

/// "price: 4.50 -> 5.00" for each field that changed, or that nothing did.
template <class T>
void put_changes(const Session& session, const Context& context, const T& before, const T& after);

}  // namespace shearpin::cli
