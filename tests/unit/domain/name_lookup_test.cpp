#include "domain/name_lookup.hpp"

#include <catch2/catch.hpp>

using namespace shearpin::domain;

namespace {

using Hits = std::vector<std::size_t>;

/// Places and parts of an invented rig.
const std::vector<NameEntry> kEntries = {
    {"t17", "Inverter fuse", {}, "living box"},                          // 0
    {"t18", "Water pump fuse 10 A", {}, "living box"},                   // 1
    {"t19", "Heater fuse 20 A", {}, "living box"},                       // 2
    {"l21", "Sample fridge fuse 15 A", {"cold box fuse"}, "lab"},        // 3
    {"t9", "Fresh water pump", {"the pump", "Old Faithful"}, "galley"},  // 4
    {"l14", "Breakaway battery", {}, "drawbar"},                         // 5
    {"t25", "Alternator belt", {}, "engine bay"},                        // 6
    {"t26", "Heater glow plug", {"glow plug"}, "living box"},            // 7
    {"grey-valve", "Grey tank valve", {}, "under floor"},                // 8
    {"t30", "Wheel nuts M14", {}, "chassis"},                            // 9
};

NameMatches find(std::string_view query) { return find_name(query, kEntries); }

void check(std::string_view query, MatchStep step, const Hits& hits) {
  CAPTURE(query);
  const NameMatches matches = find(query);
  CHECK(static_cast<int>(matches.step) == static_cast<int>(step));
  CHECK(matches.hits == hits);
}

}  // namespace

TEST_CASE("an exact key is found in any case") {
  check("t9", MatchStep::exact_key, {4});
  check(" T9 ", MatchStep::exact_key, {4});
  check("Grey-Valve", MatchStep::exact_key, {8});
}

TEST_CASE("a space may stand for the hyphen of a key") {
  check("grey valve", MatchStep::exact_key, {8});
  check("GREY_VALVE", MatchStep::exact_key, {8});
}

TEST_CASE("an exact key wins over a longer key that begins with it") {
  const std::vector<NameEntry> entries = {{"pump-seal", "", {}, ""}, {"pump", "", {}, ""}};
  CHECK(find_name("pump", entries).hits == Hits{1});
}

TEST_CASE("the start of just one key is enough") {
  check("gre", MatchStep::key_prefix, {8});
  check("grey-v", MatchStep::key_prefix, {8});
  check("g", MatchStep::key_prefix, {8});
}

TEST_CASE("the start of several keys leaves the choice to the later steps") {
  const std::vector<NameEntry> entries = {
      {"locker-1", "Left", {}, ""}, {"locker-2", "Right", {}, ""}, {"b3", "Locker", {}, ""}};
  const auto named = find_name("locker", entries);
  CHECK(named.step == MatchStep::name_or_nickname);
  CHECK(named.hits == Hits{2});
  const auto several = find_name("lock", entries);
  CHECK(several.step == MatchStep::words);
  CHECK(several.hits == Hits{0, 1, 2});
}

TEST_CASE("a whole name or nickname is found whatever its case and punctuation") {
  check("inverter FUSE", MatchStep::name_or_nickname, {0});
  check("breakaway-battery", MatchStep::name_or_nickname, {5});
  check("old faithful", MatchStep::name_or_nickname, {4});
  check("the pump", MatchStep::name_or_nickname, {4});
  check("glow plug", MatchStep::name_or_nickname, {7});
  check("sample fridge fuse 15A", MatchStep::name_or_nickname, {3});
}

TEST_CASE("words are found in any order and shortened") {
  check("fuse fridge", MatchStep::words, {3});
  check("fuse 15", MatchStep::words, {3});
  check("15a fuse", MatchStep::words, {3});
  check("fri fu", MatchStep::words, {3});
  check("drawbar battery", MatchStep::words, {5});
  check("belt", MatchStep::words, {6});
  check("l21 fuse", MatchStep::words, {3});
}

TEST_CASE("several hits by words are all given, in the order of the entries") {
  check("fuse", MatchStep::words, {0, 1, 2, 3});
  check("living box", MatchStep::words, {0, 1, 2, 7});
  check("water pump", MatchStep::words, {1, 4});
  check("heat", MatchStep::words, {2, 7});
}

TEST_CASE("whole words win over starts of words where that leaves one") {
  const std::vector<NameEntry> entries = {
      {"a", "Pumphouse lamp", {}, ""}, {"b", "Bilge pump", {}, ""}, {"c", "Pumping rod", {}, ""}};
  CHECK(find_name("pump", entries).hits == Hits{1});
  CHECK(find_name("pum", entries).hits == Hits{0, 1, 2});
}

TEST_CASE("a misspelt word is forgiven") {
  check("frige fuse", MatchStep::close_spelling, {3});
  check("fuse frigde", MatchStep::close_spelling, {3});
  check("alternater belt", MatchStep::close_spelling, {6});
  check("altrenater", MatchStep::close_spelling, {6});
  check("brakeaway", MatchStep::close_spelling, {5});
  check("wheels nut", MatchStep::close_spelling, {9});
  check("fuze", MatchStep::close_spelling, {0, 1, 2, 3});
}

TEST_CASE("a misspelt key is forgiven as a whole") {
  check("greyvalve", MatchStep::close_spelling, {8});
  check("gray-velve", MatchStep::close_spelling, {8});
}

TEST_CASE("short words must be spelt rightly") {
  // Three letters: one edit would turn nearly any word into any other.
  check("bex", MatchStep::none, {});
  // Two edits in a word of seven letters are one too many.
  check("hrater belp", MatchStep::none, {});
}

TEST_CASE("a number is neither shortened nor misspelt") {
  const std::vector<NameEntry> entries = {{"fuse-150", "Main fuse 150 A", {}, ""},
                                          {"blade-16", "Blade fuse 16 A", {}, ""},
                                          {"m12-nut", "Nut M12", {}, ""}};
  for (const char* query : {"fuse-15", "fuse 15", "blade fuse 15", "blade-15", "15", "1", "m1",
                            "m1 nut", "bladee-15"}) {
    CAPTURE(query);
    CHECK(find_name(query, entries).step == MatchStep::none);
  }
  CHECK(find_name("fuse-", entries).hits == Hits{0});
  CHECK(find_name("balde-16", entries).hits == Hits{1});
  CHECK(find_name("blade 16", entries).step == MatchStep::exact_key);
}

TEST_CASE("a decimal number is one word") {
  const std::vector<NameEntry> entries = {{"a", "Fuse 7.5 A", {}, ""}, {"b", "Fuse 5 A", {}, ""}};
  CHECK(find_name("fuse 5", entries).hits == Hits{1});
  CHECK(find_name("fuse 7.5a", entries).hits == Hits{0});
  CHECK(find_name("fuse 7", entries).hits.empty());
}

TEST_CASE("accents and letters beyond ASCII do not matter") {
  const std::vector<NameEntry> entries = {{"a", "K\u00fchler Stra\u00dfe", {}, ""},
                                          {"b", "\u041d\u0430\u0441\u043e\u0441", {}, ""}};
  CHECK(find_name("kuhler", entries).hits == Hits{0});
  CHECK(find_name("K\u00dcHLER STRASSE", entries).step == MatchStep::name_or_nickname);
  CHECK(find_name("\u043d\u0430\u0441\u043e\u0441", entries).hits == Hits{1});
}

TEST_CASE("no hit suggests the nearest three, nearest first") {
  const NameMatches matches = find("fridgelamp");
  CHECK(matches.step == MatchStep::none);
  CHECK(matches.hits.empty());
  REQUIRE(matches.suggestions.size() == 3);
  CHECK(matches.suggestions.front() == 3);
}

TEST_CASE("nothing in common suggests nothing") {
  CHECK(find_name("zzz", std::vector<NameEntry>{{"a", "Pump", {}, ""}}).suggestions.empty());
}

TEST_CASE("two entries with one key are both given") {
  const std::vector<NameEntry> entries = {{"x", "A", {}, ""}, {"x", "B", {}, ""}};
  CHECK(find_name("x", entries).hits == Hits{0, 1});
}

TEST_CASE("an empty query and an empty list find nothing") {
  check("", MatchStep::none, {});
  check("  -- ", MatchStep::none, {});
  CHECK(find("").suggestions.empty());
  CHECK(find_name("pump", {}).hits.empty());
  CHECK(find_name("pump", std::vector<NameEntry>{{"", "", {}, ""}}).suggestions.empty());
}

TEST_CASE("every entry is found by its own key, name and words reversed") {
  for (std::size_t i = 0; i < kEntries.size(); ++i) {
    check(kEntries[i].key, MatchStep::exact_key, {i});
    check(kEntries[i].name, MatchStep::name_or_nickname, {i});
  }
}
