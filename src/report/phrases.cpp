#include "report/phrases.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "report/display.hpp"

namespace shearpin::report {

std::string hanging(std::string_view mark, std::string_view text) {
  const std::size_t indent = display_width(mark);
  std::string block;
  for (const std::string& line : wrap_lines(text, kWidth - indent)) {
    block += (block.empty() ? std::string(mark) : std::string(indent, ' ')) + line;
    block.erase(block.find_last_not_of(' ') + 1);
    block += '\n';
  }
  return block;
}

std::string bullet(std::string_view text, std::string_view mark) { return hanging(mark, text); }

std::string heading(std::string_view text) {
  const auto lines = wrap_lines(text, kWidth);
  std::string block;
  std::size_t widest = 0;
  for (const std::string& line : lines) {
    block += line + '\n';
    widest = std::max(widest, display_width(line));
  }
  return block + std::string(widest, '-') + '\n';
}

std::string section(std::string_view title, const std::string& body) {
  return body.empty() ? "" : "\n" + heading(title) + body;
}

std::string section(std::string_view title, const TextTable& table) {
  return section(title, table.empty() ? std::string() : table.to_text(kWidth));
}

std::string listed(const std::vector<std::string>& words, std::size_t most) {
  if (words.size() <= most) {
    return join_words(words);
  }
  const std::vector<std::string> first(words.begin(),
                                       words.begin() + static_cast<std::ptrdiff_t>(most));
  return fmt::format("{} and {} more", join(first, ", "), words.size() - most);
}

std::string key_and_name(std::string_view key, std::string_view name) {
  return name.empty() || name == key ? std::string(key) : fmt::format("{}: {}", key, name);
}

std::string cut_to(std::string_view text, std::size_t columns) {
  constexpr std::string_view kCut = "...";
  if (display_width(text) <= columns) {
    return std::string(text);
  }
  const std::string_view kept = trimmed(text.substr(0, prefix_within(text, columns - kCut.size())));
  return std::string(kept) + std::string(kCut);
}

std::string cell_lines(const std::vector<std::string>& texts) {
  std::string cell;
  for (const std::string& text : texts) {
    cell += (cell.empty() || text.empty() ? "" : "\n") + text;
  }
  return cell;
}

std::string reason_text(const std::string& reason) {
  return reason.empty() ? "" : "because: " + reason;
}

std::string window_text(const advice::Window& window) {
  if (window.trip) {
    const auto stops = static_cast<long long>(window.trip->stops.size());
    std::string words =
        fmt::format("{}the trip {}: {} from {} to {}, {}", window.today ? "the rest of " : "",
                    window.trip->name, counted(window.days, "day"), to_text(window.start),
                    to_text(window.trip->end()), counted(stops, "stop"));
    for (const auto& condition : window.conditions) {
      words += fmt::format(", {} on every leg", condition.first);
    }
    return words;
  }
  std::string text = fmt::format("{} from {}", counted(window.days, "day"), to_text(window.start));
  for (const auto& condition : window.conditions) {
    text += fmt::format(", {} {}", condition.first,
                        condition.second ? "for " + counted(*condition.second, "day")
                                         : std::string("all the time"));
  }
  return text;
}

std::string window_words(const advice::Window& window) {
  return window.trip ? "--trip " + window.trip->key : fmt::format("--days {}", window.days);
}

std::string_view resupply_words(const advice::Window& window) {
  return window.trip && !window.trip->stops.empty() ? "with what its stops have"
                                                    : "with nothing to be had on the way";
}

std::string paragraphs(const std::vector<std::string>& texts) {
  std::string text;
  for (const std::string& one : texts) {
    text += wrap_text(one);
  }
  return text;
}

std::string notes_text(const std::vector<std::string>& notes) {
  std::string text;
  for (const std::string& note : notes) {
    text += bullet(note);
  }
  return text;
}

std::string due_text(int days_over) {
  if (days_over > 0) {
    return "over by " + counted(days_over, "day");
  }
  return days_over == 0 ? "today" : "in " + counted(-static_cast<long long>(days_over), "day");
}

std::string bins_text(const advice::StockView& stock) {
  std::vector<std::string> places;
  for (const advice::BinPieces& bin : stock.bins) {
    places.push_back(
        fmt::format("{} {}{}", bin.bin, bin.pieces, bin.aboard ? "" : " (stays behind)"));
  }
  return join(places, "; ");
}

std::string place_text(std::string_view position, int unit, bool several) {
  return unit > 1 || several ? fmt::format("{}/{}", position, unit) : std::string(position);
}

}  // namespace shearpin::report
