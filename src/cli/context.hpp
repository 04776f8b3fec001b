#pragma once
/// What the outside world gives to one run: streams, day, ledger path, format. Read once in main;
/// everything below takes it as an argument, so that a run can be repeated exactly.

#include <cstddef>
#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>

#include "shearpin/base/date.hpp"

namespace shearpin::cli {

/// How answers are printed.
enum class Format { text, json, csv, html };

struct Context {
  std::istream& in;
  std::ostream& out;               ///< results
  std::ostream& err;               ///< errors, hints, questions
  std::ostream& bar;               ///< where progress is drawn, over and over on one line
  Date today;                      ///< the civil day of the clock
  std::string written;             ///< the clock, UTC: 2026-05-25T18:03:07.123Z
  std::optional<Date> as_of = {};  ///< --as-of
  std::optional<Date> known = {};  ///< --known
  std::filesystem::path ledger = {};
  Format format = Format::text;
  bool dry_run = false;
  std::optional<std::string> who = {};
  bool in_is_terminal = false, out_is_terminal = false;
  bool colour = false;
  std::size_t width = 80;
  /// What the run has done and cannot take back, in words ("recorded as entry 547"); empty while
  /// that is nothing. Whatever fails afterwards may no longer say that nothing was written.
  std::string kept = {};

  /// Else a program reads what is printed, and gets it byte by byte.
  bool for_a_person() const { return format == Format::text || out_is_terminal; }

  /// The day a question is about.
  Date day() const { return as_of.value_or(today); }
};

/// Exit codes (README, "Exit codes").
enum ExitCode {
  kDone = 0,
  kBug = 1,  ///< or the output could not be written
  kUsage = 2,
  kRefused = 3,
  kLedgerFile = 4,
  kNumeric = 5,
  kDue = 10
};

}  // namespace shearpin::cli
