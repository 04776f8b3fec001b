#pragma once
/// Words for conditions (smoke-dust, freezing ...): a word that no class knows changes nothing.

#include <optional>
#include <string>
#include <vector>

#include "shearpin/domain/catalogue.hpp"

namespace shearpin::domain {

/// Conditions that some class is sensitive to, by name.
std::vector<std::string> known_conditions(const Catalogue& catalogue);

/// Nothing for a condition that some class is sensitive to; else a sentence that says that it
/// changes nothing, with the words that would, the nearest of them first named where one is near.
std::optional<std::string> unknown_condition(const Catalogue& catalogue, const std::string& name);

}  // namespace shearpin::domain
