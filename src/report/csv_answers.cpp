#include <optional>
#include <utility>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/carry.hpp"
#include "report/now.hpp"
#include "report/reorder.hpp"

namespace shearpin::report {
namespace {

/// Cells of one line beside the names of their columns, so that neither can shift alone.
using Cells = std::vector<std::pair<std::string, std::string>>;

std::string whole(std::int64_t number) { return std::to_string(number); }

std::string maybe(const std::optional<double>& number) {
  return number ? plain_number(*number) : "";
}

std::string maybe(const std::optional<Money>& amount) { return amount ? to_text(*amount) : ""; }

std::string maybe(const std::optional<Date>& date) { return date ? to_text(*date) : ""; }

Cells cells_of(const advice::CarryLine& line) {
  return {{"part", line.part},
          {"name", line.name},
          {"class", line.class_key},
          {"severity", std::string(domain::to_text(line.severity))},
          {"aboard", whole(line.stock.aboard)},
          {"carry", whole(line.carry)},
          {"short", whole(line.short_by())},
          {"decided_by", std::string(to_text(line.decided_by))},
          {"target", plain_number(line.target)},
          {"level_target", whole(line.level_target)},
          {"level_worth", whole(line.level_worth)},
          {"chance_no_shortage_aboard", plain_number(line.chance_aboard)},
          {"chance_no_shortage", plain_number(line.chance_carry)},
          {"days_without_aboard", plain_number(line.days_without_aboard)},
          {"days_without", plain_number(line.days_without_carry)},
          {"demand_mean", plain_number(line.demand.mean)},
          {"ashore", whole(line.stock.ashore)},
          {"on_order", whole(line.stock.on_order)},
          {"expired", whole(line.stock.expired)},
          {"expiring", whole(line.stock.expiring)},
          {"quarantined", whole(line.stock.quarantined)},
          {"worn", whole(line.stock.worn)},
          {"first_end", maybe(line.stock.first_end)},
          {"price", maybe(line.price)},
          {"mass_g", maybe(line.mass_g)},
          {"volume_ml", maybe(line.volume_ml)},
          {"reason", line.reason}};
}

Cells cells_of(const advice::ReorderLine& line) {
  return {{"part", line.part},
          {"name", line.name},
          {"severity", std::string(domain::to_text(line.severity))},
          {"order_pieces", whole(line.order_pieces)},
          {"order_packs", whole(line.order_packs)},
          {"pack", whole(line.pack)},
          {"supplier", line.supplier},
          {"arrives_by", maybe(line.arrives_by)},
          {"cost", maybe(line.cost)},
          {"on_hand", whole(line.on_hand)},
          {"on_order", whole(line.on_order)},
          {"owed", whole(line.owed)},
          {"expiring", whole(line.expiring)},
          {"stock_position", whole(line.position)},
          {"reorder_point", whole(line.reorder_point)},
          {"level", whole(line.level)},
          {"stretch_level", whole(line.stretch_level)},
          {"decided_by", std::string(to_text(line.decided_by))},
          {"target", plain_number(line.target)},
          {"chance_no_shortage_now", plain_number(line.chance_now)},
          {"lead_median_days", plain_number(line.lead_median)},
          {"lead_planning_days", plain_number(line.lead_planning)},
          {"reason", line.reason}};
}

std::vector<std::string> firsts(const Cells& cells) {
  std::vector<std::string> names;
  for (const auto& cell : cells) {
    names.push_back(cell.first);
  }
  return names;
}

std::vector<std::string> seconds(const Cells& cells) {
  std::vector<std::string> values;
  for (const auto& cell : cells) {
    values.push_back(cell.second);
  }
  return values;
}

template <class Line>
std::string table_of(const std::vector<Line>& lines) {
  // The head of an empty table comes from a line of its own, never shown.
  std::string text = csv_line(firsts(cells_of(Line{})));
  for (const Line& line : lines) {
    text += csv_line(seconds(cells_of(line)));
  }
  return text;
}

}  // namespace

std::string carry_csv(const advice::CarryAnswer& answer) { return table_of(answer.lines); }

std::string reorder_csv(const advice::ReorderAnswer& answer) { return table_of(answer.lines); }

std::string now_csv(const advice::NowAnswer& answer) {
  std::string text = csv_line({"kind", "key", "name", "date", "days", "pieces", "detail"});
  for (const advice::DownLine& line : answer.down) {
    const std::string place =
        line.unit > 1 ? line.position + "/" + std::to_string(line.unit) : line.position;
    text += csv_line({"down", place, line.name, to_text(line.since),
                      whole(days_between(line.since, answer.as_of)), whole(line.aboard),
                      std::string(domain::to_text(line.state))});
  }
  for (const advice::DueLine& line : answer.due) {
    text += csv_line(
        {"due", line.what, line.name, to_text(line.due), whole(line.days_over), "", line.detail});
  }
  for (const advice::ReorderLine& line : answer.reorder) {
    text += csv_line({"reorder", line.part, line.name, maybe(line.arrives_by), "",
                      whole(line.order_pieces), line.reason});
  }
  for (const advice::OpenOrderLine& line : answer.orders) {
    text += csv_line({"order", line.number, line.name, to_text(line.ordered),
                      plain_number(line.days_waited), whole(line.quantity), line.supplier});
  }
  return text;
}

}  // namespace shearpin::report
