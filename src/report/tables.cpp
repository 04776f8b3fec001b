#include "report/tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"

namespace shearpin::report {
namespace {

/// Lines of one cell, the empty ones left out.
std::string lines(const std::vector<std::string>& texts) {
  std::vector<std::string> kept;
  std::copy_if(texts.begin(), texts.end(), std::back_inserter(kept),
               [](const std::string& text) { return !text.empty(); });
  return join(kept, "\n");
}

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
std::string belief_text(const advice::CarryLine& line) {
  if (2 * line.carry_at_median >= line.carry) {
    return "";
  }
  return fmt::format("{} would do were the median life certain; the wide belief asks for {}",
                     line.carry_at_median, line.carry);
}

std::string packs_text(const advice::ReorderLine& line) {
  return line.pack > 1 ? fmt::format("{} of {}", line.order_packs, line.pack) : "singly";
}

std::string supplier_text(const advice::ReorderLine& line) {
  if (line.supplier.empty()) {
    return "no supplier named; plan " + days_text(line.lead_planning);
  }
  const std::string name = line.supplier_name.empty() ? line.supplier : line.supplier_name;
  return fmt::format("from {}: usually {}, plan {}", name, days_text(line.lead_median),
                     days_text(line.lead_planning));
}

std::string level_text(const advice::ReorderLine& line) {
  std::string text = fmt::format("{} on hand", line.on_hand);
  const auto add = [&text](std::int64_t pieces, const char* what) {
    if (pieces > 0) {
      text += fmt::format(", {} {}", pieces, what);
    }
  };
  add(line.on_order, "on order");
  add(line.owed, "owed");
  add(line.expiring, "running out");
  if (line.level <= 0) {
    return text;
  }
  text += fmt::format("; order at {}, up to {}", line.reorder_point, line.level);
  return line.stretch_level > line.level
             ? fmt::format("{}, {} for the stretch", text, line.stretch_level)
             : text;
}

std::string count(std::int64_t pieces) { return fmt::format("{}", pieces); }

std::string reason_text(const std::string& reason) {
  return reason.empty() ? "" : "because: " + reason;
}

std::string advice_text(const advice::DownLine& line) {
  return line.class_advice.empty() ? "" : "perhaps: " + line.class_advice;
}

std::string repair_text(const advice::DownLine& line) {
  if (line.part.empty()) {
    return "no part number; choose one and fit it";
  }
  if (line.aboard > 0) {
    return fmt::format("{} aboard: shearpin fit {} {}", line.aboard,
                       place_text(line.position, line.unit, line.several), line.part);
  }
  if (line.ashore > 0) {
    return fmt::format("none of {} aboard, {} in {}: fetch it", line.part, line.ashore,
                       line.ashore_bin);
  }
  if (line.on_order > 0) {
    return fmt::format("none of {} aboard, {} on order", line.part, line.on_order);
  }
  return fmt::format("none of {} aboard: order it", line.part);
}

std::string kind_text(advice::DueLine::Kind kind) {
  switch (kind) {
    case advice::DueLine::Kind::test:
      return "test it";
    case advice::DueLine::Kind::marked_end:
      return "marked end, replace it";
    case advice::DueLine::Kind::spare_end:
      return "spare runs out";
    case advice::DueLine::Kind::charge:
      return "charge it";
  }
  throw std::logic_error("a kind of due line outside its list");
}

std::string state_text(const advice::DownLine& line, Date as_of) {
  return fmt::format("{} for {}", to_text(line.state),
                     counted(days_between(line.since, as_of), "day"));
}

/// Of a trip it matters whether what is on order comes before it begins.
std::string in_time_words(const advice::CarryLine& line, std::int64_t coming) {
  if (!line.trip) {
    return "";
  }
  return line.stock.arriving < coming ? " (planned only after leaving)" : " (counted)";
}

}  // namespace

CarryGroup group_of(const advice::CarryLine& line) {
  if (line.short_by() > 0) {
    return CarryGroup::lacking;
  }
  return line.carry > 0 || line.stock.aboard > 0 ? CarryGroup::enough : CarryGroup::not_wanted;
}

std::string step_text(const advice::CarryLine& line) {
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

namespace {

/// Where a part can come aboard on a trip; empty without a trip or a stop that has it.
std::string receipts_text(const advice::CarryLine& line) {
  std::vector<std::string> words;
  for (const auto& receipt : line.trip ? line.trip->receipts : std::vector<domain::Receipt>{}) {
    if (receipt.how == domain::Receipt::How::bought) {
      words.push_back(fmt::format("{} {}", receipt.place, to_text(receipt.day)));
    } else if (receipt.how == domain::Receipt::How::parcel) {
      words.push_back(fmt::format("{} {} (order by {})", receipt.place, to_text(receipt.day),
                                  to_text(receipt.cutoff)));
    }
    if (receipt.waiting > 0) {
      words.push_back(fmt::format("{} on order waiting at {} {}", receipt.waiting, receipt.place,
                                  to_text(receipt.day)));
    }
  }
  return words.empty() ? "" : "on the way: " + listed(words, 4);
}

/// An error that shows in the figures printed.
constexpr double kWorthSaying = 0.0005;

std::string error_text(const advice::CarryLine& line) {
  return line.trip && line.trip->error_carry >= kWorthSaying
             ? fmt::format("chance then sampled, give or take {} %",
                           significant(100 * line.trip->error_carry, 1))
             : "";
}

std::string chances_text(const advice::ReorderLine& line) {
  std::vector<std::string> words;
  for (const auto& chance : line.chances) {
    if (chance.bought) {
      words.push_back(fmt::format("sold at {} on {}", chance.where, to_text(chance.received)));
    } else {
      words.push_back(fmt::format("{} on {}, {} {}", chance.where, to_text(chance.received),
                                  chance.missed ? "no longer sure since" : "order by",
                                  to_text(chance.order_by)));
    }
  }
  return words.empty() ? "" : "for the trip: " + fmt::format("{}", fmt::join(words, "; "));
}

}  // namespace

TextTable lacking_table(const advice::CarryAnswer& answer) {
  TextTable table({{"part", Align::left, true},
                   {"aboard", Align::right},
                   {"carry", Align::right},
                   {"short", Align::right},
                   {"now", Align::right, false, "chance now"},
                   {"then", Align::right, false, "chance then"}});
  for (const advice::CarryLine& line : answer.lines) {
    if (group_of(line) == CarryGroup::lacking) {
      const std::string bins = bins_text(line.stock);
      table.add_row(
          {key_and_name(line.part, line.name), count(line.stock.aboard), count(line.carry),
           count(line.short_by()), short_chance(line.chance_aboard),
           short_chance(line.chance_carry)},
          {step_text(line), bins.empty() ? "" : "lies in: " + bins, reason_text(line.reason),
           receipts_text(line), error_text(line), uncounted(line.stock), belief_text(line)});
    }
  }
  return table;
}

TextTable enough_table(const advice::CarryAnswer& answer) {
  TextTable table({{"part", Align::left, true},
                   {"aboard", Align::right},
                   {"carry", Align::right},
                   {"chance", Align::right, false, "chance of no shortage"}});
  for (const advice::CarryLine& line : answer.lines) {
    if (group_of(line) == CarryGroup::enough) {
      table.add_row({key_and_name(line.part, line.name), count(line.stock.aboard),
                     count(line.carry), short_chance(line.chance_aboard)},
                    {bins_text(line.stock), line.reason, uncounted(line.stock), belief_text(line)});
    }
  }
  return table;
}

TextTable not_wanted_table(const advice::CarryAnswer& answer) {
  TextTable table(
      {{"part", Align::left, true}, {"chance", Align::right}, {"why", Align::left, true}});
  for (const advice::CarryLine& line : answer.lines) {
    if (group_of(line) == CarryGroup::not_wanted) {
      table.add_row({key_and_name(line.part, line.name), short_chance(line.chance_aboard),
                     lines({line.reason, uncounted(line.stock)})});
    }
  }
  return table;
}

TextTable order_table(const std::vector<advice::ReorderLine>& lines_) {
  TextTable table({{"part", Align::left, true},
                   {"pieces", Align::right},
                   {"packs", Align::right},
                   {"here by", Align::left},
                   {"cost", Align::right}});
  for (const advice::ReorderLine& line : lines_) {
    if (line.wanted()) {
      table.add_row(
          {key_and_name(line.part, line.name), count(line.order_pieces), packs_text(line),
           line.arrives_by ? to_text(*line.arrives_by) : std::string("not known"),
           money_text(line.cost)},
          {supplier_text(line), level_text(line), reason_text(line.reason), chances_text(line)});
    }
  }
  return table;
}

TextTable coming_table(const std::vector<advice::ReorderLine>& lines_) {
  TextTable table({{"part", Align::left, true},
                   {"on order", Align::right},
                   {"on hand", Align::right},
                   {"order at", Align::right},
                   {"up to", Align::right}});
  for (const advice::ReorderLine& line : lines_) {
    if (!line.wanted() && line.on_order > 0) {
      table.add_row({key_and_name(line.part, line.name), count(line.on_order), count(line.on_hand),
                     line.level > 0 ? count(line.reorder_point) : std::string(kNothing),
                     count(line.level)});
    }
  }
  return table;
}

TextTable low_table(const std::vector<advice::ReorderLine>& lines_) {
  TextTable table({{"part", Align::left, true},
                   {"on hand", Align::right},
                   {"on order", Align::right},
                   {"order", Align::right},
                   {"why", Align::left, true}});
  for (const advice::ReorderLine& line : lines_) {
    table.add_row({key_and_name(line.part, line.name), count(line.on_hand), count(line.on_order),
                   count(line.order_pieces), line.reason});
  }
  return table;
}

TextTable down_table(const std::vector<advice::DownLine>& lines_, Date as_of) {
  TextTable table({{"place", Align::left, true},
                   {"state", Align::left, true},
                   {"getting by, and what to do", Align::left, true}});
  for (const advice::DownLine& line : lines_) {
    const std::string place =
        key_and_name(place_text(line.position, line.unit, line.several), line.name);
    table.add_row({lines({place, line.rig.empty() ? "" : "on " + line.rig}),
                   lines({state_text(line, as_of), std::string(severity_words(line.severity))}),
                   lines({line.getting_by, advice_text(line), repair_text(line)})});
  }
  return table;
}

TextTable due_table(const std::vector<advice::DueLine>& lines_) {
  TextTable table({{"what", Align::left, true},
                   {"to do", Align::left},
                   {"due", Align::left},
                   {"", Align::left, false, "overdue or ahead"}});
  for (const advice::DueLine& line : lines_) {
    table.add_row({key_and_name(line.what, line.name), kind_text(line.kind), to_text(line.due),
                   due_text(line.days_over)},
                  {line.detail});
  }
  return table;
}

TextTable open_order_table(const std::vector<advice::OpenOrderLine>& lines_) {
  TextTable table({{"order", Align::left},
                   {"part", Align::left, true},
                   {"to come", Align::right},
                   {"from", Align::left, true},
                   {"waited", Align::right},
                   {"in a week", Align::right, false, "chance within a week"}});
  for (const advice::OpenOrderLine& line : lines_) {
    table.add_row({line.number, key_and_name(line.part, line.name), count(line.quantity),
                   line.supplier, days_text(line.days_waited), short_chance(line.chance_in_week)});
  }
  return table;
}

}  // namespace shearpin::report
