#include "report/html.hpp"

#include <catch2/catch.hpp>
#include <stdexcept>

#include "markup_check.hpp"

using namespace shearpin::report;
using namespace shearpin::report::sample;

namespace {

const std::string kGone = "\xEF\xBF\xBD";

}  // namespace

TEST_CASE("html_escape leaves nothing that ends text or an attribute") {
  CHECK(html_escape("") == "");
  CHECK(html_escape("Blade fuse 15 A") == "Blade fuse 15 A");
  CHECK(html_escape("<script>alert(1)</script>") == "&lt;script&gt;alert(1)&lt;/script&gt;");
  CHECK(html_escape("\" onload='x'") == "&quot; onload=&#39;x&#39;");
  CHECK(html_escape("a & b &amp; c") == "a &amp; b &amp;amp; c");
  CHECK(html_escape("]]> --> <!-- {{") == "]]&gt; --&gt; &lt;!-- {{");
  CHECK(html_escape("two\nlines\tand a tab") == "two\nlines\tand a tab");
}

TEST_CASE("html_escape keeps other scripts and replaces what is not UTF-8") {
  CHECK(html_escape("Küche 旅行車 \xF0\x9F\x94\xA7") == "Küche 旅行車 \xF0\x9F\x94\xA7");
  // The Unicode Standard, table 3-7: the ranges just outside the well-formed ones.
  for (const std::string bad :
       {"\x80", "\xBF", "\xC0", "\xC1", "\xF5", "\xFF", "\xC2", "\xE2", "\xF0"}) {
    INFO(bad.size());
    CHECK(html_escape(bad) == kGone);
    CHECK(html_escape(bad + "<") == kGone + "&lt;");
  }
  CHECK(html_escape("\xE0\x9F\xBF") == kGone + kGone + kGone);              // overlong
  CHECK(html_escape("\xED\xA0\x80") == kGone + kGone + kGone);              // a surrogate
  CHECK(html_escape("\xF4\x90\x80\x80") == kGone + kGone + kGone + kGone);  // above U+10FFFF
  CHECK(html_escape("\xF0\x8F\xBF\xBF") == kGone + kGone + kGone + kGone);  // overlong
  CHECK(html_escape("\xED\x9F\xBF\xF4\x8F\xBF\xBD") == "\xED\x9F\xBF\xF4\x8F\xBF\xBD");
  CHECK(html_escape("\xE2\x82") == kGone + kGone);  // cut short
}

TEST_CASE("html_escape replaces controls and marks that turn the writing round") {
  CHECK(html_escape(std::string("a\0b", 3)) == "a" + kGone + "b");
  CHECK(html_escape("\x1b[31m") == kGone + "[31m");
  CHECK(html_escape("\x7f") == kGone);
  CHECK(html_escape("\xC2\x85") == kGone);       // U+0085
  CHECK(html_escape("\xC2\xA0") == "\xC2\xA0");  // U+00A0 is no control
  CHECK(html_escape("\xE2\x80\xAE"
                    "fuse") == kGone + "fuse");          // U+202E
  CHECK(html_escape("\xE2\x81\xA6") == kGone);           // U+2066
  CHECK(html_escape("\xE2\x80\xA9") == "\xE2\x80\xA9");  // U+2029 stands just before them
  CHECK(html_escape("\xEF\xBF\xBE") == kGone);           // U+FFFE
}

TEST_CASE("css_escape cannot end its string or its style sheet") {
  CHECK(css_escape("High loop 2") == "High loop 2");
  CHECK(css_escape("\"}</style>") == "\\000022 \\00007d \\00003c \\00002f style\\00003e ");
  CHECK(css_escape("a\\b\nc") == "a\\00005c b\\00000a c");
  CHECK(css_escape("grün") == "grün");
  const std::string style = html_style(Paper::letter, "\"</style><b>&", "2026-05-25");
  CHECK(style.find('<') == std::string::npos);
  CHECK(style.find('&') == std::string::npos);
  CHECK(style.find("size: letter portrait") != std::string::npos);
  CHECK(html_style(Paper::a4, "t", "d").find("size: A4 portrait") != std::string::npos);
}

TEST_CASE("an element escapes its attributes and its text") {
  const Markup made = element("a", {{"href", "\"><script>"}}, "<b>&");
  CHECK(made.text() == "<a href=\"&quot;&gt;&lt;script&gt;\">&lt;b&gt;&amp;</a>");
  const auto tags = elements_of(made.text());
  REQUIRE(tags.size() == 1);
  CHECK(tags.front().attributes.at("href") == "\"><script>");
  CHECK(tags.front().text == "<b>&");
  CHECK(element("br").text() == "<br/>");
  CHECK((words("a<") + element("br") + words("b")).text() == "a&lt;<br/>b");
}

TEST_CASE("a style sheet that could end itself is a bug") {
  CHECK_THROWS_AS(style_element("a { content: \"</style>\" }"), std::logic_error);
  CHECK(style_element("p { margin: 0 }\n").text() == "<style>\np { margin: 0 }\n</style>\n");
}
