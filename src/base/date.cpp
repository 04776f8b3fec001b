#include "shearpin/base/date.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>
#include <vector>

#include "base/text.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin {
namespace {

namespace chr = std::chrono;

constexpr int kFirstYear = 1950;
constexpr int kLastYear = 2199;

/// The words of `text`, in lower case.
std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  for (const std::string& word : split(lower_case(trimmed(text)), ' ')) {
    if (!word.empty()) {
      words.push_back(word);
    }
  }
  return words;
}

std::optional<int> digits(std::string_view text, std::size_t least, std::size_t most) {
  if (text.size() < least || text.size() > most ||
      text.find_first_not_of("0123456789") != std::string_view::npos) {
    return std::nullopt;
  }
  int value = 0;
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

std::optional<Date> civil(int year, int month, int day) {
  const chr::year_month_day date{chr::year(year), chr::month(static_cast<unsigned>(month)),
                                 chr::day(static_cast<unsigned>(day))};
  if (!date.ok()) {
    return std::nullopt;
  }
  return chr::sys_days(date);
}

/// `2026-08-03` or `2025-10`.
std::optional<Date> calendar_date(std::string_view text) {
  const auto parts = split(text, '-');
  if (parts.size() != 2 && parts.size() != 3) {
    return std::nullopt;
  }
  const auto year = digits(parts[0], 4, 4);
  const auto month = digits(parts[1], 2, 2);
  const auto day = parts.size() == 3 ? digits(parts[2], 2, 2) : std::optional<int>(1);
  if (!year || !month || !day) {
    return std::nullopt;
  }
  return civil(*year, *month, *day);
}

/// The Monday of an ISO 8601 week: week 1 holds 4 January, weeks begin on Monday.
std::optional<Date> monday_of(int year, int week) {
  const auto monday_of_week_1 = [](int y) {
    const Date fourth{chr::year(y) / chr::January / 4};
    return fourth - (chr::weekday(fourth) - chr::Monday);
  };
  const Date monday = monday_of_week_1(year) + chr::days(7 * (week - 1));
  if (week < 1 || monday >= monday_of_week_1(year + 1)) {
    return std::nullopt;
  }
  return monday;
}

/// `2022-w16`, as ISO 8601 writes a week.
std::optional<Date> iso_week(std::string_view text) {
  const auto parts = split(text, '-');
  if (parts.size() != 2 || !parts[1].starts_with('w')) {
    return std::nullopt;
  }
  const auto year = digits(parts[0], 4, 4);
  const auto week = digits(std::string_view(parts[1]).substr(1), 2, 2);
  return year && week ? monday_of(*year, *week) : std::nullopt;
}

/// A tyre's week code WWYY.
std::optional<Date> week_code(std::string_view text) {
  const auto code = digits(text, 4, 4);
  return code ? monday_of(2000 + *code % 100, *code / 100) : std::nullopt;
}

/// Of a week 20 the code reads like a year, and may have been meant as one.
void refuse_year(std::string_view text) {
  const std::string word(trimmed(text));
  if (word.starts_with("20") && digits(word, 4, 4)) {
    throw InputError(
        fmt::format("date {} may be the year {} or the code of its week 20: give {}-01-01 or "
                    "another day for the year, {}-W20 for the week",
                    quoted(text), word, word, word));
  }
}

/// `3d ago`, `3 days ago`, `2 weeks ago`.
std::optional<Date> days_ago(const std::vector<std::string>& words, Date today) {
  if (words.size() < 2 || words.size() > 3 || words.back() != "ago") {
    return std::nullopt;
  }
  const std::string span = words.size() == 3 ? words[0] + words[1] : words[0];
  const auto number_end = std::min(span.find_first_not_of("0123456789"), span.size());
  const auto number = digits(std::string_view(span).substr(0, number_end), 1, 5);
  const std::string unit = span.substr(number_end);
  if (!number) {
    return std::nullopt;
  }
  if (unit == "d" || unit == "day" || unit == "days") {
    return today - chr::days(*number);
  }
  if (unit == "w" || unit == "week" || unit == "weeks") {
    return today - chr::days(7 * *number);
  }
  return std::nullopt;
}

/// `last friday`, `last fri`: the latest one before today.
std::optional<Date> last_weekday(const std::vector<std::string>& words, Date today) {
  constexpr std::array<std::string_view, 7> kNames = {"sunday",   "monday", "tuesday", "wednesday",
                                                      "thursday", "friday", "saturday"};
  if (words.size() != 2 || words[0] != "last" || words[1].size() < 3) {
    return std::nullopt;
  }
  for (unsigned i = 0; i < kNames.size(); ++i) {
    if (kNames[i].starts_with(words[1])) {
      // From yesterday back, so that on a Friday "last friday" is a week ago.
      const Date yesterday = today - chr::days(1);
      return yesterday - (chr::weekday(yesterday) - chr::weekday(i));
    }
  }
  return std::nullopt;
}

std::optional<Date> read_date(std::string_view text, Date today) {
  const auto words = words_of(text);
  if (words.size() != 1) {
    const auto ago = days_ago(words, today);
    return ago ? ago : last_weekday(words, today);
  }
  const std::string& word = words.front();
  if (word == "today") {
    return today;
  }
  if (word == "yesterday") {
    return today - chr::days(1);
  }
  if (const auto date = calendar_date(word)) {
    return date;
  }
  const auto week = iso_week(word);
  return week ? week : week_code(word);
}

}  // namespace

Date parse_date(std::string_view text, Date today) {
  refuse_year(text);
  const auto date = read_date(text, today);
  if (!date) {
    throw InputError(fmt::format(
        "date {} is not a day of the calendar that can be read: give 2026-08-03, 2025-10 (its "
        "first day), 2022-W16 or its code 1622, today, yesterday, \"3d ago\" or \"last friday\"",
        quoted(text)));
  }
  const int year = static_cast<int>(chr::year_month_day(*date).year());
  if (year < kFirstYear || year > kLastYear) {
    throw InputError(fmt::format("date {} is outside the years {} to {}, for example 2026-08-03",
                                 quoted(text), kFirstYear, kLastYear));
  }
  return *date;
}

std::string to_text(Date date) {
  const chr::year_month_day ymd(date);
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(ymd.year()),
                     static_cast<unsigned>(ymd.month()), static_cast<unsigned>(ymd.day()));
}

int days_between(Date from, Date to) { return static_cast<int>((to - from).count()); }

}  // namespace shearpin
