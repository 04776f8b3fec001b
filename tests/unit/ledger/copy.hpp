#pragma once
/// A ledger recorded again from the drafts that are read from it.

#include "shearpin/ledger/ledger.hpp"

namespace shearpin::ledger {

/// Records every entry of `from` in order, into `to`, which may hold others already. Numbers may
/// differ there: an object is found again by its entry and its place among what that made.
void record_again(const Ledger& from, Ledger& to);

}  // namespace shearpin::ledger
