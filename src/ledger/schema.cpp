// The schema: the entries and what is kept of them, beside the tables of things and of lines. Dates
// are TEXT YYYY-MM-DD, instants TEXT in UTC, money whole minor units, mass grams, volume
// millilitres. Entries and their lines are append-only and held so by triggers.
//
// An entry is live when an even number of reversals stands above it: `reverses` names the entry
// taken back, `root` the first of the chain, `depth` the place in it (0: an ordinary entry).

#include <fmt/format.h>

#include "ledger/master_columns.hpp"
#include "ledger/migrate.hpp"
#include "ledger/tables.hpp"

namespace shearpin::ledger {
namespace {

// {0}: the kinds of entries.
constexpr const char* kEntrySchema = R"sql(
CREATE TABLE entry (
  id INTEGER PRIMARY KEY CHECK (id > 0),
  uuid TEXT NOT NULL UNIQUE CHECK (length(uuid) = 36 AND uuid NOT GLOB '*[^0-9a-f-]*'
                                   AND uuid GLOB '????????-????-7???-[89ab]???-*'),
  written TEXT NOT NULL CHECK (written GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T*Z'),
  recorded TEXT NOT NULL CHECK (recorded IS date(recorded, '+0 days')),
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days')),
  kind TEXT NOT NULL CHECK (kind IN ({0})),
  who TEXT NOT NULL,
  note TEXT NOT NULL,
  batch TEXT NOT NULL,
  reverses INTEGER REFERENCES entry (id),
  root INTEGER REFERENCES entry (id),
  depth INTEGER NOT NULL CHECK (depth >= 0),
  said INTEGER,  -- of an imported line: a number made of its words, by which it is known again
  CHECK (recorded >= happened),
  CHECK ((kind = 'undo') = (reverses IS NOT NULL)),
  CHECK ((reverses IS NULL) = (root IS NULL)),
  CHECK ((root IS NULL) = (depth = 0))
) STRICT;
CREATE UNIQUE INDEX entry_reverses ON entry (reverses) WHERE reverses IS NOT NULL;
CREATE INDEX entry_root ON entry (root, recorded) WHERE root IS NOT NULL;
CREATE INDEX entry_happened ON entry (happened);
CREATE INDEX entry_batch ON entry (batch) WHERE batch <> '';
CREATE INDEX entry_said ON entry (said) WHERE said IS NOT NULL;

CREATE TRIGGER entry_new BEFORE INSERT ON entry
WHEN NEW.id BETWEEN 0 AND (SELECT max(id) FROM entry)  -- a number still to be chosen is -1 here
  OR EXISTS (SELECT 1 FROM entry WHERE uuid = NEW.uuid)
  OR EXISTS (SELECT 1 FROM entry WHERE reverses = NEW.reverses)
BEGIN SELECT RAISE(ABORT, 'entries are only ever added at the end'); END;
CREATE TRIGGER entry_kept BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are never removed'); END;
CREATE TRIGGER entry_chain BEFORE INSERT ON entry WHEN NEW.reverses IS NOT NULL BEGIN
  SELECT RAISE(ABORT, 'a reversal must continue the chain of the entry it takes back')
    WHERE NOT EXISTS (SELECT 1 FROM entry WHERE id = NEW.reverses AND ifnull(root, id) = NEW.root
                        AND depth + 1 = NEW.depth AND recorded <= NEW.recorded);
END;
)sql";

constexpr const char* kBalanceSchema = R"sql(
-- Pieces of a lot now in a place inside, kept by the triggers below and compared by `verify`.
-- The CHECK is the rule that nothing inside falls below zero.
CREATE TABLE balance (
  lot INTEGER NOT NULL REFERENCES lot (id),
  kind TEXT NOT NULL CHECK (kind IN ('bin', 'position')),
  place INTEGER NOT NULL,
  part INTEGER NOT NULL REFERENCES part (id),  -- the lot's
  quantity INTEGER NOT NULL CHECK (quantity >= 0),
  PRIMARY KEY (lot, kind, place)
) STRICT, WITHOUT ROWID;
-- What lies in bins now is found without the lots that are used up.
CREATE INDEX balance_part ON balance (part, lot, place) WHERE kind = 'bin' AND quantity > 0;

-- Both ends of every movement that lie inside.
CREATE VIEW movement_end AS
  SELECT entry, lot, 'bin' AS kind, to_bin AS place, quantity FROM movement
    WHERE to_bin IS NOT NULL
  UNION ALL SELECT entry, lot, 'position', to_position, quantity FROM movement
    WHERE to_position IS NOT NULL
  UNION ALL SELECT entry, lot, 'bin', from_bin, -quantity FROM movement
    WHERE from_bin IS NOT NULL
  UNION ALL SELECT entry, lot, 'position', from_position, -quantity FROM movement
    WHERE from_position IS NOT NULL;

CREATE TRIGGER movement_takes BEFORE INSERT ON movement WHEN NEW.from_outside IS NULL BEGIN
  SELECT RAISE(ABORT, 'a place inside cannot fall below zero') WHERE NOT EXISTS (
    SELECT 1 FROM balance WHERE lot = NEW.lot
      AND kind = iif(NEW.from_bin IS NULL, 'position', 'bin')
      AND place = ifnull(NEW.from_bin, NEW.from_position) AND quantity >= NEW.quantity);
END;
CREATE TRIGGER movement_balances AFTER INSERT ON movement BEGIN
  UPDATE balance SET quantity = quantity - NEW.quantity
    WHERE lot = NEW.lot AND kind = iif(NEW.from_bin IS NULL, 'position', 'bin')
      AND place = ifnull(NEW.from_bin, NEW.from_position);
  INSERT INTO balance (lot, kind, place, part, quantity)
    SELECT NEW.lot, iif(NEW.to_bin IS NULL, 'position', 'bin'), ifnull(NEW.to_bin, NEW.to_position),
           NEW.part, NEW.quantity WHERE NEW.to_outside IS NULL
    ON CONFLICT (lot, kind, place) DO UPDATE SET quantity = quantity + excluded.quantity;
END;
-- Odd depth takes the root's movements out of the balance, even depth puts them back.
CREATE TRIGGER entry_reverses_stock AFTER INSERT ON entry WHEN NEW.reverses IS NOT NULL BEGIN
  UPDATE balance SET quantity = balance.quantity + effect.quantity
    FROM (SELECT lot, kind, place,
                 sum(quantity) * iif(NEW.depth % 2 = 1, -1, 1) AS quantity
          FROM movement_end WHERE entry = NEW.root GROUP BY lot, kind, place) AS effect
    WHERE balance.lot = effect.lot AND balance.kind = effect.kind
      AND balance.place = effect.place;
END;
)sql";

/// Things go with the adding of which they are, and come back with it.
std::string reversed_adding() {
  std::string text = R"sql(
CREATE TRIGGER entry_reverses_adding AFTER INSERT ON entry
WHEN NEW.reverses IS NOT NULL AND (SELECT kind FROM entry WHERE id = NEW.root) = 'add' BEGIN)sql";
  for (const MasterSql& table : master_tables()) {
    text += fmt::format(R"sql(
  UPDATE {0} SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = '{0}' AND added = 1);)sql",
                        table.kind);
  }
  return text + "\nEND;\n";
}

}  // namespace

std::string schema() {
  std::string text = fmt::format(kEntrySchema, spellings<domain::EntryKind>());
  for (const MasterSql& table : master_tables()) text += table.schema(table);
  for (const LineKind& kind : line_kinds()) {
    for (const Table* table : kind.tables) text += table->schema();
  }
  return text + kBalanceSchema + reversed_adding();
}

}  // namespace shearpin::ledger
