#pragma once
/// Works many things out, each by itself: what cannot be computed is told, and the rest stands.

#include <fmt/format.h>

#include <algorithm>
#include <cstddef>
#include <string>
#include <vector>

#include "advice/analyst.hpp"
#include "advice/parallel.hpp"
#include "base/quantity.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::advice {

/// What was not worked out, by place: the reason, or empty where there is none.
using Reasons = std::vector<std::string>;

/// Calls work(i) for every i below `count`, as for_each_index does. A NumericError of one becomes
/// its reason.
template <class Work>
Reasons for_each_apart(std::size_t count, const Work& work) {
  Reasons reasons(count);
  for_each_index(count, [&](std::size_t i) {
    try {
      work(i);
    } catch (const NumericError& error) {
      reasons[i] = error.what();
    }
  });
  return reasons;
}

/// Takes away what has a reason, the others in their order.
template <class Item>
void drop_unworked(std::vector<Item>& items, const Reasons& reasons) {
  std::size_t kept = 0;
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (!reasons[i].empty()) {
      continue;
    }
    if (kept != i) {
      items[kept] = std::move(items[i]);
    }
    ++kept;
  }
  items.resize(kept);
}

/// One sentence a reason; `name(i)` gives the key and name of the thing.
template <class Name>
void note_unworked(const Reasons& reasons, const Name& name, std::vector<std::string>& notes) {
  for (std::size_t i = 0; i < reasons.size(); ++i) {
    if (!reasons[i].empty()) {
      notes.push_back(name(i) + " could not be worked out and is in no figure here: " + reasons[i] +
                      '.');
    }
  }
}

/// Where none of the things asked about could be worked out there is no answer: NumericError with
/// the first of the notes.
inline void refuse_empty(std::size_t asked, std::size_t answered,
                         const std::vector<std::string>& notes) {
  if (asked > 0 && answered == 0 && !notes.empty()) {
    throw NumericError(notes.front());
  }
}

/// One sentence a reading that counts as no use.
inline void note_impossible(const Analyst& analyst, std::vector<std::string>& notes) {
  for (const auto* reading : analyst.exposure().impossible()) {
    notes.push_back(
        fmt::format("{} read {} on {}: no rig runs that far in the days since the reading before, "
                    "so it is left "
                    "out. To take it back: shearpin undo {}",
                    analyst.catalogue().at(reading->meter).key, plain_number(reading->value),
                    shearpin::to_text(reading->date), reading->entry.value));
  }
}

}  // namespace shearpin::advice
