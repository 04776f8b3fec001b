#include "sandbox.hpp"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <sqlite3.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <catch2/catch.hpp>
#include <cctype>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <stdexcept>

namespace shearpin::test {
namespace {

namespace fs = std::filesystem;

// In memory where there is such a place: thousands of durable commits would wait for the disk.
fs::path fresh_folder() {
  const fs::path memory = "/dev/shm";
  const bool usable = std::getenv("TMPDIR") == nullptr && ::access(memory.c_str(), W_OK) == 0;
  std::string pattern =
      ((usable ? memory : fs::temp_directory_path()) / "shearpin-cli-XXXXXX").string();
  if (::mkdtemp(pattern.data()) == nullptr) {
    throw std::runtime_error("no temporary folder can be made at " + pattern);
  }
  return pattern;
}

struct Pipe {
  std::array<int, 2> ends{};
  Pipe() {
    if (::pipe2(ends.data(), O_CLOEXEC) != 0) {
      throw std::runtime_error("no pipe can be made");
    }
  }
};

std::vector<char*> pointers(std::vector<std::string>& texts) {
  std::vector<char*> result;
  for (auto& text : texts) {
    result.push_back(text.data());
  }
  result.push_back(nullptr);
  return result;
}

// Reads both pipes to their ends; a run that says nothing for a minute is ended and fails.
void read_both(pid_t child, int out, int err, Ran& ran) {
  std::array<pollfd, 2> watched{{{out, POLLIN, 0}, {err, POLLIN, 0}}};
  std::array<std::string*, 2> kept{&ran.out, &ran.err};
  while (watched[0].fd >= 0 || watched[1].fd >= 0) {
    if (::poll(watched.data(), watched.size(), 60000) <= 0) {
      ::kill(child, SIGKILL);
      break;
    }
    for (std::size_t i = 0; i < watched.size(); ++i) {
      if (watched[i].fd < 0 || watched[i].revents == 0) {
        continue;
      }
      std::array<char, 65536> block{};
      const auto size = ::read(watched[i].fd, block.data(), block.size());
      if (size <= 0) {
        ::close(watched[i].fd);
        watched[i].fd = -1;
      } else {
        kept[i]->append(block.data(), static_cast<std::size_t>(size));
      }
    }
  }
}

struct Closer {
  void operator()(sqlite3* file) const { sqlite3_close(file); }
};

std::unique_ptr<sqlite3, Closer> open_file(const fs::path& file, int flags) {
  sqlite3* raw = nullptr;
  const int code = sqlite3_open_v2(file.c_str(), &raw, flags, nullptr);
  std::unique_ptr<sqlite3, Closer> opened(raw);
  if (code != SQLITE_OK) {
    throw std::runtime_error("SQLite cannot open " + file.string());
  }
  return opened;
}

using Rows = std::vector<std::vector<std::string>>;

Rows rows_of(sqlite3* file, const std::string& sql) {
  Rows rows;
  const auto keep = [](void* into, int count, char** cells, char**) {
    std::vector<std::string> row;
    for (int i = 0; i < count; ++i) {
      row.emplace_back(cells[i] == nullptr ? "NULL" : cells[i]);
    }
    static_cast<Rows*>(into)->push_back(row);
    return 0;
  };
  char* problem = nullptr;
  if (sqlite3_exec(file, sql.c_str(), keep, &rows, &problem) != SQLITE_OK) {
    const std::string text = problem == nullptr ? "" : problem;
    sqlite3_free(problem);
    throw std::runtime_error(sql + ": " + text);
  }
  return rows;
}

}  // namespace

Sandbox::Sandbox() : folder_(fresh_folder()) {
  environment_["HOME"] = folder_.string();
  environment_["XDG_DATA_HOME"] = (folder_ / "data").string();
  environment_["PATH"] = "/usr/bin:/bin";
  environment_["TZ"] = "UTC";
}

Sandbox::~Sandbox() {
  std::error_code ignored;
  fs::remove_all(folder_, ignored);
}

fs::path Sandbox::ledger() const { return folder_ / "data" / "shearpin" / "ledger.db"; }

void Sandbox::set(const std::string& name, const std::string& value) {
  if (value.empty()) {
    environment_.erase(name);
  } else {
    environment_[name] = value;
  }
}

Ran Sandbox::run(const std::vector<std::string>& words, const std::string& out_to) const {
  std::vector<std::string> arguments{SHEARPIN_BINARY};
  arguments.insert(arguments.end(), words.begin(), words.end());
  std::vector<std::string> variables;
  for (const auto& [name, value] : environment_) {
    variables.push_back(name + '=' + value);
  }
  const auto argv = pointers(arguments);
  const auto envp = pointers(variables);
  const std::string folder = folder_.string();
  const Pipe out;
  const Pipe err;
  const pid_t child = ::fork();
  if (child < 0) {
    throw std::runtime_error("no process can be started");
  }
  if (child == 0) {
    const int nothing = ::open("/dev/null", O_RDONLY);
    if (::chdir(folder.c_str()) != 0 || ::dup2(nothing, 0) < 0 || ::dup2(out.ends[1], 1) < 0 ||
        ::dup2(err.ends[1], 2) < 0) {
      ::_exit(126);
    }
    if (out_to == "closed") {
      ::close(1);
    } else if (!out_to.empty() && ::dup2(::open(out_to.c_str(), O_WRONLY), 1) < 0) {
      ::_exit(126);
    }
    ::execve(argv.front(), argv.data(), envp.data());
    ::_exit(127);
  }
  ::close(out.ends[1]);
  ::close(err.ends[1]);
  Ran ran;
  read_both(child, out.ends[0], err.ends[0], ran);
  int status = 0;
  ::waitpid(child, &status, 0);
  ran.code = WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status);
  return ran;
}

Ran Sandbox::operator()(const std::string& line) const { return run(split_words(line)); }

std::string Sandbox::ok(const std::string& line) const {
  const Ran ran = (*this)(line);
  INFO("shearpin " << line << "\n" << ran.out << ran.err);
  REQUIRE(ran.code == 0);
  return ran.out;
}

Json Sandbox::json(const std::string& line) const {
  const std::string text = ok(line + " --format json");
  INFO("shearpin " << line << " --format json\n" << text);
  const Json json = Json::parse(text, nullptr, false);
  REQUIRE_FALSE(json.is_discarded());
  CHECK(json.value("schema", 0) == 1);
  return json;
}

std::string Sandbox::refused(const std::string& line, int code,
                             const std::vector<std::string>& words) const {
  const std::string before = dump();
  const Ran ran = (*this)(line);
  std::string wrong;
  if (ran.code != code) {
    wrong += "\nended with " + std::to_string(ran.code) + ", not " + std::to_string(code);
  }
  if (!ran.out.empty()) {
    wrong += "\nprinted: " + ran.out.substr(0, 300);
  }
  if (ran.err.rfind("shearpin: ", 0) != 0) {
    wrong += "\nthe message does not say whose it is";
  }
  if (dump() != before) {
    wrong += "\nthe ledger was changed";
  }
  for (const auto& word : words) {
    wrong += holds(ran.err, word) ? "" : "\nnot said: " + word;
  }
  INFO("shearpin " << line << "\nerr: " << ran.err);
  CHECK(wrong == std::string());
  return one_line(ran.err);
}

fs::path Sandbox::write(const std::string& name, const std::string& text) const {
  const fs::path file = folder_ / name;
  fs::create_directories(file.parent_path());
  std::ofstream(file, std::ios::binary) << text;
  return file;
}

std::string Sandbox::dump() const { return dump(ledger()); }

std::string Sandbox::dump(const fs::path& file) {
  if (!fs::exists(file)) {
    return {};
  }
  const auto opened = open_file(file, SQLITE_OPEN_READONLY);
  std::string text;
  for (const auto& table :
       rows_of(opened.get(),
               "SELECT name, sql FROM sqlite_schema WHERE type = 'table' ORDER BY name")) {
    text += table[0] + '\n' + table[1] + '\n';
    for (const auto& row : rows_of(opened.get(), "SELECT * FROM \"" + table[0] + "\"")) {
      for (const auto& cell : row) {
        text += cell + '|';
      }
      text += '\n';
    }
  }
  return text;
}

long long Sandbox::number(const std::string& sql) const {
  const auto opened = open_file(ledger(), SQLITE_OPEN_READONLY);
  const auto rows = rows_of(opened.get(), sql);
  return std::stoll(rows.at(0).at(0));
}

void Sandbox::sql(const fs::path& file, const std::string& text) {
  rows_of(open_file(file, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE).get(), text);
}

std::vector<std::string> split_words(const std::string& line) {
  std::vector<std::string> words;
  std::string word;
  bool quoted = false;
  bool any = false;
  for (const char c : line) {
    if (c == '"') {
      quoted = !quoted;
      any = true;
    } else if (c == ' ' && !quoted) {
      if (any) {
        words.push_back(word);
      }
      word.clear();
      any = false;
    } else {
      word += c;
      any = true;
    }
  }
  if (any) {
    words.push_back(word);
  }
  return words;
}

std::string read_file(const fs::path& file) {
  std::ifstream stream(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

std::string one_line(const std::string& text) {
  std::string line;
  for (const char c : text) {
    if (std::isspace(static_cast<unsigned char>(c)) == 0) {
      line += c;
    } else if (!line.empty() && line.back() != ' ') {
      line += ' ';
    }
  }
  return line;
}

bool holds(const std::string& text, const std::string& words) {
  return one_line(text).find(one_line(words)) != std::string::npos;
}

}  // namespace shearpin::test
