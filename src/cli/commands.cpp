#include "cli/commands.hpp"

namespace shearpin::cli {

std::vector<CommandSpec> all_commands() {
  return {init_command(),     rig_command(),     class_command(),     part_command(),
          position_command(), meter_command(),   bin_command(),       supplier_command(),
          import_command(),   export_command(),  fit_command(),       fail_command(),
          renew_command(),    use_command(),     lose_command(),      scrap_command(),
          test_command(),     stay_command(),    condition_command(), undo_command(),
          order_command(),    receive_command(), move_command(),      count_command(),
          trip_command(),     now_command(),     reorder_command(),   carry_command(),
          report_command(),   weak_command(),    rate_command(),      explain_command(),
          compare_command(),  replay_command(),  history_command(),   find_command(),
          fits_command(),     verify_command(),  backup_command(),    journal_command(),
          policy_command()};
}

std::vector<OptionSpec> common_options() {
  return {
      {"ledger", "FILE", "the ledger file (else SHEARPIN_LEDGER, else the usual place)", false},
      {"format", "FORMAT", "text, json, csv (listings) or html (report)", false},
      {"as-of", "DATE", "answer with what had happened by the end of DATE", false},
      {"known", "DATE", "and only with what had been recorded by then", false},
      {"dry-run", "", "show what would be written, write nothing", false},
      {"who", "NAME", "who writes the entry", false},
  };
}

}  // namespace shearpin::cli
