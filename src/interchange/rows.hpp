#pragma once
/// Rows of import files as plain values. Words are read as far as no ledger is needed (dates,
/// counts, money, word lists); names of things stay as typed and are resolved when a row is
/// applied, as they would be on the command line. The format is described in docs/import-files.md.

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "shearpin/base/date.hpp"
#include "shearpin/base/money.hpp"
#include "shearpin/domain/vocabulary.hpp"

namespace shearpin::interchange {

/// What a file holds, in the order in which kinds without a date are applied.
enum class Kind {
  safety_notes,
  classes,
  rigs,
  meters,
  bins,
  suppliers,
  parts,
  positions,
  substitutes,  // master
  fitted,
  stock,
  readings,
  conditions,
  orders,
  history,
  counts,
  trips
};

/// `safety-notes`, `classes`, ... as in file names and `--kind`.
std::string_view to_text(Kind kind);
/// Throws InputError naming the word and the list.
Kind parse_kind(std::string_view text);
/// True for the kinds that hold MasterRow.
bool is_master(Kind kind);

/// One refused value; an import with any refusal writes nothing.
struct Refusal {
  std::string file;
  std::size_t line = 0;  ///< physical line where the row begins, header = 1; 0: the whole file
  std::string column;    ///< as in docs/import-files.md; empty: the row
  std::string value;     ///< as met; empty: nothing there
  std::string rule;
  friend bool operator==(const Refusal&, const Refusal&) = default;
};

/// One thing of master data: what `KIND add KEY --FIELD VALUE ...` would be given. Only fields with
/// a value; names as in domain/fields.hpp with underscores for hyphens, `key`
/// first.
struct MasterRow {
  std::vector<std::pair<std::string, std::string>> fields;
  /// The value of a field, or nothing.
  const std::string* find(std::string_view name) const;
};

/// `fit POSITION[/UNIT] [PART]` from outside the stores: aboard when the ledger began.
struct FittedRow {
  Date date;
  std::string position;
  std::optional<int> unit;    ///< none: all empty units
  std::string part, no_part;  ///< one of them
  std::string age;            ///< empty: new; `unknown`; or an amount in the position's unit
  std::optional<Date> made, ends;
  std::string note;
};

/// Pieces in a bin when the ledger began (they come from domain::Outside::before).
struct StockRow {
  Date date;
  std::string part, bin;  ///< bin empty: the part's home bin
  std::int64_t quantity = 1;
  std::string batch;
  std::optional<Date> made, ends;
  domain::LotState state = domain::LotState::fresh;
  std::string age;
  std::optional<Money> cost;  ///< per piece
  bool quarantined = false;
  std::string note;
};

/// `meter read METER VALUE`, or `undo` of the reading whose id is `undoes` (then value is empty).
/// A wide row gives one ReadingRow a filled cell, all with the same line.
struct ReadingRow {
  Date date;
  std::string meter;  ///< as typed or the column's heading: hyphen, space and underscore are alike
  std::string value;  ///< amount in the meter's unit, decimal sign a point
  bool replaced = false;
  std::optional<Date> recorded;
  std::string id, undoes, note;
};

/// `condition add`.
struct ConditionRow {
  std::string condition, rig;  ///< rig empty: all rigs
  Date from;
  std::optional<Date> to;
  std::string note;
};

/// `order PART N --supplier S`. One line of an orders file gives an OrderRow, and a ReceiptRow
/// where it has a day of receipt.
struct OrderRow {
  Date date;
  std::string number, part, supplier;
  std::int64_t quantity = 1;
  std::optional<Money> cost;  ///< for the line
  std::optional<Date> promised;
  std::string to, note;
};

/// `receive PART N --into BIN --order NUMBER`.
struct ReceiptRow {
  Date date;
  /// Bin empty: the part's home bin; `none`: the order is filled but nothing is put into stock (the
  /// pieces are in a stock file of their own: a ledger exported and begun anew).
  std::string number, part, bin;
  std::int64_t quantity = 1;
  std::optional<Money> cost;  ///< for the line
  std::string batch;
  std::optional<Date> made, ends;
  domain::LotState state = domain::LotState::fresh;
  std::string age;  ///< worn pieces; `unknown` or empty where it is not known
  std::string note;
};

/// `count PART N --in BIN`: the difference to the book of that day is posted.
struct CountRow {
  Date date;
  std::string part, bin;  ///< bin empty: the part's home bin
  std::int64_t counted = 0;
  std::string why;
};

/// Each kind of history line is one command; P is the position, U its unit, B a bin:
/// - failure: `fail P[/U] [--count quantity] [--with part] [--from B] [--cause] [--fault]
///   [--found-on-test] [--last-good]`, `left` giving `--left-dead`, `--workaround` or `--stand-in`;
///   where a failed test has ended the unit already it only fits the new one
/// - repair: `fail P[/U] --repaired`; `quantity` pieces of a part named were used up by the repair
/// - service, preventive: `renew P[/U] [--count quantity] [--with part] [--from B] [--keep B]`; a
///   stand-in there is taken out
/// - expiry: as service, the life ending as expired
/// - loss: with a position `lose P[/U]`, and where a part is named a spare is fitted in the same
///   entry; without a position `lose part quantity [--from B]`
/// - test: `test P[/U] pass|fail [--reading]`
/// - fault-open: `fault open fault --position P [--since]`
/// - fault-close: `fault close fault`
/// - upstream-repair: as fault-close; where a part is named, P is renewed with it
/// - found-expired: `scrap part quantity [--from B] --cause expired`; P only says where it belongs
/// - scrap: `scrap part quantity [--from B] [--cause]`
/// - use: `use part quantity [--at P] [--from B]`
/// - move: `move part quantity --from B --to B`
/// - fit: `fit P[/U] [part] [--from B] [--no-part] [--age] [--made] [--ends]`
/// - stay: `stay quantity` nights at the place `to`
/// - quarantine, release: pieces of the batch `lot` are doubtful, or sound after all
/// - undo: `undo` of the line of this import whose id is `undoes`
enum class HistoryKind {
  failure,
  repair,
  service,
  preventive,
  expiry,
  loss,
  test,
  fault_open,
  fault_close,
  upstream_repair,
  found_expired,
  scrap,
  use,
  move,
  fit,
  stay,
  quarantine,
  release,
  undo
};
std::string_view to_text(HistoryKind kind);
HistoryKind parse_history_kind(std::string_view text);

struct HistoryRow {
  Date date;
  HistoryKind kind = HistoryKind::failure;
  std::string id;                ///< own number of the line, unique in an import; may be empty
  std::optional<Date> recorded;  ///< none: recorded on `date`
  std::string position;
  std::optional<int> unit;
  std::int64_t quantity = 1;
  std::string part;
  std::string lot;  ///< batch of the pieces to take; empty: first to expire, then oldest lot
  /// Bins. `from` empty: as the command chooses; `outside`: bought or given and fitted at once.
  std::string from, to, keep;
  std::string cause, fault;
  std::optional<Date> since;
  std::optional<domain::PlaceState> left;  ///< dead, workaround or stand-in; none: refilled
  std::string stand_in;                    ///< words for the stand-in or workaround
  std::string no_part, age;
  std::optional<Date> made, ends;
  bool found_on_test = false;
  std::optional<Date> last_good;
  bool passed = true;  ///< of a test
  std::string reading;
  std::string undoes;
  std::string note;
};

/// One leg of a trip with the stop at its end, if any; legs of one trip share its key.
struct TripStop {
  Date date;
  std::string place;
  std::vector<std::string> sold;  ///< class:KEY, supplier:KEY, part:KEY, resupply:WORD, all
  bool parcels = false;
  int extra_days = 0;
};
struct TripRow {
  std::string trip, name;
  int leg = 1;
  Date from, to;
  std::string route;
  std::vector<std::pair<std::string, std::string>> use;  ///< meter, amount in its unit
  std::vector<std::string> conditions;
  bool signal = true;
  std::optional<TripStop> stop;
};

using RowBody = std::variant<MasterRow, FittedRow, StockRow, ReadingRow, ConditionRow, OrderRow,
                             ReceiptRow, HistoryRow, CountRow, TripRow>;
struct ImportRow {
  std::size_t line = 0;
  RowBody body;
  std::int64_t said = 0;  ///< made of the words of the line: the same for the same words
};

/// A file as read: rows that are sound, and what was refused.
struct ImportFile {
  std::string name;
  Kind kind = Kind::parts;
  std::vector<ImportRow> rows;
  std::vector<Refusal> refusals;
  std::vector<std::string> warnings;
};

}  // namespace shearpin::interchange
