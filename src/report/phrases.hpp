#pragma once
/// Sentences and lines that several texts share.

#include <string>
#include <string_view>
#include <vector>

#include "report/answers.hpp"
#include "report/text_table.hpp"
#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

/// `  - text`, wrapped at kWidth with the further lines below the first word.
std::string bullet(std::string_view text, std::string_view mark = "  - ");

/// Text after `mark`, wrapped, further lines as far in as the mark is wide.
std::string hanging(std::string_view mark, std::string_view text);

/// A line of its own and a rule of dashes below it.
std::string heading(std::string_view text);

/// An empty line, the heading and what it heads; nothing for an empty `body`.
std::string section(std::string_view title, const std::string& body);
std::string section(std::string_view title, const TextTable& table);

/// `a, b, c and 12 more`.
std::string listed(const std::vector<std::string>& words, std::size_t most = 8);

/// `key: name`, or the key alone where the name is empty or the same.
std::string key_and_name(std::string_view key, std::string_view name);

/// `text`, cut to `columns` (at least 4) with three points where it is wider.
std::string cut_to(std::string_view text, std::size_t columns);

/// Lines of one cell, the empty ones left out.
std::string cell_lines(const std::vector<std::string>& texts);

/// `because: cheap beside a day without`; empty for no reason.
std::string reason_text(const std::string& reason);

/// The commands that put parts into an empty ledger.
inline constexpr std::string_view kHowToBegin =
    "Next: `shearpin part add` and `shearpin position add`, or `shearpin import FILE.csv`.";

/// `14 days from 2026-05-25`, with the conditions counted: `, dust for 5 days, frost all the time`.
std::string window_text(const advice::Window& window);

/// The option that asks about the same again: `--days 38`, `--trip marrow`.
std::string window_words(const advice::Window& window);

/// `with nothing to be had on the way`, or that there are stops.
std::string_view resupply_words(const advice::Window& window);

/// Each on lines of its own.
std::string paragraphs(const std::vector<std::string>& texts);

/// Notes as bullets; empty for none.
std::string notes_text(const std::vector<std::string>& notes);

/// `over by 3 days`, `today`, `in 5 days`.
std::string due_text(int days_over);

/// Where sound pieces lie: `fuses 2; shed 3 (stays behind)`; empty where nobody said.
std::string bins_text(const advice::StockView& stock);

/// A unit's place as it is typed: `lamp/2` for the second; `lamp` for the first, but `lamp/1` where
/// the place is known to hold several.
std::string place_text(std::string_view position, int unit, bool several = false);

/// Adds the key of a caution, unless it is empty or there already.
void add_key(std::vector<std::string>& keys, const std::string& key);

/// The cautions of an answer after the one about estimates (the ledger's own text where it is among
/// them), each a paragraph.
std::string closing_cautions(const Cautions& cautions);

}  // namespace shearpin::report
