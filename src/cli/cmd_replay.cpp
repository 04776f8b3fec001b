/// replay: the past played again.

#include <algorithm>
#include <cmath>

#include "base/quantity.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/progress.hpp"
#include "report/answers.hpp"

namespace shearpin::cli {
namespace {

using ledger::Ledger;

constexpr int kUsualPeriod = 30;

int run_replay(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const auto every = arguments.text("every");
  const int days = every
                       ? static_cast<int>(std::lround(std::min(1e6, parse_days(*every, "period"))))
                       : kUsualPeriod;
  Progress bar(context, "playing the past");
  const auto answer = advice::replay(
      session.snapshot(context.day()),
      [&](Date day) { return session.ledger().snapshot(day, day); }, days,
      [&](std::size_t done, std::size_t all) { bar.show(done, all); });
  bar.clear();
  put(context,
      {[&] { return report::replay_text(answer); }, [&] { return report::replay_json(answer); },
       [&] { return report::replay_csv(answer); }});
  return kDone;
}

}  // namespace

CommandSpec replay_command() {
  CommandSpec spec;
  spec.name = "replay";
  spec.group = kAsk;
  spec.summary = "Would this advice have helped: the past played again, beside naive rules";
  spec.details =
      "At the start of each period only what was known then is used, and what was asked for until "
      "the next is counted.\n\nExamples:\n  shearpin replay\n  shearpin replay --every \"3 weeks\"";
  spec.options = {{"every", "DAYS", "length of a period, 7 to 366 days (30)", false}};
  spec.run = run_replay;
  return spec;
}

}  // namespace shearpin::cli
