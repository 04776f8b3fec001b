#include <catch2/catch.hpp>

#include "cli/command.hpp"
#include "sample_commands.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::cli;
using Catch::Contains;

namespace {

using Words = std::vector<std::string>;

const std::vector<CommandSpec> kCommands = sample::commands();
const std::vector<OptionSpec> kCommon = sample::common();

ParseOutcome parse(const Words& words) { return parse_command_line(words, kCommands, kCommon); }

Arguments arguments_of(const Words& words) {
  const auto outcome = parse(words);
  REQUIRE(outcome.parsed.has_value());
  CHECK(outcome.help_text.empty());
  return outcome.parsed->arguments;
}

std::string command_of(const Words& words) {
  const auto outcome = parse(words);
  REQUIRE(outcome.parsed.has_value());
  return outcome.parsed->command->name;
}

/// What the refusal of `words` says.
std::string refusal_of(const Words& words) {
  try {
    parse(words);
  } catch (const UsageError& error) {
    return error.what();
  }
  FAIL("was not refused");
  return "";
}

}  // namespace

TEST_CASE("a command gets its words and options as text") {
  const auto arguments =
      arguments_of({"fail", "water pump", "--on", "3d ago", "--count", "010", "--repaired"});
  CHECK(arguments.command() == "shearpin fail");
  CHECK(arguments.text("POSITION") == "water pump");
  CHECK(arguments.text("on") == "3d ago");
  CHECK(arguments.text("count") == "010");
  CHECK(arguments.flag("repaired"));
  CHECK_FALSE(arguments.flag("left-dead"));
  CHECK_FALSE(arguments.has("with"));
}

TEST_CASE("options come in any order, with a space or an equals sign") {
  const auto arguments = arguments_of({"fail", "--on=2026-08-03", "t9", "--note", "a=b"});
  CHECK(arguments.text("POSITION") == "t9");
  CHECK(arguments.text("on") == "2026-08-03");
  CHECK(arguments.text("note") == "a=b");
}

TEST_CASE("common options stand before or after the command") {
  for (const Words& words : {Words{"--ledger", "x.db", "fail", "t9", "--dry-run"},
                             Words{"--dry-run", "fail", "--ledger=x.db", "t9"}}) {
    const auto arguments = arguments_of(words);
    CHECK(arguments.text("ledger") == "x.db");
    CHECK(arguments.flag("dry-run"));
    CHECK(arguments.text("POSITION") == "t9");
  }
}

TEST_CASE("an option's value may be the name of a command") {
  CHECK(command_of({"--ledger", "now", "fail", "t9"}) == "fail");
  CHECK(arguments_of({"use", "fail"}).text("PART") == "fail");
}

TEST_CASE("the command of a family is found by its second word") {
  const auto arguments =
      arguments_of({"rig", "--ledger", "x.db", "add", "truck", "--name", "Our truck"});
  CHECK(arguments.command() == "shearpin rig add");
  CHECK(arguments.text("KEY") == "truck");
  CHECK(arguments.text("name") == "Our truck");
  CHECK(command_of({"policy", "set", "x"}) == "set");
  CHECK(arguments_of({"policy", "x"}).text("NAME") == "x");
  CHECK(command_of({"policy"}) == "policy");
}

TEST_CASE("without a command what is due is meant") {
  CHECK(command_of({}) == "now");
  CHECK(command_of({"--ledger", "x.db"}) == "now");
  CHECK_THROWS_AS(parse_command_line({}, {}, {}), UsageError);
}

TEST_CASE("optional and repeated words") {
  CHECK(arguments_of({"use", "fuse"}).text("N") == std::nullopt);
  CHECK(arguments_of({"use", "fuse", "2"}).text("N") == "2");
  CHECK(arguments_of({"import", "a.csv", "--dry-run", "b.csv"}).list("FILE") ==
        Words{"a.csv", "b.csv"});
}

TEST_CASE("an option that may be repeated keeps all its values and no words") {
  const auto arguments = arguments_of({"report", "--use", "km=900", "--use", "h=20"});
  CHECK(arguments.list("use") == Words{"km=900", "h=20"});
  const auto failed = arguments_of({"fail", "--note", "one", "t9", "--note=two"});
  CHECK(failed.list("note") == Words{"one", "two"});
  CHECK(failed.text("POSITION") == "t9");
}

TEST_CASE("a short option takes its value joined or apart") {
  CHECK(arguments_of({"report", "-o", "x.txt"}).text("output") == "x.txt");
  CHECK(arguments_of({"report", "-ox.txt"}).text("output") == "x.txt");
  CHECK(arguments_of({"report", "--output", "x.txt"}).text("output") == "x.txt");
}

TEST_CASE("a command's own option goes before the common one of the same name") {
  CHECK(arguments_of({"report", "--format", "html"}).text("format") == "html");
}

TEST_CASE("negative numbers and a lone dash are words") {
  CHECK(arguments_of({"use", "fuse", "-5"}).text("N") == "-5");
  CHECK(arguments_of({"use", "fuse", "-5.5"}).text("N") == "-5.5");
  CHECK(arguments_of({"use", "fuse", "-5in"}).text("N") == "-5in");
  CHECK(arguments_of({"fail", "t9", "--count", "-5"}).text("count") == "-5");
  CHECK(arguments_of({"import", "-"}).list("FILE") == Words{"-"});
}

TEST_CASE("after two dashes nothing is an option") {
  const auto arguments = arguments_of({"use", "--dry-run", "--", "--odd", "-x"});
  CHECK(arguments.text("PART") == "--odd");
  CHECK(arguments.text("N") == "-x");
  CHECK(arguments.flag("dry-run"));
  CHECK(arguments_of({"use", "--", "--help"}).text("PART") == "--help");
  CHECK(arguments_of({"use", "fuse", "--"}).text("PART") == "fuse");
  CHECK(arguments_of({"use", "--", "--"}).text("PART") == "--");
  CHECK(command_of({"--", "use", "fuse"}) == "use");
}

TEST_CASE("text is kept as it was typed") {
  const auto text = GENERATE("[a,b]", "{}", "a%%b", "\"q\"", "'q'", "--", "a,b", "", " x ", "++",
                             "[]", "\xff", "a\nb", "-1", "=x");
  CAPTURE(text);
  CHECK(arguments_of({"fail", "t9", std::string("--note=x") + text}).text("note") ==
        std::string("x") + text);
  if (std::string(text) != "--") {
    CHECK(arguments_of({"fail", "t9", "--note", text}).text("note") == text);
    CHECK(arguments_of({"use", text}).text("PART") == text);
    CHECK(arguments_of({"import", text, text}).list("FILE") == Words{text, text});
  }
}

TEST_CASE("a mistyped command names the nearest") {
  CHECK_THAT(refusal_of({"fial", "t9"}), Contains("\"fial\"") && Contains("nearest: fail"));
  CHECK_THAT(refusal_of({"rig", "ad"}),
             Contains("no command of \"shearpin rig\"") && Contains("add"));
  CHECK_THAT(refusal_of({"xylophone"}), Contains("shearpin --help") && !Contains("nearest"));
}

TEST_CASE("a second word typed first is put in its place") {
  CHECK_THAT(refusal_of({"add", "rig"}), Contains("\"shearpin rig add\""));
}

TEST_CASE("a family without its second word lists them") {
  CHECK_THAT(refusal_of({"rig"}), Contains("needs one of add, show"));
}

TEST_CASE("a mistyped option names the nearest") {
  CHECK_THAT(refusal_of({"fail", "t9", "--repared"}),
             Contains("\"--repared\"") && Contains("nearest: --repaired"));
  CHECK_THAT(refusal_of({"fail", "t9", "--cuont=2"}), Contains("--count") && !Contains("=2"));
  CHECK_THAT(refusal_of({"fail", "t9", "--dryrun"}), Contains("--dry-run"));
  CHECK_THAT(refusal_of({"fail", "t9", "-x"}), Contains("\"-x\""));
  CHECK_THAT(refusal_of({"use", "fuse", "--on", "today"}), Contains("shearpin use --help"));
}

TEST_CASE("a command's option before the command is told where it stands") {
  CHECK_THAT(refusal_of({"--on", "today", "fail", "t9"}), Contains("stand after it"));
}

TEST_CASE("an option without its value is refused") {
  CHECK_THAT(refusal_of({"fail", "t9", "--on"}), Contains("--on needs a value: --on DATE"));
  CHECK_THAT(refusal_of({"fail", "t9", "--on="}), Contains("--on needs a value: --on DATE"));
  CHECK_THAT(refusal_of({"fail", "t9", "--on", "--count", "2"}), Contains("--on needs a value"));
  CHECK_THAT(refusal_of({"fail", "t9", "--on", "--"}), Contains("--on needs a value"));
  CHECK_THAT(refusal_of({"report", "-o"}), Contains("-o needs a value"));
}

TEST_CASE("a switch with a value is refused") {
  CHECK_THAT(refusal_of({"fail", "t9", "--repaired=no"}), Contains("takes no value"));
}

TEST_CASE("an option given twice is refused") {
  CHECK_THAT(refusal_of({"fail", "t9", "--on", "today", "--on", "yesterday"}),
             Contains("--on is given 2 times"));
  CHECK_THAT(refusal_of({"--ledger", "a", "now", "--ledger", "b"}),
             Contains("--ledger is given 2 times"));
  CHECK_THAT(refusal_of({"fail", "t9", "--repaired", "--repaired"}), Contains("2 times"));
}

TEST_CASE("options that exclude each other are refused together") {
  CHECK_THAT(refusal_of({"fail", "t9", "--repaired", "--stand-in", "string"}),
             Contains("--repaired and --stand-in exclude each other"));
}

TEST_CASE("a missing word is named with its meaning and the usage") {
  CHECK_THAT(refusal_of({"fail"}), Contains("POSITION is missing (what failed") &&
                                       Contains("shearpin fail POSITION [OPTIONS]"));
  CHECK_THAT(refusal_of({"import"}), Contains("FILE is missing"));
  CHECK_THAT(refusal_of({"rig", "add"}), Contains("shearpin rig add KEY"));
}

TEST_CASE("a word too many is named") {
  CHECK_THAT(refusal_of({"fail", "t9", "--on", "3d", "ago"}),
             Contains("\"ago\" is a word too many") && Contains("\"3d ago\""));
  CHECK_THAT(refusal_of({"now", "then"}), Contains("\"then\""));
}

TEST_CASE("the version is asked for by its option alone") {
  CHECK(parse({"--version"}).version);
  CHECK_FALSE(parse({"now"}).version);
}
