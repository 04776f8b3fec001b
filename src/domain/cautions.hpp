#pragma once
/// Cautions shown where the work can hurt someone: each once a command.

#include <span>
#include <string_view>
#include <vector>

#include "shearpin/domain/catalogue.hpp"

namespace shearpin::domain {

/// The note with this key, or nullptr.
const SafetyNote* note_with_key(const Catalogue& catalogue, std::string_view key);

/// Gathers the cautions of what a command touches, in the order met, each once. Points into the
/// catalogue, which must outlive it.
class Cautions {
 public:
  explicit Cautions(const Catalogue& catalogue) : catalogue_(&catalogue) {}

  /// Of its class; nothing where it has none.
  void add(const Position& position);
  void add(const Part& part);
  void add(const ComponentClass& kind);
  /// A worn unit goes to the shelf for a position of severity safety (worn-safety-spare).
  void add_worn_spare(const Position& position);
  /// By key, for notes of no class (estimate-limits); an unknown key adds nothing.
  void add(std::string_view key);

  std::span<const SafetyNote* const> notes() const { return notes_; }

 private:
  void add(const SafetyNote* note);
  const Catalogue* catalogue_;
  std::vector<const SafetyNote*> notes_;
};

}  // namespace shearpin::domain
