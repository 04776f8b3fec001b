#include <fmt/format.h>

#include <algorithm>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/sheet.hpp"
#include "report/svg.hpp"

namespace shearpin::report {
namespace {

using Lines = std::vector<const advice::CarryLine*>;

constexpr double kAsGoodAsSure = 0.99;
constexpr double kRow = 30, kTop = 30, kFoot = 36;
/// Columns of a name that leave room for the figures beside it on a phone.
constexpr std::size_t kNameColumns = 26;

Lines worst_first(const advice::CarryAnswer& answer) {
  Lines lines;
  for (const advice::CarryLine& line : answer.lines) {
    if (line.short_by() > 0 || line.chance_aboard < kAsGoodAsSure) {
      lines.push_back(&line);
    }
  }
  std::stable_sort(lines.begin(), lines.end(), [](const auto* a, const auto* b) {
    return a->chance_aboard < b->chance_aboard;
  });
  return lines;
}

std::string mean_text(const advice::CarryLine& line) {
  return line.demand.mean > 0 ? significant(line.demand.mean, 2) : "0";
}

double most_pieces(const Lines& lines) {
  double most = 0;
  for (const auto* line : lines) {
    most = std::max({most, line->demand.mean, static_cast<double>(line->carry),
                     static_cast<double>(line->stock.aboard)});
  }
  return most;
}

Markup legend() {
  constexpr double kLine = 12;
  return svg_bar(0, 0.05, kLine - 8, 8, "filled") +
         svg_words(0.065, kLine, Anchor::start, "", "expected") +
         svg_mark(0.39, kLine - 4, Mark::dot) +
         svg_words(0.42, kLine, Anchor::start, "", "aboard") +
         svg_mark(0.68, kLine - 4, Mark::diamond) +
         svg_words(0.715, kLine, Anchor::start, "", "carry");
}

Markup row(const advice::CarryLine& line, const Scale& scale, double top) {
  const double middle = top + 20;
  const auto at = [&scale](double pieces) { return scale.share(pieces); };
  return svg_words(0, top + 11, Anchor::start, "name",
                   cut_to(key_and_name(line.part, line.name), kNameColumns)) +
         svg_words(
             1, top + 11, Anchor::end, "",
             fmt::format("{} wanted, {} of {}", mean_text(line), line.stock.aboard, line.carry)) +
         svg_line(0, middle, 1, middle, "grid") +
         svg_bar(0, at(line.demand.mean), middle - 4, 8, "filled") +
         svg_mark(at(line.carry), middle, Mark::diamond) +
         svg_mark(at(static_cast<double>(line.stock.aboard)), middle, Mark::dot);
}

Markup picture(const Figure& figure, const Lines& lines) {
  const Scale scale = scale_to(most_pieces(lines), 6, true);
  const double bottom = kTop + kRow * static_cast<double>(lines.size());
  Markup content = legend();
  for (const double tick : scale.ticks) {
    content += svg_tick(scale.share(tick), kTop, bottom, amount_text(tick, ""));
  }
  double top = kTop;
  for (const auto* line : lines) {
    content += row(*line, scale, top);
    top += kRow;
  }
  content += svg_words(0.5, bottom + 30, Anchor::middle, "tick", "pieces over the stretch");
  return svg_picture(figure.id, figure.title, figure.told, bottom + kFoot, content);
}

TextTable demand_table(const advice::CarryAnswer& answer) {
  TextTable table;
  for (const advice::CarryLine& line : answer.lines) {
    table.add({{wide("part"), key_and_name(line.part, line.name)},
               {right("expected"), mean_text(line)},
               {right("aboard"), std::to_string(line.stock.aboard)},
               {right("carry"), std::to_string(line.carry)},
               {right("now", "chance of no shortage now"), short_chance(line.chance_aboard)}});
  }
  return table;
}

std::string told(const advice::CarryAnswer& answer, std::size_t candidates, std::size_t shown) {
  std::string text = fmt::format(
      "Worst covered first: {} of {}. The bar is what will be wanted on average, the dot what is "
      "aboard, the diamond what to carry; \"0 of 2\" is none aboard of two to carry.",
      shown, counted(static_cast<long long>(answer.lines.size()), "part"));
  if (candidates > shown) {
    text +=
        fmt::format(" For want of room {} more that fall short are left out.", candidates - shown);
  }
  if (answer.lines.size() > candidates) {
    text += fmt::format(" Left out because enough is aboard, with 99 % or more: {}.",
                        counted(static_cast<long long>(answer.lines.size() - candidates), "part"));
  }
  return text;
}

}  // namespace

std::optional<Figure> demand_figure(const advice::CarryAnswer& answer) {
  Lines lines = worst_first(answer);
  if (lines.empty()) {
    return std::nullopt;
  }
  const std::size_t candidates = lines.size();
  lines.resize(std::min(candidates, kMostRows));
  Figure figure{"demand",
                "Expected demand beside what is aboard and what to carry",
                told(answer, candidates, lines.size()),
                {},
                demand_table(answer),
                TextTable()};
  figure.picture = picture(figure, lines);
  return figure;
}

}  // namespace shearpin::report
