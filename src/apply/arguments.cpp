#include "apply/arguments.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "shearpin/base/error.hpp"

namespace shearpin::apply {

bool Arguments::has(std::string_view name) const { return given_.find(name) != given_.end(); }

std::optional<std::string> Arguments::text(std::string_view name) const {
  const auto found = given_.find(name);
  if (found == given_.end() || found->second.empty()) {
    return std::nullopt;
  }
  return found->second.front();
}

std::string Arguments::required(std::string_view name) const {
  if (auto value = text(name)) {
    return *value;
  }
  // Positionals are named in capitals, options in small letters.
  const bool option =
      std::any_of(name.begin(), name.end(), [](char c) { return c >= 'a' && c <= 'z'; });
  throw UsageError(
      fmt::format("\"{0}\" needs {1}{2}; see: {0} --help", command_, option ? "--" : "", name));
}

std::vector<std::string> Arguments::list(std::string_view name) const {
  const auto found = given_.find(name);
  return found == given_.end() ? std::vector<std::string>() : found->second;
}

}  // namespace shearpin::apply
