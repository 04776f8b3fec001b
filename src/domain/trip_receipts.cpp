// What a stop sells, and where a part can be received on a trip.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_support.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::domain {
namespace {

struct Prefix {
  std::string_view text;
  Sold::Kind kind;
};
constexpr Prefix kPrefixes[] = {{"part", Sold::Kind::part},
                                {"class", Sold::Kind::component_class},
                                {"supplier", Sold::Kind::supplier},
                                {"resupply", Sold::Kind::resupply}};

[[noreturn]] void refuse_sold(std::string_view word) {
  refuse(
      "{} is nothing a stop sells: write all, part:KEY, class:KEY, supplier:KEY or "
      "resupply:hardware-store; example: supplier:s2",
      quoted(word));
}

/// Whole days before the stop by which a parcel to it must be ordered. Rounding of the lead time
/// itself (14.000000001) makes no day more.
double days_ahead(const TripStop& stop, double lead) {
  constexpr double kRounding = 1e-6;
  return stop.extra_days + std::max(0.0, std::ceil(lead - kRounding));
}

/// The chance to receive a part at one stop; none where it cannot be had there.
std::optional<Receipt> receipt_at(const TripLine& legs, Date departure, const TripStop& stop,
                                  const PartSupply& part) {
  if (sells(stop, part)) {
    return Receipt{stop.date, stop.date, stop.place, Receipt::How::bought};
  }
  const double ahead = days_ahead(stop, part.lead_days);
  if (!stop.parcels || ahead > days_between(departure, stop.date)) {
    return std::nullopt;
  }
  const auto ordered =
      last_signal_day(legs, stop.date - std::chrono::days{static_cast<int>(ahead)});
  if (!ordered) {
    return std::nullopt;
  }
  return Receipt{stop.date, *ordered, stop.place, Receipt::How::parcel};
}

}  // namespace

Sold parse_sold(std::string_view word) {
  const std::string text = lower_case(trimmed(word));
  if (text == "all") {
    return {};
  }
  const auto colon = text.find(':');
  if (colon == std::string::npos) {
    refuse_sold(word);
  }
  const std::string prefix(trimmed(std::string_view(text).substr(0, colon)));
  const std::string key(trimmed(std::string_view(text).substr(colon + 1)));
  for (const Prefix& known : kPrefixes) {
    if (known.text != prefix) {
      continue;
    }
    if (known.kind == Sold::Kind::resupply) {
      return {known.kind, {}, parse_resupply(key)};
    }
    if (!is_key(key)) {
      break;
    }
    return {known.kind, key, Resupply::anywhere};
  }
  refuse_sold(word);
}

std::string to_text(const Sold& sold) {
  if (sold.kind == Sold::Kind::all) {
    return "all";
  }
  for (const Prefix& known : kPrefixes) {
    if (known.kind == sold.kind) {
      return fmt::format(
          "{}:{}", known.text,
          sold.kind == Sold::Kind::resupply ? to_text(sold.resupply) : std::string_view(sold.key));
    }
  }
  throw std::logic_error("a kind of thing sold outside its list");
}

PartSupply part_supply(const Catalogue& catalogue, PartId id, double lead_days) {
  const Part& part = catalogue.at(id);
  PartSupply supply;
  supply.part = part.key;
  if (part.component_class) {
    supply.component_class = catalogue.at(*part.component_class).key;
  }
  if (part.supplier) {
    supply.supplier = catalogue.at(*part.supplier).key;
  }
  supply.resupply = catalogue.resupply_of(part);
  supply.lead_days = lead_days;
  return supply;
}

bool sells(const TripStop& stop, const PartSupply& part) {
  return std::any_of(stop.sold.begin(), stop.sold.end(), [&part](const Sold& sold) {
    switch (sold.kind) {
      case Sold::Kind::all:
        return true;
      case Sold::Kind::part:
        return sold.key == part.part;
      case Sold::Kind::component_class:
        return sold.key == part.component_class;
      case Sold::Kind::supplier:
        return sold.key == part.supplier;
      case Sold::Kind::resupply:
        return sold.resupply == part.resupply;
    }
    return false;
  });
}

std::vector<Receipt> receipts(const Trip& trip, const PartSupply& part) {
  if (!std::isfinite(part.lead_days) || part.lead_days < 0) {
    refuse("a lead time of {} days for {} is refused: zero days or more; example: 14",
           part.lead_days, part.part);
  }
  TripLine legs;
  legs.legs = trip.legs;
  std::vector<Receipt> chances;
  for (const TripStop& stop : trip.stops) {
    const auto chance = receipt_at(legs, trip.departure(), stop, part);
    if (!chance || stop.date == trip.end()) {
      continue;
    }
    if (chances.empty() || chance->cutoff > chances.back().cutoff) {
      if (!chances.empty() && chances.back().day == chance->day) {
        chances.pop_back();
      }
      chances.push_back(*chance);
    }
  }
  chances.push_back({trip.end(), trip.end(), "home", Receipt::How::home});
  return chances;
}

}  // namespace shearpin::domain
