#pragma once
/// What `KIND add|set|show|list|retire` needs to know of each kind of master data.

#include <string>
#include <string_view>
#include <vector>

#include "cli/session.hpp"
#include "domain/fields.hpp"

namespace shearpin::cli {

/// One kind, tied to its list in the catalogue and to its look-up by a forgiving name.
template <class T>
struct MasterKind {
  std::string_view word;     ///< "part"
  std::string_view summary;  ///< of the command
  std::string_view example;  ///< of `add`, without the program's name
  std::string_view next;     ///< after adding; {} is the key
  std::vector<T> domain::Catalogue::*list;
  const T& (*find)(Session&, const std::string&);
};

template <class T>
const MasterKind<T>& master_kind();

}  // namespace shearpin::cli
