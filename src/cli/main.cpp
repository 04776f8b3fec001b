/// The only place that reads the clock, the environment and the terminal.

#include <fcntl.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <ctime>
#include <iostream>

#include "cli/run.hpp"

namespace {

/// The civil day where the person is: the one use of local time, since "today" is theirs.
shearpin::Date local_day(std::time_t now) {
  std::tm parts{};
  localtime_r(&now, &parts);
  return std::chrono::sys_days(std::chrono::year(parts.tm_year + 1900) /
                               std::chrono::month(static_cast<unsigned>(parts.tm_mon + 1)) /
                               std::chrono::day(static_cast<unsigned>(parts.tm_mday)));
}

/// 2026-05-25T18:03:07.123Z.
std::string utc_instant(std::chrono::system_clock::time_point now) {
  const auto millis =
      std::chrono::duration_cast<std::chrono::milliseconds>(now.time_since_epoch()).count();
  const std::time_t seconds = static_cast<std::time_t>(millis / 1000);
  std::tm parts{};
  gmtime_r(&seconds, &parts);
  char text[40];
  const auto length = std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%S", &parts);
  std::string result(text, length);
  const auto fraction = std::to_string(1000 + millis % 1000);
  return result + '.' + fraction.substr(1) + 'Z';
}

/// A file opened later must not get the number of a closed standard stream, or what is printed
/// would end up in it. Reading and writing such a stream still fails.
void keep_standard_streams() {
  for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
    if (fcntl(stream, F_GETFD) == -1) {
      open("/dev/null", stream == STDIN_FILENO ? O_WRONLY : O_RDONLY);
    }
  }
}

}  // namespace

int main(int argc, char** argv) {
  keep_standard_streams();
  std::ios::sync_with_stdio(false);
  const auto now = std::chrono::system_clock::now();
  const shearpin::cli::Outside outside{
      std::cin,
      std::cout,
      std::cerr,
      local_day(std::chrono::system_clock::to_time_t(now)),
      utc_instant(now),
      isatty(STDIN_FILENO) == 1,
      isatty(STDOUT_FILENO) == 1,
      [](const std::string& name) -> std::optional<std::string> {
        const char* value = std::getenv(name.c_str());
        return value == nullptr ? std::nullopt : std::optional<std::string>(value);
      }};
  return shearpin::cli::run({argv + 1, argv + argc}, outside);
}
