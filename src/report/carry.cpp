// Which spares to carry for a stretch.

#include <fmt/format.h>

#include <algorithm>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/sections.hpp"

namespace shearpin::report {
namespace {

using advice::CarryLine;

constexpr std::string_view kCarryColumns =
    "part,name,class,severity,aboard,carry,short,decided_by,target,level_target,level_worth,"
    "chance_no_shortage_aboard,chance_no_shortage,days_without_aboard,days_without,demand_mean,"
    "ashore,on_order,expired,expiring,quarantined,worn,first_end,price,mass_g,volume_ml,reason";

Row bin_row(const advice::BinPieces& bin) {
  return {{"bin", bin.bin}, {"pieces", bin.pieces}, {"aboard", bin.aboard}};
}

std::string_view how_word(domain::Receipt::How how) {
  switch (how) {
    case domain::Receipt::How::bought:
      return "bought";
    case domain::Receipt::How::parcel:
      return "parcel";
    case domain::Receipt::How::waits:
      return "waits";
    case domain::Receipt::How::home:
      return "home";
  }
  throw std::logic_error("a way to receive a part outside its list");
}

Row receipt_row(const domain::Receipt& receipt) {
  return {{"day", receipt.day, "it comes"},
          {"cutoff", receipt.cutoff,
           "what failed up to then is made good: the day of the order, or of the stop where it is "
           "sold"},
          {"place", receipt.place},
          {"how", how_word(receipt.how),
           "`bought`, `parcel`, `home`; `waits`: only what is on order already, and the cut-off "
           "before holds on"},
          {"waiting", receipt.waiting, "pieces on order already that wait there"}};
}

Row on_trip_row(const advice::OnTrip& trip) {
  return {
      {"receipts", each(trip.receipts, receipt_row), "chances to have the part, by day, home last"},
      {"interval_demand", trip.intervals,
       "for each receipt the chance that 0, 1, 2 ... pieces are wanted from the cut-off of the one "
       "before (first: from the departure) to its day"},
      {"sampled", trip.sampled,
       "the bounds of some chance lay more than 0.001 apart, so the chances are from 2^16 "
       "quasi-random histories, held within their bounds"},
      {"error_aboard", trip.error_aboard},
      {"error", trip.error_carry,
       "of `chance_no_shortage_aboard` and `chance_no_shortage`: half the distance of the bounds, "
       "or the standard error where that is smaller"},
      {"exposure_by_leg", trip.exposure,
       "effective, all units and what is used up, in the unit of `rate`"}};
}

struct HeldCondition {
  std::string name;
  int days = 0;
};

Row condition_row(const HeldCondition& condition) {
  return {{"name", condition.name},
          {"days", condition.days, "on which it holds: the whole stretch where none were given"}};
}

bool lacks(const CarryLine& line) { return line.short_by() > 0; }

/// Pieces that are there but do not count, and why.
std::string uncounted(const advice::StockView& stock) {
  std::vector<std::string> parts;
  const auto add = [&parts](std::int64_t pieces, const char* why) {
    if (pieces > 0) {
      parts.push_back(fmt::format("{} {}", pieces, why));
    }
  };
  add(stock.expired, "out of date");
  add(stock.expiring, "ending on the way");
  add(stock.quarantined, "in quarantine");
  if (stock.worn > 0) {
    parts.push_back(stock.worn_chance > 0 ? fmt::format("{} worn ({} to last, each)", stock.worn,
                                                        chance_text(stock.worn_chance))
                                          : fmt::format("{} worn", stock.worn));
  }
  return parts.empty() ? "" : "also there: " + join(parts, ", ");
}

/// Where the belief, rather than the record, asks for most of the pieces.
std::string wide_belief_text(const CarryLine& line) {
  if (2 * line.carry_at_median >= line.carry) {
    return "";
  }
  return fmt::format("{} would do were the median life certain; the wide belief asks for {}",
                     line.carry_at_median, line.carry);
}

/// Of a trip it matters whether what is on order comes before it begins.
std::string in_time_words(const CarryLine& line, std::int64_t coming) {
  if (!line.trip) {
    return "";
  }
  return line.stock.arriving < coming ? " (planned only after leaving)" : " (counted)";
}

/// Where a part can come aboard on a trip; empty without a trip or a stop that has it.
std::string receipts_text(const CarryLine& line) {
  std::vector<std::string> words;
  for (const auto& receipt : line.trip ? line.trip->receipts : std::vector<domain::Receipt>{}) {
    const std::string at = fmt::format("{} {}", receipt.place, to_text(receipt.day));
    if (receipt.how == domain::Receipt::How::bought) {
      words.push_back(at);
    } else if (receipt.how == domain::Receipt::How::parcel) {
      words.push_back(fmt::format("{} (order by {})", at, to_text(receipt.cutoff)));
    }
    if (receipt.waiting > 0) {
      words.push_back(fmt::format("{} on order waiting at {}", receipt.waiting, at));
    }
  }
  return words.empty() ? "" : "on the way: " + listed(words, 4);
}

std::string error_text(const CarryLine& line) {
  constexpr double kWorthSaying = 0.0005;  // it shows in the figures printed
  return line.trip && line.trip->error_carry >= kWorthSaying
             ? fmt::format("chance then sampled, give or take {} %",
                           significant(100 * line.trip->error_carry, 1))
             : "";
}

/// The command that follows from the answer.
std::string next_step(const advice::CarryAnswer& answer) {
  const auto lacking = std::find_if(answer.lines.begin(), answer.lines.end(), lacks);
  if (lacking == answer.lines.end()) {
    return fmt::format("Next: `shearpin report {}` prints the list to pack by.",
                       window_words(answer.window));
  }
  return fmt::format(
      "Next: `shearpin reorder {}` says what to order and by when.\n"
      "Reasons: `shearpin explain {} {}`.",
      window_words(answer.window), lacking->part, window_words(answer.window));
}

}  // namespace

Row window_row(const advice::Window& window) {
  std::vector<HeldCondition> conditions;
  for (const auto& [name, days] : window.conditions) {
    conditions.push_back({name, days.value_or(window.days)});
  }
  return {{"start", window.start},
          {"days", window.days, "its first day, and how many there are"},
          {"conditions", each(conditions, condition_row), "dust, frost ..."},
          {"trip", window.trip ? Value(window.trip->key) : Value(),
           "its key; `null`: a stretch of days"}};
}

Row carry_row(const CarryLine& line) {
  const advice::StockView& stock = line.stock;
  return {
      {"part", line.part, "its key"},
      {"aboard", stock.aboard, "sound pieces on board, in date for the whole stretch"},
      {"carry", line.carry, "pieces to have aboard"},
      {"decided_by", to_text(line.decided_by),
       "`target`: the chance wanted set the level; `worth`: the cost of days without did"},
      {"target", line.target, "chance of no shortage wanted"},
      {"chance_no_shortage_aboard", line.chance_aboard},
      {"chance_no_shortage", line.chance_carry,
       "of no shortage, with the pieces aboard and with `carry` pieces"},
      {"demand", line.demand.total,
       "chance that 0, 1, 2 ... pieces are wanted, in order, down to a tail of 1e-9"},
      {"short", line.short_by(), "how many of `carry` are lacking"},
      {"name", line.name, "of the part"},
      {"class", or_null(line.class_key), "key of the component class (`null`: none)"},
      {"severity", domain::to_text(line.severity)},
      {"positions", line.positions,
       "the strictest that counts; keys of the places that call for the part"},
      {"level_target", line.level_target},
      {"level_worth", line.level_worth, "the two levels that `carry` is the larger of"},
      {"carry_at_median", line.carry_at_median, "the level were the median life certain"},
      {"days_without_aboard", line.days_without_aboard},
      {"days_without", line.days_without_carry,
       "expected unit-days standing without, with the pieces aboard, with `carry` pieces"},
      {"demand_mean", line.demand.mean, "mean of `demand`, made up of the next three"},
      {"demand_mean_fitted", line.demand.mean_fitted},
      {"demand_mean_consumed", line.demand.mean_consumed},
      {"demand_mean_losses", line.demand.mean_losses,
       "failures of what is fitted; what is used up; losses"},
      {"units", line.demand.units},
      {"units_down", line.demand.down,
       "unit places that call for the part; those of them without a sound one now"},
      {"exposure_assumed", line.demand.assumed_exposure,
       "some of the exposure ahead rests on a class's usual rate"},
      {"share_learnt", line.share_learnt},
      {"failures", line.failures,
       "how much of the life was learnt from the own record; failures in it"},
      {"ashore", stock.ashore},
      {"on_order", stock.on_order, "pieces that `aboard` leaves out"},
      {"arriving", stock.arriving,
       "of `on_order`, planned to be at base before a trip begins (by the day promised, else by "
       "the planning lead time) and not sent to a stop of it; chances and days without \"aboard\" "
       "count them"},
      {"waiting", stock.waiting,
       "of `on_order`, sent to a stop of the trip and planned to be there in time: they come on "
       "top of what is carried from the departure, and the levels count them"},
      {"expired", stock.expired},
      {"expiring", stock.expiring},
      {"quarantined", stock.quarantined},
      {"worn", stock.worn, "left out too; `expiring` ends inside the stretch"},
      {"worn_chance", stock.worn_chance,
       "chance that one worn piece lasts the stretch; 0 where none is counted"},
      {"first_end", stock.first_end,
       "earliest end among the pieces in date; `null`: no dated piece"},
      {"bins", each(stock.bins, bin_row), "where the sound pieces lie"},
      {"price", line.price},
      {"mass_g", line.mass_g},
      {"volume_ml", line.volume_ml, "of one piece; `null`: not known"},
      {"reason", line.reason, "in about six words"},
      {"trip", one(line.trip, on_trip_row),
       "of a trip how the part fares between its chances to be had; `null`: a stretch of days"},
      {"safety_note", or_null(line.safety_note), "key of the caution that applies (`null`: none)"}};
}

Row carry_fields(const advice::CarryAnswer& answer) {
  return {
      {"parts", each(answer.lines, carry_row),
       "one object a part, see below: short ones first, severest first"},
      {"window", one(answer.window, window_row),
       "the stretch asked about; of a trip that is under way what is left of it"},
      {"named_alone", answer.named,
       "only the parts named were looked at: readiness, mass, volume and cost are theirs alone"},
      {"readiness_aboard", answer.readiness_aboard},
      {"readiness", answer.readiness_carry,
       "chance of no shortage of any part: as it stands, with what is advised aboard"},
      {"mass_aboard_g", answer.mass_aboard_g},
      {"volume_aboard_ml", answer.volume_aboard_ml},
      {"mass_g", answer.mass_carry_g},
      {"volume_ml", answer.volume_carry_ml,
       "spares as they stand, and with what is advised; parts in `unweighed` are left out"},
      {"cost_to_buy", answer.cost_to_buy, "of what is short, without the parts in `unpriced`"},
      {"unpriced", answer.unpriced},
      {"unweighed", answer.unweighed,
       "keys of parts whose price, or whose mass or volume, nobody knows"},
      {"kit", one(answer.kit, kit_row), "the best kit under limits; `null`: no limits given"},
      {"frontier", one(answer.frontier, frontier_row),
       "what money and mass can do, kits from nothing added upwards; of a stretch of days without "
       "limits both lists are empty"},
      {"simulated", one(answer.simulated, simulation_row),
       "the trip played through (`--simulate`); `null`: not asked for"},
      {"notes", answer.notes, "sentences for people"}};
}

CarryGroup group_of(const CarryLine& line) {
  if (lacks(line)) {
    return CarryGroup::lacking;
  }
  return line.carry > 0 || line.stock.aboard > 0 ? CarryGroup::enough : CarryGroup::not_wanted;
}

std::string step_text(const CarryLine& line) {
  const std::int64_t lacking = line.short_by();
  if (lacking <= 0) {
    return "";
  }
  const std::int64_t load = std::min(lacking, line.stock.ashore);
  std::vector<std::string> bins;
  for (const advice::BinPieces& bin : line.stock.bins) {
    if (!bin.aboard) {
      bins.push_back(bin.bin);
    }
  }
  std::vector<std::string> steps;
  if (load > 0) {
    steps.push_back(fmt::format("load {} from {}", load,
                                bins.empty() ? "what stays behind" : join(bins, " or ")));
  }
  const std::int64_t to_base = line.stock.on_order - line.stock.waiting;
  if (const auto coming = std::min(lacking - load, to_base); coming > 0) {
    steps.push_back(fmt::format("take in {} on order{}", coming, in_time_words(line, coming)));
  }
  if (line.to_buy() > 0) {
    steps.push_back(fmt::format("buy {}", line.to_buy()));
  }
  return "do: " + join(steps, ", ");
}

TextTable lacking_table(const advice::CarryAnswer& answer) {
  TextTable table;
  for (const CarryLine& line : answer.lines) {
    if (group_of(line) == CarryGroup::lacking) {
      const std::string bins = bins_text(line.stock);
      table.add(
          {{wide("part"), key_and_name(line.part, line.name)},
           {right("aboard"), std::to_string(line.stock.aboard)},
           {right("carry"), std::to_string(line.carry)},
           {right("short"), std::to_string(line.short_by())},
           {right("now", "chance now"), short_chance(line.chance_aboard)},
           {right("then", "chance then"), short_chance(line.chance_carry)}},
          {step_text(line), bins.empty() ? "" : "lies in: " + bins, reason_text(line.reason),
           receipts_text(line), error_text(line), uncounted(line.stock), wide_belief_text(line)});
    }
  }
  return table;
}

TextTable enough_table(const advice::CarryAnswer& answer) {
  TextTable table;
  for (const CarryLine& line : answer.lines) {
    if (group_of(line) == CarryGroup::enough) {
      table.add(
          {{wide("part"), key_and_name(line.part, line.name)},
           {right("aboard"), std::to_string(line.stock.aboard)},
           {right("carry"), std::to_string(line.carry)},
           {right("chance", "chance of no shortage"), short_chance(line.chance_aboard)}},
          {bins_text(line.stock), line.reason, uncounted(line.stock), wide_belief_text(line)});
    }
  }
  return table;
}

TextTable not_wanted_table(const advice::CarryAnswer& answer) {
  TextTable table;
  for (const CarryLine& line : answer.lines) {
    if (group_of(line) == CarryGroup::not_wanted) {
      table.add({{wide("part"), key_and_name(line.part, line.name)},
                 {right("chance"), short_chance(line.chance_aboard)},
                 {wide("why"), cell_lines({line.reason, uncounted(line.stock)})}});
    }
  }
  return table;
}

std::vector<std::string> carry_totals(const advice::CarryAnswer& answer) {
  std::vector<std::string> totals;
  totals.push_back(
      fmt::format("Chance of no shortage {}: {} as it stands, {} with "
                  "what is advised aboard.",
                  answer.named ? "of what was named" : "in the whole kit",
                  chance_text(answer.readiness_aboard), chance_text(answer.readiness_carry)));
  totals.push_back(fmt::format("{} aboard now: {}, {}. With what is advised: {}, {}.",
                               answer.named ? "Of what was named" : "Spares",
                               mass_text(answer.mass_aboard_g),
                               volume_text(answer.volume_aboard_ml), mass_text(answer.mass_carry_g),
                               volume_text(answer.volume_carry_ml)));
  if (!answer.unweighed.empty()) {
    totals.push_back(fmt::format("Not in the mass or the room, because nobody knows theirs: {}.",
                                 listed(answer.unweighed)));
  }
  if (std::any_of(answer.lines.begin(), answer.lines.end(), lacks)) {
    totals.push_back(fmt::format("What is short costs {} where prices are known.",
                                 money_text(answer.cost_to_buy)));
    if (!answer.unpriced.empty()) {
      totals.push_back(fmt::format("Without a known price: {}.", listed(answer.unpriced)));
    }
  }
  return totals;
}

std::string carry_text(const advice::CarryAnswer& answer, const Cautions& cautions) {
  std::string text = wrap_text(fmt::format("What to carry for {}, {}. Ledger as of {}.",
                                           window_text(answer.window),
                                           resupply_words(answer.window), to_text(answer.as_of)));
  if (answer.lines.empty()) {
    text += wrap_text(
        "No part is called for by a place, used up or in stock, so there is nothing to advise.");
    return text + notes_text(answer.notes) + wrap_text(kHowToBegin);
  }
  text += section(
      answer.window.today ? "Short: buy where it can be had" : "Short: buy or load before leaving",
      lacking_table(answer));
  text += section("Enough aboard", enough_table(answer));
  text +=
      section("Not carried: too unlikely, or dearer than going without", not_wanted_table(answer));
  text += section("In all", paragraphs(carry_totals(answer)));
  if (answer.kit) {
    text += "\n" + kit_text(*answer.kit);
  }
  text += frontier_text(answer.frontier);
  if (answer.simulated) {
    text += simulation_text(*answer.simulated);
  }
  text += section("Notes", notes_text(answer.notes));
  return text + "\n" + closing_cautions(cautions) + "\n" + wrap_text(next_step(answer));
}

std::string carry_json(const advice::CarryAnswer& answer) {
  return json_text(answer.as_of, carry_fields(answer));
}

std::string carry_csv(const advice::CarryAnswer& answer) {
  return csv_table(kCarryColumns, answer.lines, carry_row);
}

}  // namespace shearpin::report
