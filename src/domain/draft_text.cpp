// The gate for the text of entries: typed, imported or handed over by another program.

#include <type_traits>

#include "base/text.hpp"
#include "shearpin/domain/draft.hpp"

namespace shearpin::domain {
namespace {

void name(const std::string& text, std::string_view what) { check_text(text, what); }
void note(const std::string& text, std::string_view what = "note") {
  check_text(text, what, kLongestNote, true);
}

void check_master(const Master& master) {
  std::visit(
      [](const auto& thing) {
        using Thing = std::decay_t<decltype(thing)>;
        if constexpr (std::is_base_of_v<Named, Thing>) {
          name(thing.name, "name");
        }
      },
      master);
}

void check_trip(const TripLine& trip) {
  name(trip.name, "trip name");
  for (const auto& leg : trip.legs) {
    note(leg.route, "route");
    for (const auto& condition : leg.conditions) {
      name(condition, "condition");
    }
  }
  for (const auto& stop : trip.stops) {
    name(stop.place, "place");
    for (const auto& sold : stop.sold) {
      name(sold, "what is sold");
    }
  }
}

}  // namespace

void check_texts(const EntryDraft& draft) {
  note(draft.note);
  for (const auto& lot : draft.lots) name(lot.batch, "batch");
  for (const auto& end : draft.ends) {
    name(end.cause, "cause");
    note(end.note);
  }
  for (const auto& fit : draft.fits) name(fit.no_part, "what is fitted");
  for (const auto& repair : draft.repairs) name(repair.cause, "cause");
  for (const auto& open : draft.opens) note(open.note);
  for (const auto& test : draft.tests) note(test.reading, "reading");
  for (const auto& stay : draft.stays) name(stay.place, "place");
  for (const auto& condition : draft.conditions) name(condition.condition, "condition");
  for (const auto& order : draft.orders) {
    name(order.number, "order number");
    name(order.to, "where it is sent");
  }
  for (const auto& fault : draft.faults) {
    name(fault.key, "fault");
    note(fault.note);
  }
  for (const auto& attribution : draft.attributions) name(attribution.fault, "fault");
  for (const auto& trip : draft.trips) check_trip(trip);
  for (const auto& line : draft.masters) check_master(line.after);
}

}  // namespace shearpin::domain
