#pragma once
/// The table of commands, in the order help shows them. Each is one source file cmd_*.cpp.

#include <vector>

#include "cli/command.hpp"

namespace shearpin::cli {

/// Group names, by moment of use.
inline constexpr const char* kSetUp = "Set up";
inline constexpr const char* kField = "In the field";
inline constexpr const char* kStores = "Stores";
inline constexpr const char* kAsk = "Ask";
inline constexpr const char* kSafe = "Keep safe";

CommandSpec init_command();
CommandSpec rig_command();
CommandSpec class_command();
CommandSpec part_command();
CommandSpec position_command();
CommandSpec meter_command();
CommandSpec bin_command();
CommandSpec supplier_command();
CommandSpec import_command();
CommandSpec export_command();
CommandSpec fit_command();
CommandSpec fail_command();
CommandSpec renew_command();
CommandSpec use_command();
CommandSpec lose_command();
CommandSpec scrap_command();
CommandSpec test_command();
CommandSpec stay_command();
CommandSpec condition_command();
CommandSpec undo_command();
CommandSpec order_command();
CommandSpec receive_command();
CommandSpec move_command();
CommandSpec count_command();
CommandSpec trip_command();
/// `trip debrief`, listed by trip_command.
CommandSpec debrief_child();
CommandSpec now_command();
CommandSpec reorder_command();
CommandSpec carry_command();
CommandSpec report_command();
CommandSpec weak_command();
CommandSpec rate_command();
CommandSpec explain_command();
CommandSpec compare_command();
CommandSpec replay_command();
CommandSpec history_command();
CommandSpec find_command();
CommandSpec fits_command();
CommandSpec verify_command();
CommandSpec backup_command();
CommandSpec journal_command();
CommandSpec policy_command();

/// All of them.
std::vector<CommandSpec> all_commands();

/// Options that every command takes: --ledger, --format, --as-of, --known, --dry-run, --who.
std::vector<OptionSpec> common_options();

}  // namespace shearpin::cli
