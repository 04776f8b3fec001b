#pragma once
/// The four kinds of failure a user can meet. Exit codes follow the class (README, "Exit codes").
/// A broken invariant of our own is std::logic_error: a bug, never a message about the user's data.

#include <stdexcept>
#include <string>

namespace shearpin {

/// Base of everything a user may be told.
class Error : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// The command line itself is wrong: unknown command, missing word, unknown option (exit 2).
class UsageError : public Error {
 public:
  using Error::Error;
};

/// The user's data is refused: names the value, the rule and an accepted example (exit 3).
class InputError : public Error {
 public:
  using Error::Error;
};

/// The ledger file cannot serve: missing, not a ledger, newer, locked, read-only, full (exit 4).
class LedgerError : public Error {
 public:
  using Error::Error;
};

/// A computation did not converge or would leave its stated domain (exit 5).
class NumericError : public Error {
 public:
  using Error::Error;
};

}  // namespace shearpin
