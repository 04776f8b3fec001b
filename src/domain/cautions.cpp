#include "domain/cautions.hpp"

#include <algorithm>

namespace shearpin::domain {

const SafetyNote* note_with_key(const Catalogue& catalogue, std::string_view key) {
  const auto& notes = catalogue.safety_notes;
  const auto found = std::find_if(notes.begin(), notes.end(),
                                  [key](const SafetyNote& note) { return note.key == key; });
  return found != notes.end() ? &*found : nullptr;
}

void Cautions::add(const SafetyNote* note) {
  if (note != nullptr && std::find(notes_.begin(), notes_.end(), note) == notes_.end()) {
    notes_.push_back(note);
  }
}

void Cautions::add(const Position& position) {
  add(catalogue_->safety_note_of(catalogue_->class_of(position)));
}

void Cautions::add(const Part& part) {
  add(catalogue_->safety_note_of(catalogue_->class_of(part)));
}

void Cautions::add(const ComponentClass& kind) { add(catalogue_->safety_note_of(&kind)); }

void Cautions::add(std::string_view key) { add(note_with_key(*catalogue_, key)); }

void Cautions::add_worn_spare(const Position& position) {
  if (catalogue_->severity_of(position) == Severity::safety) {
    add("worn-safety-spare");
  }
}

}  // namespace shearpin::domain
