#include "report/html.hpp"

#include <fmt/format.h>

#include <stdexcept>

#include "base/character.hpp"

namespace shearpin::report {
namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";  // U+FFFD

/// Characters that a page must not hold, or that would make it read as something else.
bool forbidden(std::int32_t code) {
  const auto between = [code](std::int32_t low, std::int32_t high) {
    return low <= code && code <= high;
  };
  const bool control = between(0x00, 0x08) || between(0x0B, 0x1F) || between(0x7F, 0x9F);
  const bool turning = between(0x202A, 0x202E) || between(0x2066, 0x2069);
  return code < 0 || control || turning || between(0xFFFE, 0xFFFF);
}

/// Every character of `text` as `write` has it, those that cannot be shown replaced.
template <class Write>
std::string each_character(std::string_view text, Write write) {
  std::string written;
  while (!text.empty()) {
    const Character next = first_character(text);
    if (forbidden(next.code)) {
      written += kReplacement;
    } else {
      write(written, text.substr(0, next.bytes));
    }
    text.remove_prefix(next.bytes);
  }
  return written;
}

std::string opening(std::string_view tag, const Attributes& attributes) {
  std::string text = fmt::format("<{}", tag);
  for (const auto& [name, value] : attributes) {
    text += fmt::format(" {}=\"{}\"", name, html_escape(value));
  }
  return text;
}

}  // namespace

std::string html_escape(std::string_view text) {
  return each_character(text, [](std::string& written, std::string_view character) {
    switch (character.front()) {
      case '&':
        written += "&amp;";
        return;
      case '<':
        written += "&lt;";
        return;
      case '>':
        written += "&gt;";
        return;
      case '"':
        written += "&quot;";
        return;
      case '\'':
        written += "&#39;";
        return;
      default:
        written += character;
    }
  });
}

std::string css_escape(std::string_view text) {
  return each_character(text, [](std::string& written, std::string_view character) {
    const char c = character.front();
    const bool plain = character.size() > 1 || c == ' ' || (c >= '0' && c <= '9') ||
                       (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    // Six digits, so that what follows is not read as part of the number; and the blank that ends
    // it, or a blank that follows would be taken for that.
    written += plain
                   ? std::string(character)
                   : fmt::format("\\{:06x} ", static_cast<unsigned>(static_cast<unsigned char>(c)));
  });
}

Markup words(std::string_view text) { return Markup(html_escape(text)); }

Markup written_markup(std::string text) { return Markup(std::move(text)); }

Markup element(std::string_view tag, const Attributes& attributes, const Markup& content) {
  return written_markup(fmt::format("{}>{}</{}>", opening(tag, attributes), content.text(), tag));
}

Markup element(std::string_view tag, const Attributes& attributes, std::string_view text) {
  return element(tag, attributes, words(text));
}

Markup element(std::string_view tag, const Attributes& attributes) {
  return written_markup(opening(tag, attributes) + "/>");
}

Markup style_element(const std::string& rules) {
  if (rules.find_first_of("<&") != std::string::npos) {
    throw std::logic_error("a style sheet that could end itself");
  }
  return written_markup("<style>\n" + rules + "</style>\n");
}

std::string html_document(const Markup& head, const Markup& body) {
  const Markup page =
      element("html", {{"lang", "en"}}, element("head", {}, head) + element("body", {}, body));
  return "<!DOCTYPE html>\n" + page.text() + "\n";
}

}  // namespace shearpin::report
