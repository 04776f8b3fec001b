#pragma once
/// Markup for HTML and SVG that cannot be forgotten to be escaped: text becomes Markup only through
/// html_escape. Written so that it is well-formed XML too: every element is closed.

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "report/answers.hpp"
#include "report/text_table.hpp"

namespace shearpin::report {

/// `text` for an element's content or a quoted attribute: & < > " ' as character references. What
/// is not UTF-8 (Unicode Standard, table 3-7), control characters other than line feed and tab,
/// marks that turn the direction of writing, and U+FFFE and U+FFFF become U+FFFD.
std::string html_escape(std::string_view text);

/// `text` for a CSS string between double quotes: all but ASCII letters, digits, blanks and whole
/// characters above ASCII as escapes, so that it can end neither the string nor the style sheet.
std::string css_escape(std::string_view text);

/// A piece of a document, escaped already.
class Markup {
 public:
  Markup() = default;

  Markup& operator+=(const Markup& more) {
    text_ += more.text_;
    return *this;
  }
  friend Markup operator+(Markup first, const Markup& second) { return first += second; }

  bool empty() const { return text_.empty(); }
  const std::string& text() const { return text_; }

 private:
  explicit Markup(std::string text) : text_(std::move(text)) {}
  friend Markup words(std::string_view text);
  friend Markup written_markup(std::string text);

  std::string text_;
};

/// Names and values; the values are escaped by whoever takes them.
using Attributes = std::vector<std::pair<std::string_view, std::string>>;

/// Text of any origin.
Markup words(std::string_view text);

/// `<tag a="b">content</tag>`. The tag and the names of the attributes are the program's own.
Markup element(std::string_view tag, const Attributes& attributes, const Markup& content);
Markup element(std::string_view tag, const Attributes& attributes, std::string_view text);

/// `<tag a="b"/>`, for elements without content.
Markup element(std::string_view tag, const Attributes& attributes = {});

/// `<style>` with the program's own rules; std::logic_error where they hold `<` or `&`.
Markup style_element(const std::string& rules);

/// How the page looks, on a screen and on paper. `title` and `as_of` stand at the head of each
/// printed page with its number, where the browser prints page margins.
std::string html_style(Paper paper, std::string_view title, std::string_view as_of);

/// A table with a caption and named heads. The first flexible column heads its row; the phrases
/// below go into a second row over the whole width, one group with the first. A kTickBox becomes an
/// empty square. Stands in a box that scrolls sideways where the page is too narrow.
Markup html_table(const TextTable& table, std::string_view caption);

/// The document type and the whole of the page.
std::string html_document(const Markup& head, const Markup& body);

}  // namespace shearpin::report
