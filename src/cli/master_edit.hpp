#pragma once
/// From options to fields of master data.

#include <fmt/format.h>

#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "cli/command.hpp"
#include "cli/session.hpp"
#include "domain/fields.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {

CommandSpec substitute_command();  ///< part substitute
CommandSpec meter_read_command();  ///< meter read

/// The key of a thing of the kind that a word names ("part"), found forgivingly; for no kind the
/// text as it is.
std::string key_meant(Session& session, std::string_view thing, const std::string& typed);

/// The only rig not retired; nullptr where there are several or none.
const domain::Rig* only_rig(const domain::Catalogue& catalogue);

/// A new thing is on the only rig there is, unless its options say otherwise.
template <class T>
void prepare_new(T& thing, const domain::Catalogue& catalogue) {
  if constexpr (requires { thing.rig; }) {
    if (const auto* rig = only_rig(catalogue)) {
      thing.rig = rig->id;
    }
  }
}

/// The options of `add` (or `set`, which can also switch a flag off with --no-FLAG).
template <class T>
std::vector<OptionSpec> field_options(bool for_set) {
  std::vector<OptionSpec> options;
  for (const auto& field : domain::fields<T>()) {
    const std::string name(field.name);
    if (name == "key" || (!for_set && name == "retired")) {
      continue;
    }
    std::string help(field.help);
    if (!for_set && field.required_on_add && name != "rig") {
      help += " (needed)";
    }
    options.push_back({name, std::string(field.value), help, name == "also"});
    if (for_set && field.value.empty()) {
      options.push_back({"no-" + name, "", "not so", false});
    }
  }
  options.push_back({"on", "DATE", "day the entry is about (today)", false});
  return options;
}

/// UsageError naming the first needed field that is not given.
template <class T>
void require_fields(const Arguments& arguments, std::string_view example) {
  for (const auto& field : domain::fields<T>()) {
    // The rig is filled in where there is only one.
    const bool needed = field.required_on_add && field.name != "rig" && field.name != "key";
    if (needed && !arguments.has(field.name)) {
      throw UsageError(fmt::format("--{} is needed ({}); example: shearpin {}", field.name,
                                   field.help, example));
    }
  }
}

/// Sets every field that an option gives, in the order of the table of fields. Without a name a
/// thing is called by its key.
template <class T>
void set_fields(T& thing, const Arguments& arguments, Session& session) {
  for (const auto& field : domain::fields<T>()) {
    const std::string name(field.name);
    if (name == "key") {
      continue;
    }
    if (arguments.has("no-" + name)) {
      field.set(thing, "no", session.catalogue());
    } else if (field.value.empty() && arguments.flag(name)) {
      field.set(thing, "yes", session.catalogue());
    } else if (arguments.has(name)) {
      std::string text;
      for (const auto& one : arguments.list(name)) {
        text += (text.empty() ? "" : ";") + one;
      }
      field.set(thing, text.empty() ? text : key_meant(session, field.thing, text),
                session.catalogue());
    }
  }
  if constexpr (std::is_base_of_v<domain::Named, T>) {
    if (thing.name.empty()) {
      thing.name = thing.key;
    }
  }
}

}  // namespace shearpin::cli
