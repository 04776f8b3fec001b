#pragma once
/// Reads a document the way an XML processor must (Extensible Markup Language 1.0, fifth edition:
/// productions 39-44 elements, 10 attribute values, 66-68 references), without namespaces and DTDs.

#include <map>
#include <string>
#include <vector>

namespace shearpin::report::sample {

struct Tag {
  std::string name;
  std::map<std::string, std::string> attributes;  ///< references resolved
  std::string text;                               ///< all text inside, elements within included
};

/// The elements in the order they begin. Fails the running test at the first thing that is not
/// well-formed: a tag left open or closed twice, `<` or a bare `&` in text, an attribute twice or
/// without quotes, a reference that is neither a number nor one of the five names, two roots.
std::vector<Tag> elements_of(const std::string& document);

/// Those named so.
std::vector<Tag> named(const std::vector<Tag>& tags, const std::string& name);

}  // namespace shearpin::report::sample
