#include "markup_check.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

namespace shearpin::report::sample {
namespace {

class Reader {
 public:
  explicit Reader(const std::string& text) : text_(text) {}

  std::vector<Tag> read() {
    const std::string doctype = "<!DOCTYPE html>\n";
    at_ = text_.rfind(doctype, 0) == 0 ? doctype.size() : 0;
    element();
    while (at_ < text_.size()) {
      require(text_[at_] == '\n', "something after the root");
      ++at_;
    }
    return tags_;
  }

 private:
  void require(bool holds, const std::string& what) const {
    if (!holds) {
      FAIL(what << " at byte " << at_ << ": " << text_.substr(at_, 80));
    }
  }

  bool next_is(const std::string& words) const {
    return text_.compare(at_, words.size(), words) == 0;
  }

  std::string name() {
    const std::size_t start = at_;
    while (at_ < text_.size() && (std::isalnum(static_cast<unsigned char>(text_[at_])) != 0 ||
                                  text_[at_] == '-' || text_[at_] == ':')) {
      ++at_;
    }
    require(at_ > start, "no name");
    return text_.substr(start, at_ - start);
  }

  /// Text up to one of `ends`, references resolved.
  std::string text_until(const std::string& ends) {
    std::string found;
    while (at_ < text_.size() && ends.find(text_[at_]) == std::string::npos) {
      require(text_[at_] != '<', "a tag where none may be");
      const auto byte = static_cast<unsigned char>(text_[at_]);
      require(byte >= 0x20 || byte == '\n' || byte == '\t', "a control character");
      if (text_[at_] == '&') {
        found += reference();
      } else {
        found += text_[at_++];
      }
    }
    require(at_ < text_.size(), "the end where there must be more");
    return found;
  }

  char reference() {
    static const std::map<std::string, char> known{
        {"&amp;", '&'}, {"&lt;", '<'}, {"&gt;", '>'}, {"&quot;", '"'}, {"&#39;", '\''}};
    for (const auto& [written, meant] : known) {
      if (next_is(written)) {
        at_ += written.size();
        return meant;
      }
    }
    require(false, "an unknown reference");
    return '?';
  }

  std::map<std::string, std::string> attributes() {
    std::map<std::string, std::string> all;
    while (at_ < text_.size() && text_[at_] == ' ') {
      ++at_;
      const std::string key = name();
      require(next_is("=\""), "an attribute without a quoted value");
      at_ += 2;
      const std::string value = text_until("\"");
      ++at_;
      require(all.emplace(key, value).second, "an attribute twice");
    }
    return all;
  }

  std::string element() {
    require(next_is("<"), "no element");
    ++at_;
    const std::size_t place = tags_.size();
    tags_.push_back({name(), {}, ""});
    tags_[place].attributes = attributes();
    if (next_is("/>")) {
      at_ += 2;
      return "";
    }
    require(next_is(">"), "a tag that does not end");
    ++at_;
    std::string inside;
    while (!next_is("</")) {
      inside += next_is("<") ? element() : text_until("<");
    }
    at_ += 2;
    const std::string closed = name();
    require(closed == tags_[place].name, "a tag closed by another");
    require(next_is(">"), "a tag that does not end");
    ++at_;
    tags_[place].text = inside;
    return inside;
  }

  const std::string& text_;
  std::size_t at_ = 0;
  std::vector<Tag> tags_;
};

}  // namespace

std::vector<Tag> elements_of(const std::string& document) { return Reader(document).read(); }

std::vector<Tag> named(const std::vector<Tag>& tags, const std::string& name) {
  std::vector<Tag> found;
  std::copy_if(tags.begin(), tags.end(), std::back_inserter(found),
               [&name](const Tag& tag) { return tag.name == name; });
  return found;
}

}  // namespace shearpin::report::sample
