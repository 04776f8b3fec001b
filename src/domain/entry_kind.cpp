#include "domain/word_list.hpp"
#include "shearpin/domain/draft.hpp"

namespace shearpin::domain {
namespace {

constexpr Word<EntryKind> kEntryKinds[] = {{EntryKind::add, "add"},
                                           {EntryKind::set, "set"},
                                           {EntryKind::retire, "retire"},
                                           {EntryKind::policy, "policy"},
                                           {EntryKind::fit, "fit"},
                                           {EntryKind::fail, "fail"},
                                           {EntryKind::renew, "renew"},
                                           {EntryKind::use, "use"},
                                           {EntryKind::lose, "lose"},
                                           {EntryKind::scrap, "scrap"},
                                           {EntryKind::test, "test"},
                                           {EntryKind::reading, "reading"},
                                           {EntryKind::stay, "stay"},
                                           {EntryKind::condition, "condition"},
                                           {EntryKind::fault_open, "fault-open"},
                                           {EntryKind::fault_close, "fault-close"},
                                           {EntryKind::attribute, "attribute"},
                                           {EntryKind::order, "order"},
                                           {EntryKind::cancel_order, "cancel-order"},
                                           {EntryKind::receive, "receive"},
                                           {EntryKind::move, "move"},
                                           {EntryKind::count, "count"},
                                           {EntryKind::quarantine, "quarantine"},
                                           {EntryKind::trip, "trip"},
                                           {EntryKind::undo, "undo"}};

}  // namespace

std::string_view to_text(EntryKind value) { return spell<EntryKind>(kEntryKinds, value); }

EntryKind parse_entry_kind(std::string_view text) {
  return read_word<EntryKind>(kEntryKinds, text, "kind of entry");
}

}  // namespace shearpin::domain
