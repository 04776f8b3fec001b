#include "report/html.hpp"

#include <fmt/format.h>

#include <stdexcept>

namespace shearpin::report {
namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";  // U+FFFD

bool between(std::string_view text, std::size_t at, unsigned char low, unsigned char high) {
  if (at >= text.size()) {
    return false;
  }
  const auto byte = static_cast<unsigned char>(text[at]);
  return low <= byte && byte <= high;
}

bool continues(std::string_view text, std::size_t at) { return between(text, at, 0x80, 0xBF); }

/// The second byte's range, which keeps out overlong forms, surrogates and what is above U+10FFFF.
bool second_fits(std::string_view text) {
  switch (static_cast<unsigned char>(text.front())) {
    case 0xE0:
      return between(text, 1, 0xA0, 0xBF);
    case 0xED:
      return between(text, 1, 0x80, 0x9F);
    case 0xF0:
      return between(text, 1, 0x90, 0xBF);
    case 0xF4:
      return between(text, 1, 0x80, 0x8F);
    default:
      return continues(text, 1);
  }
}

/// Bytes of the character that `text`, not empty, begins with; 0 where that is not UTF-8.
std::size_t character_bytes(std::string_view text) {
  if (between(text, 0, 0x00, 0x7F)) {
    return 1;
  }
  if (between(text, 0, 0xC2, 0xDF)) {
    return continues(text, 1) ? 2 : 0;
  }
  if (between(text, 0, 0xE0, 0xEF)) {
    return second_fits(text) && continues(text, 2) ? 3 : 0;
  }
  if (between(text, 0, 0xF0, 0xF4)) {
    return second_fits(text) && continues(text, 2) && continues(text, 3) ? 4 : 0;
  }
  return 0;
}

/// Characters that a page must not hold, or that would make it read as something else.
bool forbidden(std::string_view character) {
  if (character.size() == 1) {
    return between(character, 0, 0x00, 0x08) || between(character, 0, 0x0B, 0x1F) ||
           character == "\x7F";
  }
  const bool c1 = character.size() == 2 && character[0] == '\xC2' && between(character, 1, 0, 0x9F);
  const bool embedding = character >= "\xE2\x80\xAA" && character <= "\xE2\x80\xAE";
  const bool isolate = character >= "\xE2\x81\xA6" && character <= "\xE2\x81\xA9";
  const bool none = character == "\xEF\xBF\xBE" || character == "\xEF\xBF\xBF";
  return c1 || embedding || isolate || none;
}

/// Every character of `text` as `write` has it, those that cannot be shown replaced.
template <class Write>
std::string each_character(std::string_view text, Write write) {
  std::string written;
  while (!text.empty()) {
    const std::size_t bytes = character_bytes(text);
    const std::string_view character = text.substr(0, bytes);
    if (bytes == 0 || forbidden(character)) {
      written += kReplacement;
    } else {
      write(written, character);
    }
    text.remove_prefix(bytes == 0 ? 1 : bytes);
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
