#include <fmt/format.h>

#include <algorithm>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_spare.hpp"

namespace shearpin::domain {

std::string_view to_text(Unusable why) {
  switch (why) {
    case Unusable::ashore:
      return "ashore";
    case Unusable::quarantined:
      return "quarantined";
    case Unusable::expired:
      return "expired";
  }
  return "ashore";
}

namespace planning {

std::vector<StockLine*> Shelf::offered(PartId part, const Source& source) {
  std::vector<StockLine*> lines;
  for (StockLine& line : lines_) {
    const bool ashore = now_->catalogue->at(line.bin).ashore;
    const bool place = source.bin ? line.bin == *source.bin : source.ashore_too || !ashore;
    const bool wanted = (source.batch.empty() || line.batch == source.batch) &&
                        (!source.state || line.state == *source.state);
    if (line.part == part && line.quantity > 0 && place && wanted &&
        (source.doubtful_too || sound(line, on_))) {
      lines.push_back(&line);
    }
  }
  std::stable_sort(lines.begin(), lines.end(), [&](const StockLine* a, const StockLine* b) {
    const bool a_sound = sound(*a, on_);
    const bool b_sound = sound(*b, on_);
    if (a_sound != b_sound) {
      return a_sound;
    }
    const bool a_ashore = now_->catalogue->at(a->bin).ashore;
    const bool b_ashore = now_->catalogue->at(b->bin).ashore;
    return a_ashore != b_ashore ? b_ashore : taken_before(*a, *b);
  });
  return lines;
}

std::int64_t Shelf::count(PartId part, const Source& source) const {
  Shelf copy = *this;
  std::int64_t pieces = 0;
  for (const StockLine* line : copy.offered(part, source)) {
    pieces += line->quantity;
  }
  return pieces;
}

std::vector<Taken> Shelf::take(PartId part, std::int64_t pieces, const Source& source) {
  if (count(part, source) < pieces) {
    refuse_shortage(part, pieces, source);
  }
  std::vector<Taken> taken;
  std::int64_t missing = pieces;
  for (StockLine* line : offered(part, source)) {
    const std::int64_t some = std::min(missing, line->quantity);
    if (some == 0) {
      break;
    }
    taken.push_back({part, line->lot, line->bin, some, line->state});
    line->quantity -= some;
    missing -= some;
  }
  return taken;
}

std::string Shelf::why_first(PartId part, const Source& source) const {
  Shelf copy = *this;
  const std::vector<StockLine*> lines = copy.offered(part, source);
  if (lines.empty()) {
    return {};
  }
  const StockLine& first = *lines.front();
  const auto other = std::find_if(lines.begin(), lines.end(),
                                  [&](const StockLine* line) { return line->lot != first.lot; });
  if (other == lines.end()) {
    return first.state == LotState::worn ? "worn spare" : "only lot";
  }
  if (first.state == LotState::worn) {
    return "worn spare";
  }
  if ((*other)->state == LotState::worn) {
    return "new before worn";
  }
  if (first.ends != (*other)->ends) {
    return "first to expire";
  }
  return first.received != (*other)->received ? "oldest lot" : "lots alike";
}

std::vector<Elsewhere> Shelf::elsewhere(PartId part) const {
  std::vector<Elsewhere> found;
  for (const StockLine& line : lines_) {
    if (line.part != part || line.quantity == 0) {
      continue;
    }
    Elsewhere place{part, line.bin, line.quantity, Unusable::ashore, {}};
    if (line.quarantined) {
      place.why = Unusable::quarantined;
    } else if (expired(line, on_)) {
      place.why = Unusable::expired;
      place.expired_on = line.ends;
    } else if (!now_->catalogue->at(line.bin).ashore) {
      continue;
    }
    const auto same = std::find_if(found.begin(), found.end(), [&](const Elsewhere& other) {
      return other.bin == place.bin && other.why == place.why &&
             other.expired_on == place.expired_on;
    });
    if (same == found.end()) {
      found.push_back(place);
    } else {
      same->pieces += place.pieces;
    }
  }
  return found;
}

void Shelf::refuse_shortage(PartId part, std::int64_t pieces, const Source& source) const {
  const std::string& key = now_->catalogue->at(part).key;
  const std::string filter =
      (source.state ? std::string(to_text(*source.state)) + " " : std::string()) + key +
      (source.batch.empty() ? std::string() : " of batch " + source.batch);
  const std::int64_t there = count(part, source);
  std::vector<std::string> others;
  for (const Elsewhere& place : elsewhere(part)) {
    if (!source.bin || place.bin != *source.bin) {
      others.push_back(fmt::format("{} {} in {}", place.pieces, to_text(place.why),
                                   now_->catalogue->at(place.bin).key));
    }
  }
  if (source.bin) {
    Source aboard;
    aboard.batch = source.batch;
    aboard.state = source.state;
    Shelf copy = *this;
    for (const StockLine* line : copy.offered(part, aboard)) {
      if (line->bin != *source.bin) {
        others.push_back(
            fmt::format("{} in {}", line->quantity, now_->catalogue->at(line->bin).key));
      }
    }
  }
  const std::string bin = source.bin ? now_->catalogue->at(*source.bin).key : "BIN";
  const std::string where =
      source.bin ? fmt::format("{} holds {} of {}", bin, there, filter)
                 : fmt::format("{} of {} {} {}", there, filter, there == 1 ? "is" : "are",
                               source.doubtful_too ? "aboard" : "sound and aboard");
  refuse(
      "{}, {} asked{}; name the bin with --from, or if more are there, post them first: count {} "
      "{} --in {}",
      where, pieces, others.empty() ? "" : " (elsewhere: " + join_words(others) + ")", key, pieces,
      bin);
}

}  // namespace planning
}  // namespace shearpin::domain
