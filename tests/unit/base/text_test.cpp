#include "base/text.hpp"

#include <catch2/catch.hpp>

#include "shearpin/base/error.hpp"

using namespace shearpin;

TEST_CASE("white space is trimmed at both ends only") {
  CHECK(trimmed("  a b\t\r\n") == "a b");
  CHECK(trimmed(" \t ").empty());
  CHECK(trimmed("").empty());
}

TEST_CASE("lower case touches ASCII letters only") {
  CHECK(lower_case("Water-PUMP 12V") == "water-pump 12v");
  CHECK(lower_case("K\u00dcHL") == "k\u00dchl");
}

TEST_CASE("the search form drops case and accents") {
  CHECK(search_form("Water-PUMP 12V") == "water-pump 12v");
  CHECK(search_form("K\u00dcHLER") == "kuhler");
  CHECK(search_form("ku\u0308hler") == "kuhler");
  CHECK(search_form("Stra\u00dfe") == "strasse");
  CHECK(search_form("\u0416\u0423\u041a") == search_form("\u0436\u0443\u043a"));
  CHECK(search_form("A\xff") == "a\xff");
  CHECK(search_form("").empty());
}

TEST_CASE("splitting keeps empty pieces") {
  CHECK(split("a,b", ',') == std::vector<std::string>{"a", "b"});
  CHECK(split(",a,", ',') == std::vector<std::string>{"", "a", ""});
  CHECK(split("", ',') == std::vector<std::string>{""});
}

TEST_CASE("words are joined as people list them") {
  CHECK(join_words({}).empty());
  CHECK(join_words({"a"}) == "a");
  CHECK(join_words({"a", "b"}) == "a and b");
  CHECK(join_words({"a", "b", "c"}) == "a, b and c");
  CHECK(join({"a", "b"}, "; ") == "a; b");
  CHECK(join({}, "; ").empty());
}

TEST_CASE("a noun takes an s unless there is one") {
  CHECK(counted(1, "piece") == "1 piece");
  CHECK(counted(3, "piece") == "3 pieces");
  CHECK(counted(0, "piece") == "0 pieces");
}

TEST_CASE("quoting shows control characters as question marks and cuts long text") {
  CHECK(quoted("fuse 15 A") == "\"fuse 15 A\"");
  CHECK(quoted("a\x1b[31mb\n") == "\"a?[31mb?\"");
  CHECK(quoted("") == "\"\"");
  CHECK(quoted(std::string(60, 'x')) == '"' + std::string(60, 'x') + '"');
  CHECK(quoted(std::string(61, 'x')) == '"' + std::string(60, 'x') + "...\"");
}

TEST_CASE("edit distance counts inserts, deletes, replacements and swaps of neighbours") {
  // "kitten" to "sitting" is the textbook pair of distance 3 (Wagner and Fischer's table).
  CHECK(edit_distance("kitten", "sitting") == 3);
  CHECK(edit_distance("", "abc") == 3);
  CHECK(edit_distance("abc", "") == 3);
  CHECK(edit_distance("fridge", "frige") == 1);
  CHECK(edit_distance("fridge", "firdge") == 1);
  CHECK(edit_distance("pump", "pump") == 0);
  CHECK(edit_distance("pump", "Pump") == 1);
  // Optimal string alignment edits no substring twice: 3, where the unrestricted distance is 2.
  CHECK(edit_distance("ca", "abc") == 3);
}

TEST_CASE("edit distance is symmetric and zero only for equal words") {
  const std::vector<std::string> words = {"", "a", "ab", "ba", "abc", "acb", "bca", "fuse", "fuze"};
  for (const auto& a : words) {
    for (const auto& b : words) {
      CHECK(edit_distance(a, b) == edit_distance(b, a));
      CHECK((edit_distance(a, b) == 0) == (a == b));
    }
  }
}

TEST_CASE("display width counts columns, not bytes") {
  // Widths by Unicode Standard Annex 11 (wide letters) and general category Mn (combining marks).
  CHECK(display_width("abc") == 3);
  CHECK(display_width("") == 0);
  CHECK(display_width("K\u00fchler") == 6);
  CHECK(display_width("\u51b7\u8535\u5eab") == 6);
  CHECK(display_width("e\u0301") == 1);
}

TEST_CASE("invalid bytes take a column each") {
  CHECK(display_width("a\xff\xfe") == 3);
  CHECK(display_width("\xe5\x86") == 2);
}

TEST_CASE("a prefix within columns ends between characters") {
  CHECK(prefix_within("abc", 2) == 2);
  CHECK(prefix_within("abc", 9) == 3);
  CHECK(prefix_within("", 2) == 0);
  CHECK(prefix_within("abc", 0) == 1);
  CHECK(prefix_within("\u51b7\u8535", 3) == 3);
  CHECK(prefix_within("\u51b7\u8535", 1) == 3);
  CHECK(prefix_within("e\u0301f", 1) == 3);
}

TEST_CASE("keys are short lower-case words") {
  CHECK(is_key("fuse-15"));
  CHECK(is_key("2nd_pump"));
  CHECK(is_key(std::string(40, 'a')));
  const auto text = GENERATE("", "-a", "_a", "Fuse", "fuse 15", "k\u00fchler", "a/b", "a.b");
  CAPTURE(text);
  CHECK_FALSE(is_key(text));
  CHECK_FALSE(is_key(std::string(41, 'a')));
}

TEST_CASE("a key is lower-cased, or refused with a near one that would do") {
  CHECK(parse_key(" Fuse-15 ", "part") == "fuse-15");
  CHECK_THROWS_AS(parse_key("Water Pump!", "part"), InputError);
  CHECK_THROWS_WITH(parse_key("Water Pump!", "part"),
                    Catch::Contains("part key \"Water Pump!\"") && Catch::EndsWith("water-pump"));
  CHECK_THROWS_WITH(parse_key("", "bin"), Catch::Contains("for example"));
}
