-- The first schema. Dates are TEXT YYYY-MM-DD, instants TEXT in UTC, money whole minor units,
-- mass grams, volume millilitres. Lists of words in one cell are separated by line feeds.
-- Entries and their lines are append-only and held so by the triggers below; master data changes
-- only beside change lines of the newest entry; pieces move in double entry.
--
-- An entry is live when an even number of reversals stands above it: `reverses` names the entry
-- taken back, `root` the first of the chain, `depth` the place in it (0: an ordinary entry).
--
-- Lines that are looked for by day repeat the day of their entry (`happened`), and movements the part
-- of their lot: a new line is checked against its neighbours in time without reading what lies
-- further back. `verify` compares them.

CREATE TABLE entry (
  id INTEGER PRIMARY KEY CHECK (id > 0),
  uuid TEXT NOT NULL UNIQUE CHECK (length(uuid) = 36 AND uuid GLOB '*-*-7*-*-*'),
  written TEXT NOT NULL CHECK (written GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T*Z'),
  recorded TEXT NOT NULL CHECK (recorded IS date(recorded, '+0 days')),
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days')),
  kind TEXT NOT NULL CHECK (kind IN (
    'add', 'set', 'retire', 'policy', 'fit', 'fail', 'renew', 'use', 'lose', 'scrap', 'test',
    'reading', 'stay', 'condition', 'fault-open', 'fault-close', 'attribute', 'order',
    'cancel-order', 'receive', 'move', 'count', 'quarantine', 'trip', 'undo')),
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

-- Master data ------------------------------------------------------------------------------------
-- `entry` added the thing, `changed_by` changed it last; `gone` is 1 while the adding is undone.

CREATE TABLE rig (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  changed_by INTEGER NOT NULL REFERENCES entry (id),
  gone INTEGER NOT NULL CHECK (gone IN (0, 1)),
  key TEXT NOT NULL CHECK (key <> ''),
  name TEXT NOT NULL,
  retired INTEGER NOT NULL CHECK (retired IN (0, 1))
) STRICT;

CREATE TABLE class (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  changed_by INTEGER NOT NULL REFERENCES entry (id),
  gone INTEGER NOT NULL CHECK (gone IN (0, 1)),
  key TEXT NOT NULL CHECK (key <> ''),
  name TEXT NOT NULL,
  retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
  system TEXT NOT NULL,
  failure_modes TEXT NOT NULL,
  basis TEXT NOT NULL CHECK (basis IN (
    'days', 'distance_km', 'engine_hours', 'run_hours', 'cycles', 'nights')),
  usual_per_day REAL NOT NULL CHECK (usual_per_day >= 0),
  life_median REAL NOT NULL CHECK (life_median > 0),
  life_low REAL NOT NULL CHECK (life_low > 0),
  life_high REAL NOT NULL CHECK (life_high > 0),
  shape REAL NOT NULL CHECK (shape > 0),
  severity TEXT NOT NULL CHECK (severity IN (
    'safety', 'stranded', 'uninhabitable', 'degraded', 'nuisance')),
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  test_interval_days REAL CHECK (test_interval_days > 0),
  resupply TEXT NOT NULL CHECK (resupply IN (
    'anywhere', 'hardware-store', 'order-online', 'specialist')),
  shelf_life_days REAL CHECK (shelf_life_days > 0),
  dated INTEGER NOT NULL CHECK (dated IN (0, 1)),
  mass_g REAL CHECK (mass_g >= 0),
  volume_ml REAL CHECK (volume_ml >= 0),
  price INTEGER CHECK (price >= 0),
  sensitivity TEXT NOT NULL,  -- a line each: condition=factor
  workaround TEXT NOT NULL,
  safety_note TEXT NOT NULL,
  basis_note TEXT NOT NULL,
  consumed INTEGER NOT NULL CHECK (consumed IN (0, 1))
) STRICT;

CREATE TABLE supplier (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  changed_by INTEGER NOT NULL REFERENCES entry (id),
  gone INTEGER NOT NULL CHECK (gone IN (0, 1)),
  key TEXT NOT NULL CHECK (key <> ''),
  name TEXT NOT NULL,
  retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
  kind TEXT NOT NULL CHECK (kind IN ('walk-in', 'parcel'))
) STRICT;

CREATE TABLE bin (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  changed_by INTEGER NOT NULL REFERENCES entry (id),
  gone INTEGER NOT NULL CHECK (gone IN (0, 1)),
  key TEXT NOT NULL CHECK (key <> ''),
  name TEXT NOT NULL,
  retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
  rig INTEGER REFERENCES rig (id),
  ashore INTEGER NOT NULL CHECK (ashore IN (0, 1)),
  outside_volume INTEGER NOT NULL CHECK (outside_volume IN (0, 1))
) STRICT;

CREATE TABLE meter (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  changed_by INTEGER NOT NULL REFERENCES entry (id),
  gone INTEGER NOT NULL CHECK (gone IN (0, 1)),
  key TEXT NOT NULL CHECK (key <> ''),
  name TEXT NOT NULL,
  retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
  rig INTEGER NOT NULL REFERENCES rig (id),
  unit TEXT NOT NULL CHECK (unit <> ''),
  usual_per_day REAL CHECK (usual_per_day >= 0)
) STRICT;

CREATE TABLE part (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  changed_by INTEGER NOT NULL REFERENCES entry (id),
  gone INTEGER NOT NULL CHECK (gone IN (0, 1)),
  key TEXT NOT NULL CHECK (key <> ''),
  name TEXT NOT NULL,
  retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
  component_class INTEGER REFERENCES class (id),
  price INTEGER CHECK (price >= 0),
  mass_g REAL CHECK (mass_g >= 0),
  volume_ml REAL CHECK (volume_ml >= 0),
  pack INTEGER NOT NULL CHECK (pack >= 1),
  shelf_life_days REAL CHECK (shelf_life_days > 0),
  supplier INTEGER REFERENCES supplier (id),
  resupply TEXT CHECK (resupply IN ('anywhere', 'hardware-store', 'order-online', 'specialist')),
  rating_ampere REAL CHECK (rating_ampere > 0),
  home_bin INTEGER REFERENCES bin (id),
  note TEXT NOT NULL
) STRICT;

CREATE TABLE position (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  changed_by INTEGER NOT NULL REFERENCES entry (id),
  gone INTEGER NOT NULL CHECK (gone IN (0, 1)),
  key TEXT NOT NULL CHECK (key <> ''),
  name TEXT NOT NULL,
  retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
  rig INTEGER NOT NULL REFERENCES rig (id),
  part INTEGER REFERENCES part (id),
  component_class INTEGER REFERENCES class (id),
  units INTEGER NOT NULL CHECK (units >= 1),
  pieces INTEGER NOT NULL CHECK (pieces >= 1),
  severity TEXT CHECK (severity IN (
    'safety', 'stranded', 'uninhabitable', 'degraded', 'nuisance')),
  meter INTEGER REFERENCES meter (id),
  usual_per_day REAL CHECK (usual_per_day >= 0),
  usual_meter INTEGER REFERENCES meter (id),
  workaround TEXT NOT NULL,
  place TEXT NOT NULL,
  nicknames TEXT NOT NULL,
  cost_of_day INTEGER CHECK (cost_of_day >= 0),
  note TEXT NOT NULL
) STRICT;

CREATE TABLE substitute (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  changed_by INTEGER NOT NULL REFERENCES entry (id),
  gone INTEGER NOT NULL CHECK (gone IN (0, 1)),
  part INTEGER NOT NULL REFERENCES part (id),
  stands_for INTEGER NOT NULL REFERENCES part (id),
  temporary INTEGER NOT NULL CHECK (temporary IN (0, 1)),
  only_at INTEGER REFERENCES position (id),
  forbidden INTEGER NOT NULL CHECK (forbidden IN (0, 1)),
  note TEXT NOT NULL,
  CHECK (part <> stands_for)
) STRICT;

CREATE TABLE safety_note (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  changed_by INTEGER NOT NULL REFERENCES entry (id),
  gone INTEGER NOT NULL CHECK (gone IN (0, 1)),
  key TEXT NOT NULL CHECK (key <> ''),
  shown_when TEXT NOT NULL,
  text TEXT NOT NULL
) STRICT;

CREATE UNIQUE INDEX rig_key ON rig (key) WHERE gone = 0;
CREATE UNIQUE INDEX class_key ON class (key) WHERE gone = 0;
CREATE UNIQUE INDEX supplier_key ON supplier (key) WHERE gone = 0;
CREATE UNIQUE INDEX bin_key ON bin (key) WHERE gone = 0;
CREATE UNIQUE INDEX meter_key ON meter (key) WHERE gone = 0;
CREATE UNIQUE INDEX part_key ON part (key) WHERE gone = 0;
CREATE UNIQUE INDEX position_key ON position (key) WHERE gone = 0;
CREATE UNIQUE INDEX substitute_key ON substitute (part, stands_for, ifnull(only_at, 0))
  WHERE gone = 0;
CREATE UNIQUE INDEX safety_note_key ON safety_note (key) WHERE gone = 0;

-- Lines ------------------------------------------------------------------------------------------

-- A field of master data: its first value (added = 1; fields left out had the table's plain value)
-- or its value before and after.
CREATE TABLE change (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  kind TEXT NOT NULL CHECK (kind IN ('rig', 'class', 'supplier', 'bin', 'meter', 'part', 'position',
                                     'substitute', 'safety_note')),
  object INTEGER NOT NULL,
  field TEXT NOT NULL,
  added INTEGER NOT NULL CHECK (added IN (0, 1)),
  old ANY,
  new ANY,
  CHECK (added = 0 OR old IS NULL),
  CHECK (added = 1 OR old IS NOT new)
) STRICT;
CREATE INDEX change_object ON change (kind, object, field);

CREATE TABLE lot (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  part INTEGER NOT NULL REFERENCES part (id),
  batch TEXT NOT NULL,
  made TEXT CHECK (made IS date(made, '+0 days')),
  ends TEXT CHECK (ends IS date(ends, '+0 days')),
  state TEXT NOT NULL CHECK (state IN ('new', 'repaired', 'worn')),
  age REAL CHECK (age >= 0),
  cost INTEGER CHECK (cost >= 0),
  quarantined INTEGER NOT NULL CHECK (quarantined IN (0, 1))
) STRICT;
CREATE INDEX lot_part ON lot (part);

CREATE TABLE movement (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  lot INTEGER NOT NULL REFERENCES lot (id),
  part INTEGER NOT NULL REFERENCES part (id),  -- the lot's
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days')),  -- the entry's
  quantity INTEGER NOT NULL CHECK (quantity > 0),
  from_bin INTEGER REFERENCES bin (id),
  from_position INTEGER REFERENCES position (id),
  from_outside TEXT CHECK (from_outside IN ('supplier', 'before', 'consumed', 'scrapped', 'lost',
                                            'count-difference', 'taken-off')),
  to_bin INTEGER REFERENCES bin (id),
  to_position INTEGER REFERENCES position (id),
  to_outside TEXT CHECK (to_outside IN ('supplier', 'before', 'consumed', 'scrapped', 'lost',
                                        'count-difference', 'taken-off')),
  CHECK ((from_bin IS NOT NULL) + (from_position IS NOT NULL) + (from_outside IS NOT NULL) = 1),
  CHECK ((to_bin IS NOT NULL) + (to_position IS NOT NULL) + (to_outside IS NOT NULL) = 1),
  CHECK (NOT (from_bin IS to_bin AND from_position IS to_position
              AND from_outside IS to_outside))
) STRICT;
CREATE INDEX movement_lot ON movement (lot, happened);
CREATE INDEX movement_part ON movement (part, happened);

CREATE TABLE unit_begin (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  position INTEGER NOT NULL REFERENCES position (id),
  unit INTEGER NOT NULL CHECK (unit >= 1),
  part INTEGER REFERENCES part (id),
  no_part TEXT NOT NULL,
  stand_in INTEGER NOT NULL CHECK (stand_in IN (0, 1)),
  lot INTEGER REFERENCES lot (id),
  age REAL CHECK (age >= 0),
  age_unknown INTEGER NOT NULL CHECK (age_unknown IN (0, 1)),
  made TEXT CHECK (made IS date(made, '+0 days')),
  marked_end TEXT CHECK (marked_end IS date(marked_end, '+0 days')),
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days')),  -- the entry's
  CHECK (part IS NULL OR no_part = ''),
  CHECK (lot IS NULL OR part IS NOT NULL)
) STRICT;
CREATE INDEX unit_begin_position ON unit_begin (position, unit, happened);
CREATE INDEX unit_begin_part ON unit_begin (part);
CREATE INDEX unit_begin_lot ON unit_begin (lot) WHERE lot IS NOT NULL;

CREATE TABLE unit_end (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  unit INTEGER NOT NULL REFERENCES unit_begin (id),
  kind TEXT NOT NULL CHECK (kind IN (
    'failed', 'failed-on-test', 'renewed', 'expired', 'lost', 'stand-in-removed')),
  last_good TEXT CHECK (last_good IS date(last_good, '+0 days')),
  test_date TEXT CHECK (test_date IS date(test_date, '+0 days')),
  fault INTEGER REFERENCES fault (id),
  cause TEXT NOT NULL,
  left_state TEXT NOT NULL CHECK (left_state IN (
    'empty', 'fitted', 'dead', 'workaround', 'stand-in')),
  note TEXT NOT NULL
) STRICT;
CREATE INDEX unit_end_unit ON unit_end (unit);

CREATE TABLE repair (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  unit INTEGER NOT NULL REFERENCES unit_begin (id),
  cause TEXT NOT NULL,
  took_part INTEGER NOT NULL CHECK (took_part IN (0, 1)),
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days'))  -- the entry's
) STRICT;
CREATE INDEX repair_unit ON repair (unit, happened);

CREATE TABLE open_place (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  position INTEGER NOT NULL REFERENCES position (id),
  unit INTEGER NOT NULL CHECK (unit >= 1),
  state TEXT NOT NULL CHECK (state IN ('empty', 'fitted', 'dead', 'workaround', 'stand-in')),
  note TEXT NOT NULL,
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days'))  -- the entry's
) STRICT;
CREATE INDEX open_place_position ON open_place (position, unit, happened);

CREATE TABLE test (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  position INTEGER NOT NULL REFERENCES position (id),
  unit INTEGER CHECK (unit >= 1),
  passed INTEGER NOT NULL CHECK (passed IN (0, 1)),
  reading TEXT NOT NULL,
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days'))  -- the entry's
) STRICT;
CREATE INDEX test_position ON test (position, unit, happened);

CREATE TABLE reading (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  meter INTEGER NOT NULL REFERENCES meter (id),
  value REAL NOT NULL CHECK (value >= 0),
  replaced INTEGER NOT NULL CHECK (replaced IN (0, 1)),
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days'))  -- the entry's
) STRICT;
CREATE INDEX reading_meter ON reading (meter, happened);

CREATE TABLE stay (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  nights INTEGER NOT NULL CHECK (nights >= 1),
  place TEXT NOT NULL
) STRICT;

CREATE TABLE condition (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  condition TEXT NOT NULL CHECK (condition <> ''),
  rig INTEGER REFERENCES rig (id),
  from_day TEXT NOT NULL CHECK (from_day IS date(from_day, '+0 days')),
  to_day TEXT CHECK (to_day IS date(to_day, '+0 days')),
  CHECK (to_day IS NULL OR to_day >= from_day)
) STRICT;

CREATE TABLE order_line (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  number TEXT NOT NULL CHECK (number <> ''),
  serial INTEGER,  -- N of a number o<N>
  part INTEGER NOT NULL REFERENCES part (id),
  supplier INTEGER NOT NULL REFERENCES supplier (id),
  quantity INTEGER NOT NULL CHECK (quantity > 0),
  promised TEXT CHECK (promised IS date(promised, '+0 days')),
  cost INTEGER CHECK (cost >= 0),
  deliver_to TEXT NOT NULL
) STRICT;
CREATE INDEX order_line_part ON order_line (part);
CREATE INDEX order_line_number ON order_line (number);
CREATE INDEX order_line_serial ON order_line (serial);

CREATE TABLE receipt (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  order_line INTEGER NOT NULL REFERENCES order_line (id),
  quantity INTEGER NOT NULL CHECK (quantity >= 0),
  cancelled INTEGER NOT NULL CHECK (cancelled IN (0, 1)),
  CHECK (quantity > 0 OR cancelled = 1)
) STRICT;
CREATE INDEX receipt_order ON receipt (order_line);

CREATE TABLE usage (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  part INTEGER REFERENCES part (id),
  position INTEGER REFERENCES position (id),
  quantity INTEGER NOT NULL CHECK (quantity > 0),
  lost INTEGER NOT NULL CHECK (lost IN (0, 1)),
  CHECK (part IS NOT NULL OR (lost = 1 AND position IS NOT NULL))
) STRICT;
CREATE INDEX usage_part ON usage (part);
CREATE INDEX usage_position ON usage (position);

CREATE TABLE fault (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  key TEXT NOT NULL CHECK (key <> ''),
  position INTEGER NOT NULL REFERENCES position (id),
  note TEXT NOT NULL
) STRICT;
CREATE INDEX fault_key ON fault (key);
CREATE INDEX fault_position ON fault (position);

CREATE TABLE fault_close (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  fault INTEGER NOT NULL REFERENCES fault (id),
  note TEXT NOT NULL
) STRICT;
CREATE INDEX fault_close_fault ON fault_close (fault);

CREATE TABLE attribution (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  fault INTEGER NOT NULL REFERENCES fault (id),
  unit INTEGER NOT NULL REFERENCES unit_begin (id)
) STRICT;
CREATE INDEX attribution_unit ON attribution (unit);

CREATE TABLE quarantine (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  lot INTEGER NOT NULL REFERENCES lot (id),
  quarantined INTEGER NOT NULL CHECK (quarantined IN (0, 1))
) STRICT;
CREATE INDEX quarantine_lot ON quarantine (lot);

CREATE TABLE policy (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  key TEXT NOT NULL CHECK (key <> ''),
  value REAL
) STRICT;

CREATE TABLE trip (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  key TEXT NOT NULL CHECK (key <> ''),
  name TEXT NOT NULL
) STRICT;

CREATE TABLE trip_leg (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  trip INTEGER NOT NULL REFERENCES trip (id),
  number INTEGER NOT NULL,
  from_day TEXT NOT NULL CHECK (from_day IS date(from_day, '+0 days')),
  to_day TEXT NOT NULL CHECK (to_day IS date(to_day, '+0 days')),
  route TEXT NOT NULL,
  conditions TEXT NOT NULL,
  signal INTEGER NOT NULL CHECK (signal IN (0, 1)),
  CHECK (to_day >= from_day)
) STRICT;
CREATE INDEX trip_leg_trip ON trip_leg (trip);

CREATE TABLE trip_use (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  leg INTEGER NOT NULL REFERENCES trip_leg (id),
  meter INTEGER NOT NULL REFERENCES meter (id),
  amount REAL NOT NULL CHECK (amount >= 0)
) STRICT;
CREATE INDEX trip_use_leg ON trip_use (leg);

CREATE TABLE trip_stop (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  trip INTEGER NOT NULL REFERENCES trip (id),
  day TEXT NOT NULL CHECK (day IS date(day, '+0 days')),
  place TEXT NOT NULL,
  sold TEXT NOT NULL,
  parcels INTEGER NOT NULL CHECK (parcels IN (0, 1)),
  extra_days INTEGER NOT NULL CHECK (extra_days >= 0)
) STRICT;
CREATE INDEX trip_stop_trip ON trip_stop (trip);

-- Look-up of an entry's lines.
CREATE INDEX change_entry ON change (entry);
CREATE INDEX lot_entry ON lot (entry);
CREATE INDEX movement_entry ON movement (entry);
CREATE INDEX unit_begin_entry ON unit_begin (entry);
CREATE INDEX unit_end_entry ON unit_end (entry);
CREATE INDEX repair_entry ON repair (entry);
CREATE INDEX open_place_entry ON open_place (entry);
CREATE INDEX test_entry ON test (entry);
CREATE INDEX reading_entry ON reading (entry);
CREATE INDEX stay_entry ON stay (entry);
CREATE INDEX condition_entry ON condition (entry);
CREATE INDEX order_line_entry ON order_line (entry);
CREATE INDEX receipt_entry ON receipt (entry);
CREATE INDEX usage_entry ON usage (entry);
CREATE INDEX fault_entry ON fault (entry);
CREATE INDEX fault_close_entry ON fault_close (entry);
CREATE INDEX attribution_entry ON attribution (entry);
CREATE INDEX quarantine_entry ON quarantine (entry);
CREATE INDEX policy_entry ON policy (entry);
CREATE INDEX trip_entry ON trip (entry);
CREATE INDEX trip_leg_entry ON trip_leg (entry);
CREATE INDEX trip_use_entry ON trip_use (entry);
CREATE INDEX trip_stop_entry ON trip_stop (entry);

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

-- Reversals --------------------------------------------------------------------------------------

CREATE TRIGGER entry_chain BEFORE INSERT ON entry WHEN NEW.reverses IS NOT NULL BEGIN
  SELECT RAISE(ABORT, 'a reversal must continue the chain of the entry it takes back')
    WHERE NOT EXISTS (SELECT 1 FROM entry WHERE id = NEW.reverses AND ifnull(root, id) = NEW.root
                        AND depth + 1 = NEW.depth AND recorded <= NEW.recorded);
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
CREATE TRIGGER entry_reverses_adding AFTER INSERT ON entry
WHEN NEW.reverses IS NOT NULL AND (SELECT kind FROM entry WHERE id = NEW.root) = 'add' BEGIN
  UPDATE rig SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'rig' AND added = 1);
  UPDATE class SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'class' AND added = 1);
  UPDATE supplier SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'supplier' AND added = 1);
  UPDATE bin SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'bin' AND added = 1);
  UPDATE meter SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'meter' AND added = 1);
  UPDATE part SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'part' AND added = 1);
  UPDATE position SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'position' AND added = 1);
  UPDATE substitute SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'substitute' AND added = 1);
  UPDATE safety_note SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'safety_note' AND added = 1);
END;

-- Append-only ------------------------------------------------------------------------------------
-- INSERT OR REPLACE removes rows without a DELETE, so a taken number is refused too.

CREATE TRIGGER entry_new BEFORE INSERT ON entry
WHEN NEW.id BETWEEN 0 AND (SELECT max(id) FROM entry)  -- a number still to be chosen is -1 here
  OR EXISTS (SELECT 1 FROM entry WHERE uuid = NEW.uuid)
  OR EXISTS (SELECT 1 FROM entry WHERE reverses = NEW.reverses)
BEGIN SELECT RAISE(ABORT, 'entries are only ever added at the end'); END;
CREATE TRIGGER entry_kept BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are never removed'); END;

CREATE TRIGGER change_new BEFORE INSERT ON change
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM change WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER change_kept BEFORE UPDATE ON change
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER change_stays BEFORE DELETE ON change
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER lot_new BEFORE INSERT ON lot
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM lot WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER lot_kept BEFORE UPDATE ON lot
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER lot_stays BEFORE DELETE ON lot
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER movement_new BEFORE INSERT ON movement
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM movement WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER movement_kept BEFORE UPDATE ON movement
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER movement_stays BEFORE DELETE ON movement
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER unit_begin_new BEFORE INSERT ON unit_begin
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM unit_begin WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER unit_begin_kept BEFORE UPDATE ON unit_begin
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER unit_begin_stays BEFORE DELETE ON unit_begin
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER unit_end_new BEFORE INSERT ON unit_end
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM unit_end WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER unit_end_kept BEFORE UPDATE ON unit_end
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER unit_end_stays BEFORE DELETE ON unit_end
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER repair_new BEFORE INSERT ON repair
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM repair WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER repair_kept BEFORE UPDATE ON repair
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER repair_stays BEFORE DELETE ON repair
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER open_place_new BEFORE INSERT ON open_place
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM open_place WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER open_place_kept BEFORE UPDATE ON open_place
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER open_place_stays BEFORE DELETE ON open_place
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER test_new BEFORE INSERT ON test
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM test WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER test_kept BEFORE UPDATE ON test
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER test_stays BEFORE DELETE ON test
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER reading_new BEFORE INSERT ON reading
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM reading WHERE id = NEW.id)
  OR NEW.happened IS NOT (SELECT happened FROM entry WHERE id = NEW.entry)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER reading_kept BEFORE UPDATE ON reading
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER reading_stays BEFORE DELETE ON reading
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER stay_new BEFORE INSERT ON stay
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM stay WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER stay_kept BEFORE UPDATE ON stay
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER stay_stays BEFORE DELETE ON stay
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER condition_new BEFORE INSERT ON condition
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM condition WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER condition_kept BEFORE UPDATE ON condition
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER condition_stays BEFORE DELETE ON condition
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER order_line_new BEFORE INSERT ON order_line
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM order_line WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER order_line_kept BEFORE UPDATE ON order_line
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER order_line_stays BEFORE DELETE ON order_line
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER receipt_new BEFORE INSERT ON receipt
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM receipt WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER receipt_kept BEFORE UPDATE ON receipt
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER receipt_stays BEFORE DELETE ON receipt
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER usage_new BEFORE INSERT ON usage
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM usage WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER usage_kept BEFORE UPDATE ON usage
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER usage_stays BEFORE DELETE ON usage
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER fault_new BEFORE INSERT ON fault
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM fault WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER fault_kept BEFORE UPDATE ON fault
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER fault_stays BEFORE DELETE ON fault
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER fault_close_new BEFORE INSERT ON fault_close
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM fault_close WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER fault_close_kept BEFORE UPDATE ON fault_close
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER fault_close_stays BEFORE DELETE ON fault_close
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER attribution_new BEFORE INSERT ON attribution
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM attribution WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER attribution_kept BEFORE UPDATE ON attribution
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER attribution_stays BEFORE DELETE ON attribution
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER quarantine_new BEFORE INSERT ON quarantine
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM quarantine WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER quarantine_kept BEFORE UPDATE ON quarantine
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER quarantine_stays BEFORE DELETE ON quarantine
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER policy_new BEFORE INSERT ON policy
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM policy WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER policy_kept BEFORE UPDATE ON policy
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER policy_stays BEFORE DELETE ON policy
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER trip_new BEFORE INSERT ON trip
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM trip WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER trip_kept BEFORE UPDATE ON trip
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER trip_stays BEFORE DELETE ON trip
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER trip_leg_new BEFORE INSERT ON trip_leg
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM trip_leg WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER trip_leg_kept BEFORE UPDATE ON trip_leg
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER trip_leg_stays BEFORE DELETE ON trip_leg
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER trip_use_new BEFORE INSERT ON trip_use
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM trip_use WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER trip_use_kept BEFORE UPDATE ON trip_use
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER trip_use_stays BEFORE DELETE ON trip_use
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

CREATE TRIGGER trip_stop_new BEFORE INSERT ON trip_stop
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM trip_stop WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER trip_stop_kept BEFORE UPDATE ON trip_stop
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER trip_stop_stays BEFORE DELETE ON trip_stop
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;

-- Master data changes only beside as many change lines of the newest entry, and is never removed.

CREATE TRIGGER rig_new BEFORE INSERT ON rig
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM rig WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER rig_kept
BEFORE UPDATE OF id, entry, changed_by,
  key, name, retired ON rig
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'rig' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <>
        (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER rig_gone BEFORE UPDATE OF gone ON rig
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER rig_stays BEFORE DELETE ON rig
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;

CREATE TRIGGER class_new BEFORE INSERT ON class
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM class WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER class_kept
BEFORE UPDATE OF id, entry, changed_by,
  key, name, retired, system, failure_modes, basis, usual_per_day, life_median, life_low,
  life_high, shape, severity, hidden, test_interval_days, resupply, shelf_life_days, dated,
  mass_g, volume_ml, price, sensitivity, workaround, safety_note, basis_note, consumed ON class
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'class' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <>
        (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired)
        + (OLD.system IS NOT NEW.system) + (OLD.failure_modes IS NOT NEW.failure_modes)
        + (OLD.basis IS NOT NEW.basis) + (OLD.usual_per_day IS NOT NEW.usual_per_day)
        + (OLD.life_median IS NOT NEW.life_median) + (OLD.life_low IS NOT NEW.life_low)
        + (OLD.life_high IS NOT NEW.life_high) + (OLD.shape IS NOT NEW.shape)
        + (OLD.severity IS NOT NEW.severity) + (OLD.hidden IS NOT NEW.hidden)
        + (OLD.test_interval_days IS NOT NEW.test_interval_days)
        + (OLD.resupply IS NOT NEW.resupply) + (OLD.shelf_life_days IS NOT NEW.shelf_life_days)
        + (OLD.dated IS NOT NEW.dated) + (OLD.mass_g IS NOT NEW.mass_g)
        + (OLD.volume_ml IS NOT NEW.volume_ml) + (OLD.price IS NOT NEW.price)
        + (OLD.sensitivity IS NOT NEW.sensitivity) + (OLD.workaround IS NOT NEW.workaround)
        + (OLD.safety_note IS NOT NEW.safety_note) + (OLD.basis_note IS NOT NEW.basis_note)
        + (OLD.consumed IS NOT NEW.consumed)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER class_gone BEFORE UPDATE OF gone ON class
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER class_stays BEFORE DELETE ON class
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;

CREATE TRIGGER supplier_new BEFORE INSERT ON supplier
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM supplier WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER supplier_kept
BEFORE UPDATE OF id, entry, changed_by,
  key, name, retired, kind ON supplier
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'supplier' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <>
        (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired)
        + (OLD.kind IS NOT NEW.kind)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER supplier_gone BEFORE UPDATE OF gone ON supplier
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER supplier_stays BEFORE DELETE ON supplier
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;

CREATE TRIGGER bin_new BEFORE INSERT ON bin
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM bin WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER bin_kept
BEFORE UPDATE OF id, entry, changed_by,
  key, name, retired, rig, ashore, outside_volume ON bin
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'bin' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <>
        (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired)
        + (OLD.rig IS NOT NEW.rig) + (OLD.ashore IS NOT NEW.ashore)
        + (OLD.outside_volume IS NOT NEW.outside_volume)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER bin_gone BEFORE UPDATE OF gone ON bin
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER bin_stays BEFORE DELETE ON bin
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;

CREATE TRIGGER meter_new BEFORE INSERT ON meter
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM meter WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER meter_kept
BEFORE UPDATE OF id, entry, changed_by,
  key, name, retired, rig, unit, usual_per_day ON meter
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'meter' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <>
        (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired)
        + (OLD.rig IS NOT NEW.rig) + (OLD.unit IS NOT NEW.unit)
        + (OLD.usual_per_day IS NOT NEW.usual_per_day)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER meter_gone BEFORE UPDATE OF gone ON meter
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER meter_stays BEFORE DELETE ON meter
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;

CREATE TRIGGER part_new BEFORE INSERT ON part
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM part WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER part_kept
BEFORE UPDATE OF id, entry, changed_by,
  key, name, retired, component_class, price, mass_g, volume_ml, pack, shelf_life_days, supplier,
  resupply, rating_ampere, home_bin, note ON part
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'part' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <>
        (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired)
        + (OLD.component_class IS NOT NEW.component_class) + (OLD.price IS NOT NEW.price)
        + (OLD.mass_g IS NOT NEW.mass_g) + (OLD.volume_ml IS NOT NEW.volume_ml)
        + (OLD.pack IS NOT NEW.pack) + (OLD.shelf_life_days IS NOT NEW.shelf_life_days)
        + (OLD.supplier IS NOT NEW.supplier) + (OLD.resupply IS NOT NEW.resupply)
        + (OLD.rating_ampere IS NOT NEW.rating_ampere) + (OLD.home_bin IS NOT NEW.home_bin)
        + (OLD.note IS NOT NEW.note)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER part_gone BEFORE UPDATE OF gone ON part
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER part_stays BEFORE DELETE ON part
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;

CREATE TRIGGER position_new BEFORE INSERT ON position
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM position WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER position_kept
BEFORE UPDATE OF id, entry, changed_by,
  key, name, retired, rig, part, component_class, units, pieces, severity, meter, usual_per_day,
  usual_meter, workaround, place, nicknames, cost_of_day, note ON position
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'position' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <>
        (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired)
        + (OLD.rig IS NOT NEW.rig) + (OLD.part IS NOT NEW.part)
        + (OLD.component_class IS NOT NEW.component_class) + (OLD.units IS NOT NEW.units)
        + (OLD.pieces IS NOT NEW.pieces) + (OLD.severity IS NOT NEW.severity)
        + (OLD.meter IS NOT NEW.meter) + (OLD.usual_per_day IS NOT NEW.usual_per_day)
        + (OLD.usual_meter IS NOT NEW.usual_meter) + (OLD.workaround IS NOT NEW.workaround)
        + (OLD.place IS NOT NEW.place) + (OLD.nicknames IS NOT NEW.nicknames)
        + (OLD.cost_of_day IS NOT NEW.cost_of_day) + (OLD.note IS NOT NEW.note)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER position_gone BEFORE UPDATE OF gone ON position
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER position_stays BEFORE DELETE ON position
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;

CREATE TRIGGER substitute_new BEFORE INSERT ON substitute
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM substitute WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER substitute_kept
BEFORE UPDATE OF id, entry, changed_by,
  part, stands_for, temporary, only_at, forbidden, note ON substitute
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'substitute' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <>
        (OLD.part IS NOT NEW.part) + (OLD.stands_for IS NOT NEW.stands_for)
        + (OLD.temporary IS NOT NEW.temporary) + (OLD.only_at IS NOT NEW.only_at)
        + (OLD.forbidden IS NOT NEW.forbidden) + (OLD.note IS NOT NEW.note)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER substitute_gone BEFORE UPDATE OF gone ON substitute
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER substitute_stays BEFORE DELETE ON substitute
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;

CREATE TRIGGER safety_note_new BEFORE INSERT ON safety_note
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM safety_note WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER safety_note_kept
BEFORE UPDATE OF id, entry, changed_by,
  key, shown_when, text ON safety_note
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'safety_note' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <>
        (OLD.key IS NOT NEW.key) + (OLD.shown_when IS NOT NEW.shown_when)
        + (OLD.text IS NOT NEW.text)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER safety_note_gone BEFORE UPDATE OF gone ON safety_note
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER safety_note_stays BEFORE DELETE ON safety_note
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;
