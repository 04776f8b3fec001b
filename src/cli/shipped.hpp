#pragma once
/// The data files that ship inside the program (data/classes, data/safety-notes.csv).

#include <string>

namespace shearpin::cli {

/// data/classes/component-classes.csv, byte for byte.
std::string shipped_classes();

/// data/safety-notes.csv, byte for byte.
std::string shipped_safety_notes();

}  // namespace shearpin::cli
