/// trip debrief: what a trip taught.

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "report/answers.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {
namespace {

using ledger::Ledger;

std::vector<std::string> counts_since(const Session& session, Date from, Date to) {
  ledger::JournalQuery query;
  query.from = from;
  query.to = to;
  auto rows = session.journal(query);
  std::erase_if(rows, [](const auto& row) {
    return row.draft.kind != domain::EntryKind::count || !row.live;
  });
  std::vector<std::string> lines = session.texts_of(rows);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    lines[i] = fmt::format("{}: {}", to_text(rows[i].draft.happened), lines[i]);
  }
  return lines;
}

int run_debrief(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const auto plan = session.trip(arguments.required("KEY"));
  const auto trip = domain::usable_trip(plan);
  const Date day = context.day();
  if (day < trip.departure()) {
    throw InputError(
        fmt::format("the trip {} begins on {}: there is nothing to look back on yet; "
                    "see: shearpin carry --trip {}",
                    trip.key, to_text(trip.departure()), trip.key));
  }
  const Date eve = trip.departure() - std::chrono::days(1);
  const auto again =
      domain::usable_trip(domain::shifted(plan, days_between(trip.departure(), day) + 1));
  auto answer = advice::advise_debrief(session.snapshot(day), session.known_on(eve), trip, again);
  answer.counts = counts_since(session, trip.departure(), day);
  put_echoes(session, context);
  put(context,
      {[&] { return report::debrief_text(answer); }, [&] { return report::debrief_json(answer); }});
  return kDone;
}

}  // namespace

CommandSpec debrief_child() {
  CommandSpec spec;
  spec.name = "debrief";
  spec.summary = "Afterwards: what broke, what was short, what was carried for nothing";
  spec.positionals = {{"KEY", "the trip: key, name or words of it"}};
  spec.run = run_debrief;
  return spec;
}

}  // namespace shearpin::cli
