#include "domain/plan_fitting.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "base/quantity.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"

namespace shearpin::domain {

namespace {

bool names_protection(std::string_view text) {
  const std::string lower = lower_case(text);
  const auto has = [&](std::string_view word) { return lower.find(word) != std::string::npos; };
  return (has("fuse") || has("breaker")) && !has("holder");
}

std::string rating_text(const Part& part) {
  return part.rating_ampere ? plain_number(*part.rating_ampere) + " A" : "of unknown rating";
}

/// The declaration that lets `part` serve at `position`; nullptr when there is none.
const Substitute* declaration(const Catalogue& catalogue, const Position& position, PartId part) {
  for (const Substitute& row : catalogue.substitutes) {
    if (row.part == part && row.stands_for == position.part && !row.forbidden &&
        (!row.only || *row.only == position.id)) {
      return &row;
    }
  }
  return nullptr;
}

bool is_forbidden(const Catalogue& catalogue, const Position& position, PartId part) {
  return std::any_of(catalogue.substitutes.begin(), catalogue.substitutes.end(),
                     [&](const Substitute& row) {
                       return row.part == part && row.stands_for == position.part &&
                              row.forbidden && (!row.only || *row.only == position.id);
                     });
}

}  // namespace

bool protects_by_rating(const Catalogue& catalogue, const Part& part) {
  if (const ComponentClass* kind = catalogue.class_of(part)) {
    return names_protection(kind->key);
  }
  return names_protection(part.key) || names_protection(part.name);
}

bool protects_by_rating(const Catalogue& catalogue, const Position& position) {
  if (position.part) {
    return protects_by_rating(catalogue, catalogue.at(*position.part));
  }
  if (const ComponentClass* kind = catalogue.class_of(position)) {
    return names_protection(kind->key);
  }
  return names_protection(position.key) || names_protection(position.name);
}

std::string rating_objection(const Catalogue& catalogue, const Part& part, const Part& stands_for) {
  if (part.id == stands_for.id ||
      (!protects_by_rating(catalogue, part) && !protects_by_rating(catalogue, stands_for))) {
    return {};
  }
  const bool known = part.rating_ampere && stands_for.rating_ampere;
  if (known && *part.rating_ampere <= *stands_for.rating_ampere) {
    return {};
  }
  return fmt::format(
      "{} is {} and {} is {}; a fuse may only be replaced by one of the same or a "
      "smaller known rating, a larger one lets the wire burn",
      part.key, rating_text(part), stands_for.key, rating_text(stands_for));
}

bool larger_rating(const Catalogue& catalogue, const Part& before, const Part& after) {
  return protects_by_rating(catalogue, after) && before.rating_ampere && after.rating_ampere &&
         *after.rating_ampere > *before.rating_ampere;
}

std::vector<Fitting> fitting_parts(const Catalogue& catalogue, const Position& position) {
  std::vector<Fitting> approved;
  std::vector<Fitting> temporary;
  if (!position.part) {
    return approved;
  }
  const Part& called_for = catalogue.at(*position.part);
  approved.push_back({called_for.id, false, false, {}});
  for (const Substitute& row : catalogue.substitutes) {
    if (row.part == called_for.id || declaration(catalogue, position, row.part) != &row ||
        is_forbidden(catalogue, position, row.part) ||
        !rating_objection(catalogue, catalogue.at(row.part), called_for).empty()) {
      continue;
    }
    (row.temporary ? temporary : approved).push_back({row.part, true, row.temporary, row.note});
  }
  approved.insert(approved.end(), temporary.begin(), temporary.end());
  return approved;
}

void check_fits(const Catalogue& catalogue, const Position& position, PartId part) {
  if (!position.part || *position.part == part) {
    return;
  }
  const Part& offered = catalogue.at(part);
  const Part& called_for = catalogue.at(*position.part);
  const std::string objection = rating_objection(catalogue, offered, called_for);
  if (!objection.empty()) {
    refuse("{} may not be fitted at {}: {}", offered.key, position.key, objection);
  }
  if (is_forbidden(catalogue, position, part)) {
    refuse("{} may not be fitted at {}: it is recorded as never to stand for {}", offered.key,
           position.key, called_for.key);
  }
  if (!declaration(catalogue, position, part)) {
    refuse(
        "{} calls for {} and {} is not declared to fit there; if it does, say so first: part "
        "substitute {} --for {} --only {}",
        position.key, called_for.key, offered.key, offered.key, called_for.key, position.key);
  }
}

void check_follows(const Catalogue& catalogue, const Position& position, PartId before,
                   PartId part) {
  const Part& offered = catalogue.at(part);
  const std::string objection = rating_objection(catalogue, offered, catalogue.at(before));
  if (!objection.empty()) {
    refuse(
        "{} may not follow {} at {}: {}. Where that place takes another one by its maker, name it "
        "first: position set {} --part PART",
        offered.key, catalogue.at(before).key, position.key, objection, position.key);
  }
}

bool expired(const StockLine& line, Date on) { return line.ends && *line.ends <= on; }

bool sound(const StockLine& line, Date on) { return !line.quarantined && !expired(line, on); }

SoundStock sound_stock(const Catalogue& catalogue, const std::vector<StockLine>& stock, PartId part,
                       Date on) {
  SoundStock found;
  for (const StockLine& line : stock) {
    if (line.part == part && sound(line, on)) {
      (catalogue.at(line.bin).ashore ? found.ashore : found.aboard) += line.quantity;
    }
  }
  return found;
}

bool taken_before(const StockLine& a, const StockLine& b) {
  const auto rank = [](const StockLine& line) {
    return std::tuple(line.state == LotState::worn, line.ends.value_or(Date::max()), line.received,
                      line.lot, line.bin);
  };
  return rank(a) < rank(b);
}

}  // namespace shearpin::domain
