#include "apply/master.hpp"

#include <optional>
#include <type_traits>
#include <vector>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/fields.hpp"
#include "interchange/master_lists.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::apply {
namespace {

using interchange::ImportRow;

/// The new thing of this key, or the one that has it already.
template <class T>
std::optional<domain::Master> take_key(T& thing, const ImportRow& row,
                                       const std::vector<T>& known) {
  const auto* key = row.find("key");
  if (key == nullptr) {
    refuse("a key is needed in column key; example: p46");
  }
  thing.key = parse_key(*key, "the");
  if constexpr (std::is_base_of_v<domain::Named, T>) {
    thing.name = *key;
  }
  for (const auto& existing : known) {
    if (existing.key == thing.key) {
      thing = existing;
      return domain::Master(existing);
    }
  }
  return std::nullopt;
}

template <class T>
domain::MasterLine line_for(const ImportRow& row, const std::vector<T>& known,
                            const domain::Catalogue& catalogue) {
  T thing{};
  std::optional<domain::Master> before;
  if constexpr (!std::is_same_v<T, domain::Substitute>) {
    before = take_key(thing, row, known);
  }
  for (const auto& field : domain::fields<T>()) {
    const auto* text = row.find(field.name);
    if (text == nullptr && field.required_on_add && !before) {
      refuse("{} is needed: {}", field.name, field.help);
    }
    if (text == nullptr || field.name == "key") {
      continue;
    }
    try {
      field.set(thing, *text, catalogue);
    } catch (const InputError& error) {  // named: one row has many columns
      refuse("column {}: {}", field.name, error.what());
    }
  }
  domain::check(thing, catalogue);
  return {before, domain::Master(thing)};
}

}  // namespace

domain::MasterLine master_line(const ImportRow& row, interchange::Kind kind,
                               const domain::Catalogue& catalogue) {
  return interchange::with_master_list(
      kind, [&](auto list) { return line_for(row, catalogue.*list, catalogue); });
}

}  // namespace shearpin::apply
