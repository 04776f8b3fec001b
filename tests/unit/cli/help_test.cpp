#include "cli/help.hpp"

#include <catch2/catch.hpp>

#include "base/text.hpp"
#include "sample_commands.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::cli;
using Catch::Contains;

namespace {

std::string help_of(const std::vector<std::string>& words) {
  const auto commands = sample::commands();
  const auto common = sample::common();
  const auto outcome = parse_command_line(words, commands, common);
  CHECK_FALSE(outcome.parsed.has_value());
  CHECK_FALSE(outcome.version);
  return outcome.help_text;
}

void check_fits(const std::string& text) {
  for (const std::string& line : split(text, '\n')) {
    CAPTURE(line);
    CHECK(display_width(line) <= 80);
  }
}

}  // namespace

TEST_CASE("the program's help lists commands by group in order of first use") {
  const std::string text = help_of({"--help"});
  const auto set_up = text.find("Set up:");
  const auto field = text.find("In the field:");
  const auto ask = text.find("Ask:");
  REQUIRE(ask != std::string::npos);
  CHECK(set_up < field);
  CHECK(field < ask);
  CHECK_THAT(text, Contains("  fail    logs a failure and what was done about it\n"));
  CHECK_THAT(text, Contains("--ledger FILE") && Contains("--version"));
  check_fits(text);
}

TEST_CASE("help is asked for in several ways") {
  CHECK(help_of({"help"}) == help_of({"--help"}));
  CHECK(help_of({"-h"}) == help_of({"--help"}));
  CHECK(help_of({"help", "fail"}) == help_of({"fail", "--help"}));
  CHECK(help_of({"--help", "fail"}) == help_of({"fail", "-h"}));
  CHECK(help_of({"help", "rig", "add"}) == help_of({"rig", "add", "--help"}));
  CHECK(help_of({"--ledger", "x.db", "help", "fail"}) == help_of({"fail", "--help"}));
}

TEST_CASE("help of a command shows usage, words, options, exclusions and examples") {
  const std::string text = help_of({"fail", "--help"});
  CHECK_THAT(text, Catch::StartsWith("Usage: shearpin fail POSITION [OPTIONS]\n"));
  CHECK_THAT(text, Contains("\nLogs a failure and what was done about it.\n"));
  CHECK_THAT(text, Contains("  POSITION  what failed: a key, a name, or words of it\n"));
  CHECK_THAT(text, Contains("--on DATE        the day it happened (today if not given)\n"));
  CHECK_THAT(text, Contains("--note TEXT ..."));
  CHECK_THAT(text, Contains("At most one of --repaired, --left-dead and --stand-in."));
  CHECK_THAT(text, Contains("\n  shearpin fail \"frige fuse\" --on yesterday\n"));
  CHECK_THAT(text, Contains("Options of every command:") && Contains("--dry-run"));
  check_fits(text);
}

TEST_CASE("help of a family lists its commands") {
  const std::string text = help_of({"rig", "--help"});
  CHECK_THAT(text, Catch::StartsWith("Usage: shearpin rig COMMAND [OPTIONS]\n"));
  CHECK_THAT(text, Contains("  add   adds a rig\n") && Contains("  show  shows a rig\n"));
  CHECK_THAT(help_of({"help", "rig", "add"}), Contains("Usage: shearpin rig add KEY [OPTIONS]"));
  CHECK_THAT(help_of({"help", "policy"}), Contains("policy [COMMAND] [NAME] [OPTIONS]"));
}

TEST_CASE("usage shows optional and repeated words, options their letter") {
  CHECK_THAT(help_of({"help", "use"}), Contains("shearpin use PART [N] [OPTIONS]"));
  CHECK_THAT(help_of({"help", "import"}), Contains("shearpin import FILE ... [OPTIONS]"));
  CHECK_THAT(help_of({"help", "report"}), Contains("-o, --output FILE"));
}

TEST_CASE("an option that a command redefines is shown once") {
  const std::string text = help_of({"help", "report"});
  const auto first = text.find("--format");
  REQUIRE(first != std::string::npos);
  CHECK(text.find("--format", first + 1) == std::string::npos);
}

TEST_CASE("help is given in spite of mistakes elsewhere on the line") {
  CHECK(help_of({"fail", "--no-such-option", "--help"}) == help_of({"fail", "--help"}));
  CHECK(help_of({"fail", "a", "b", "c", "--help"}) == help_of({"fail", "--help"}));
}

TEST_CASE("help on a command that does not exist names the nearest") {
  const auto commands = sample::commands();
  CHECK_THROWS_AS(parse_command_line({"help", "fial"}, commands, {}), UsageError);
  CHECK_THROWS_WITH(parse_command_line({"help", "fial"}, commands, {}), Contains("nearest: fail"));
}

TEST_CASE("long help wraps beside its option and long examples wrap rather than overflow") {
  CommandSpec command = sample::fail_command();
  command.options.push_back({"long", "VALUE", std::string(30, 'x') + " " + std::string(90, 'y')});
  command.details += "  shearpin " + std::string(100, 'z');
  check_fits(command_help(command, "shearpin fail", sample::common()));
}
