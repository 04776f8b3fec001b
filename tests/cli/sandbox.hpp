#pragma once
// The built binary, run in a fresh folder of its own: its home, its data folder, its ledger. What a
// run printed and how it ended is kept as text; what it left in the ledger is read back with other
// commands or with SQLite itself, never through the program's own code.

#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace shearpin::test {

using Json = nlohmann::json;

struct Ran {
  int code = -1;  // the exit code; 1000 + n: ended by signal n
  std::string out;
  std::string err;
};

class Sandbox {
 public:
  Sandbox();
  ~Sandbox();
  Sandbox(const Sandbox&) = delete;
  Sandbox& operator=(const Sandbox&) = delete;

  const std::filesystem::path& folder() const { return folder_; }
  std::filesystem::path ledger() const;
  std::filesystem::path path(const std::string& name) const { return folder_ / name; }

  // Runs `shearpin WORDS` with the folder as its working folder; standard input is empty. With
  // `out_to` standard output goes to that file (/dev/full), with "closed" there is none.
  Ran run(const std::vector<std::string>& words, const std::string& out_to = {}) const;
  // The same, with the words of one line split as a shell does: blanks part, double quotes keep.
  Ran operator()(const std::string& line) const;
  // Must end with 0; standard output. Fails the test with all that was printed otherwise.
  std::string ok(const std::string& line) const;
  // The same with --format json, read.
  Json json(const std::string& line) const;
  // Must end with `code`, print nothing on standard output, and one message on standard error that
  // holds each of `words`; the ledger must be as it was. The message, its line ends made blanks.
  std::string refused(const std::string& line, int code,
                      const std::vector<std::string>& words = {}) const;

  // Adds, changes, or (with an empty value) takes away a variable of the environment.
  void set(const std::string& name, const std::string& value);
  std::filesystem::path write(const std::string& name, const std::string& text) const;

  // Every row of every table of the ledger (or of another file), as text; empty without a file.
  std::string dump() const;
  static std::string dump(const std::filesystem::path& file);
  // One number by SQL.
  long long number(const std::string& sql) const;
  // Runs SQL on the file, for making it strange.
  static void sql(const std::filesystem::path& file, const std::string& text);

 private:
  std::filesystem::path folder_;
  std::map<std::string, std::string> environment_;
};

std::vector<std::string> split_words(const std::string& line);
std::string read_file(const std::filesystem::path& file);
// `text` with every run of blanks and line ends made one blank: messages may be wrapped anywhere.
std::string one_line(const std::string& text);
bool holds(const std::string& text, const std::string& words);

}  // namespace shearpin::test
