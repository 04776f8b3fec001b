#pragma once
/// The command that a line of a file stands for.

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "apply/requests.hpp"
#include "interchange/rows.hpp"

namespace shearpin::apply {

struct Command {
  domain::Plan (*plan)(const Arguments&, Resolver&);
  /// Columns and the words that they give, where these are not named alike.
  std::vector<std::pair<std::string_view, std::string>> words = {};
  /// What the kind of line says by itself: a word and its value, or a flag.
  std::pair<std::string, std::string> always = {};
};

/// Of a dated row that undoes nothing.
const Command& command_of(const interchange::ImportRow& row);

/// The words that the command is given: those of the row's cells, the day it tells of as `on`, and
/// as the day of writing where the row gives no other.
Arguments words_of(const interchange::ImportRow& row, const Command& command);

}  // namespace shearpin::apply
