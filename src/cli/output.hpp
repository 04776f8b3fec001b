#pragma once
/// Putting an answer out in the format asked for, with its cautions and the names that were
/// guessed.

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "cli/session.hpp"
#include "report/answers.hpp"

namespace shearpin::cli {

/// The formats one answer can take; an empty one is not offered.
struct Renderings {
  std::function<std::string()> text = {}, json = {}, csv = {}, html = {};
};

/// The answer in one format. UsageError where it has no such format.
std::string in_format(Format format, const Renderings& answer);

/// Writes the answer in the context's format. UsageError where the answer has no such format.
void put(const Context& context, const Renderings& answer);

/// "p13 Blade fuse 15 A"; the key alone of what has no name of its own.
std::string key_and_name(const domain::Named& thing);

/// The notes behind these keys, from the ledger.
report::Cautions cautions_for(const domain::Catalogue& catalogue,
                              const std::vector<std::string>& keys);

/// `message` with every line that is wider than the page broken at blanks, the others as they are.
/// Ends with a line break.
std::string fitted_to(const std::string& message, std::size_t width);

/// "  Entry 214; to take it back: shearpin undo 214", a line of its own; empty under --dry-run and
/// where nothing was recorded.
std::string undo_line(const Context& context, const std::vector<EntryId>& entries);

/// "frige fuse" is l21 ...: before an answer in text, to stderr otherwise so that JSON stays JSON.
void put_echoes(const Session& session, const Context& context);

/// The bytes of a file; none where it cannot be read or is a folder.
std::optional<std::string> read_file(const std::string& path);

/// Writes `text` into a file, whole or not at all; a symlink is followed, and what is no plain file
/// (a device, a pipe) is written to as it is. InputError where that cannot
/// be done, and for the ledger itself and its journal.
void write_file(const Context& context, const std::filesystem::path& path, const std::string& text);

}  // namespace shearpin::cli
