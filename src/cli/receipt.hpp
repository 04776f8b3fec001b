#pragma once
/// Telling a person what a writing command recorded, what is left aboard and what to do next.

#include <functional>
#include <string>
#include <vector>

#include "cli/command.hpp"
#include "cli/session.hpp"
#include "domain/plan.hpp"

namespace shearpin::cli {

/// Guessed names before the answer, hints about likely slips to stderr.
void put_echoes_and_hints(const Session& session, const Context& context,
                          const domain::Outcome& outcome);

/// What a command did, ready to be told in text or JSON.
struct Receipt {
  std::string headline;            ///< "Failed: l21 Sample fridge fuse on 2026-05-25"
  std::vector<std::string> lines;  ///< further sentences, most urgent first
  std::string warning;             ///< may be empty
  std::vector<std::string> caution_keys;
  std::vector<EntryId> entries;
  const domain::Outcome* outcome = nullptr;
};

/// A look at the ledger as it then stands, for a warning to tell; empty for none.
using Afterthought = std::function<std::string()>;

/// Records a plan (unless --dry-run) and tells it; what was recorded stands before `afterwards` is
/// asked.
int record_with_receipt(Session& session, Context& context, const domain::Plan& plan,
                        const std::string& headline, const std::vector<std::string>& extra = {},
                        const Afterthought& afterwards = {});

}  // namespace shearpin::cli
