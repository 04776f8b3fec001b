#pragma once
/// A small command set with every shape a spec can have.

#include <vector>

#include "cli/command.hpp"

namespace shearpin::cli::sample {

inline int run_nothing(const Arguments&, Context&) { return 0; }

inline CommandSpec fail_command() {
  return {"fail",
          "In the field",
          "logs a failure and what was done about it",
          "Takes a sound fitting spare from aboard and says so.\n\nExamples:\n"
          "  shearpin fail \"frige fuse\" --on yesterday\n",
          {{"POSITION", "what failed: a key, a name, or words of it"}},
          {{"on", "DATE", "the day it happened (today if not given)"},
           {"count", "N", "how many failed"},
           {"with", "PART", "the part that was fitted"},
           {"repaired", "", "repaired in place: the same unit lives on"},
           {"left-dead", "", "nothing was fitted"},
           {"stand-in", "TEXT", "what does its work for now"},
           {"note", "TEXT", "anything worth keeping", true}},
          {{"repaired", "left-dead", "stand-in"}},
          {},
          run_nothing};
}

inline CommandSpec rig_command() {
  const CommandSpec add{
      "add", "", "adds a rig", "", {{"KEY", "its short name"}}, {{"name", "TEXT", "its full name"}},
      {},    {}, run_nothing};
  const CommandSpec show{"show", "", "shows a rig", "", {{"KEY", "the rig", false}}, {},
                         {},     {}, run_nothing};
  return {"rig", "Set up", "the vehicles and trailers", "", {}, {}, {}, {add, show}, nullptr};
}

inline std::vector<CommandSpec> commands() {
  const CommandSpec now{"now", "Ask",      "what is dead, due or short", "", {}, {}, {},
                        {},    run_nothing};
  const CommandSpec use{"use",
                        "In the field",
                        "takes spares that were consumed out of the stock",
                        "",
                        {{"PART", "the part"}, {"N", "how many pieces", false}},
                        {},
                        {},
                        {},
                        run_nothing};
  const CommandSpec import{
      "import", "Set up", "reads tables", "", {{"FILE", "comma-separated tables", true, true}}, {},
      {},       {},       run_nothing};
  const CommandSpec report{"report",
                           "Ask",
                           "the pre-trip stock report",
                           "",
                           {},
                           {{"output", "FILE", "write to FILE", false, "o"},
                            {"use", "METER=AMOUNT", "exposure ahead", true},
                            {"format", "FORMAT", "text, json or html"}},
                           {},
                           {},
                           run_nothing};
  const CommandSpec policy_set{"set", "", "changes one", "", {{"NAME", "which"}}, {},
                               {},    {}, run_nothing};
  const CommandSpec policy{
      "policy", "Keep safe", "the beliefs", "",         {{"NAME", "which", false}},
      {},       {},          {policy_set},  run_nothing};
  return {rig_command(), import, fail_command(), use, now, report, policy};
}

inline std::vector<OptionSpec> common() {
  return {{"ledger", "FILE", "the ledger file"},
          {"format", "FORMAT", "text, json or csv"},
          {"dry-run", "", "write nothing"}};
}

}  // namespace shearpin::cli::sample
