-- A small ledger of schema 1 (tests/unit/ledger/schema_test.cpp, case [make-v1]), as dumped by the sqlite3 shell.
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE entry (
  id INTEGER PRIMARY KEY CHECK (id > 0),
  uuid TEXT NOT NULL UNIQUE CHECK (length(uuid) = 36 AND uuid NOT GLOB '*[^0-9a-f-]*'
                                   AND uuid GLOB '????????-????-7???-[89ab]???-*'),
  written TEXT NOT NULL CHECK (written GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T*Z'),
  recorded TEXT NOT NULL CHECK (recorded IS date(recorded, '+0 days')),
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days')),
  kind TEXT NOT NULL CHECK (kind IN ('add', 'set', 'retire', 'policy', 'fit', 'fail', 'renew', 'use', 'lose', 'scrap', 'test', 'reading', 'stay', 'condition', 'fault-open', 'fault-close', 'attribute', 'order', 'cancel-order', 'receive', 'move', 'count', 'quarantine', 'trip', 'undo')),
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
INSERT INTO entry VALUES(1,'01873dfc-bff3-7066-bbf3-a4237500f029','2023-04-01T18:03:07.123Z','2023-04-01','2023-04-01','add','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(2,'01873dfc-bff3-7066-bbf4-25c9ece63753','2023-04-01T18:03:07.123Z','2023-04-01','2023-04-01','add','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(3,'01873dfc-bff3-7066-bbf5-5f8980727bd6','2023-04-01T18:03:07.123Z','2023-04-01','2023-04-01','add','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(4,'01873dfc-bff3-7066-bbf6-89f156f0f956','2023-04-01T18:03:07.123Z','2023-04-01','2023-04-01','add','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(5,'01873dfc-bff3-7066-bbf7-b73496dc5838','2023-04-01T18:03:07.123Z','2023-04-01','2023-04-01','add','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(6,'01873dfc-bff3-7066-bbf8-61cf64ddfbcc','2023-04-01T18:03:07.123Z','2023-04-01','2023-04-01','add','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(7,'01873dfc-bff3-7066-bbf9-e232f86f3239','2023-04-01T18:03:07.123Z','2023-04-01','2023-04-01','add','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(8,'01873dfc-bff3-7066-bbfa-7366354e692a','2023-04-01T18:03:07.123Z','2023-04-01','2023-04-01','add','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(9,'01873dfc-bff3-7066-bbfb-a5a61891df39','2023-04-01T18:03:07.123Z','2023-04-01','2023-04-01','add','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(10,'01873dfc-bff3-7066-bbfc-6dd0157d9451','2023-04-01T18:03:07.123Z','2023-04-01','2023-04-01','add','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(11,'01873dfc-bff3-7066-bbfd-7f7a507d3cf0','2023-04-01T18:03:07.123Z','2023-04-01','2023-04-01','add','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(12,'01873dfc-bff3-7066-bbfe-8437e11a5370','2023-04-01T18:03:07.123Z','2023-04-01','2023-04-01','add','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(13,'019e604e-07f3-7082-a25d-57c870c5658a','2026-05-25T18:03:07.123Z','2026-05-25','2024-05-01','receive','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(14,'019e604e-07f3-7082-a25e-3615545ea88c','2026-05-25T18:03:07.123Z','2026-05-25','2023-04-10','fit','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(15,'019e604e-07f3-7082-a25f-6babdb73ef95','2026-05-25T18:03:07.123Z','2026-05-25','2024-05-28','fail','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(16,'019e604e-07f3-7082-a260-1309bdb8bb39','2026-05-25T18:03:07.123Z','2026-05-25','2024-06-30','reading','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(17,'019e604e-07f3-7082-a261-ad6c20ad75cf','2026-05-25T18:03:07.123Z','2026-05-25','2026-05-25','undo','driver','','',16,16,1,NULL);
INSERT INTO entry VALUES(18,'019e604e-07f3-7082-a262-d34fff2850e7','2026-05-25T18:03:07.123Z','2026-05-25','2024-06-30','reading','driver','','',NULL,NULL,0,NULL);
INSERT INTO entry VALUES(19,'019e604e-07f3-7082-a263-5bd278813c52','2026-05-25T18:03:07.123Z','2026-05-25','2026-05-18','order','driver','','',NULL,NULL,0,NULL);
CREATE TABLE rig (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  changed_by INTEGER NOT NULL REFERENCES entry (id),
  gone INTEGER NOT NULL CHECK (gone IN (0, 1)),
  key TEXT NOT NULL CHECK (key <> ''),
  name TEXT NOT NULL,
  retired INTEGER NOT NULL CHECK (retired IN (0, 1))
) STRICT;
INSERT INTO rig VALUES(1,1,1,0,'truck','Expedition truck',0);
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
  basis TEXT NOT NULL CHECK (basis IN ('days', 'distance_km', 'engine_hours', 'run_hours', 'cycles', 'nights')),
  usual_per_day REAL NOT NULL CHECK (usual_per_day >= 0),
  life_median REAL NOT NULL CHECK (life_median > 0),
  life_low REAL NOT NULL CHECK (life_low > 0),
  life_high REAL NOT NULL CHECK (life_high > 0),
  shape REAL NOT NULL CHECK (shape > 0),
  severity TEXT NOT NULL CHECK (severity IN ('safety', 'stranded', 'uninhabitable', 'degraded', 'nuisance')),
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  test_interval_days REAL CHECK (test_interval_days > 0),
  resupply TEXT NOT NULL CHECK (resupply IN ('anywhere', 'hardware-store', 'order-online', 'specialist')),
  shelf_life_days REAL CHECK (shelf_life_days > 0),
  dated INTEGER NOT NULL CHECK (dated IN (0, 1)),
  mass_g REAL CHECK (mass_g >= 0),
  volume_ml REAL CHECK (volume_ml >= 0),
  price INTEGER CHECK (price >= 0),
  sensitivity TEXT NOT NULL,
  workaround TEXT NOT NULL,
  safety_note TEXT NOT NULL,
  basis_note TEXT NOT NULL,
  consumed INTEGER NOT NULL CHECK (consumed IN (0, 1))
) STRICT;
INSERT INTO class VALUES(1,2,2,0,'blade-fuse-mid','Blade fuse, 10 to 20 A',0,'',replace('overload\nrandom','\n',char(10)),'days',1.0,1095.75,182.62499999999999999,6574.4999999999999998,1.1999999999999999555,'degraded',0,NULL,'order-online',NULL,0,NULL,NULL,NULL,replace('humid=1.3\nsalt=1.5','\n',char(10)),'','','',0);
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
INSERT INTO part VALUES(1,3,3,0,'p13','Part p13',0,1,40,1.0,NULL,1,NULL,NULL,NULL,NULL,NULL,'');
INSERT INTO part VALUES(2,4,4,0,'p14','Part p14',0,1,40,1.0,NULL,1,NULL,NULL,NULL,NULL,NULL,'');
INSERT INTO part VALUES(3,5,5,0,'p25','Part p25',0,1,40,1.0,NULL,1,NULL,NULL,NULL,NULL,NULL,'');
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
  severity TEXT CHECK (severity IN ('safety', 'stranded', 'uninhabitable', 'degraded', 'nuisance')),
  meter INTEGER REFERENCES meter (id),
  usual_per_day REAL CHECK (usual_per_day >= 0),
  usual_meter INTEGER REFERENCES meter (id),
  workaround TEXT NOT NULL,
  place TEXT NOT NULL,
  nicknames TEXT NOT NULL,
  cost_of_day INTEGER CHECK (cost_of_day >= 0),
  note TEXT NOT NULL
) STRICT;
INSERT INTO position VALUES(1,6,6,0,'l21','Sample fridge fuse 15 A',0,1,1,NULL,1,1,NULL,NULL,NULL,NULL,'','','',NULL,'');
INSERT INTO position VALUES(2,7,7,0,'l05','Valve stems',0,1,3,NULL,4,1,NULL,NULL,NULL,NULL,'','','',NULL,'');
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
INSERT INTO meter VALUES(1,11,11,0,'truck-km','Odometer',0,1,'km',60.0);
INSERT INTO meter VALUES(2,12,12,0,'nights','Nights',0,1,'nights',NULL);
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
INSERT INTO bin VALUES(1,8,8,0,'b1','Door box',0,1,0,0);
INSERT INTO bin VALUES(2,9,9,0,'b7','Shed shelf',0,NULL,1,0);
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
INSERT INTO supplier VALUES(1,10,10,0,'s1','Farm counter',0,'walk-in');
CREATE TABLE safety_note (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  changed_by INTEGER NOT NULL REFERENCES entry (id),
  gone INTEGER NOT NULL CHECK (gone IN (0, 1)),
  key TEXT NOT NULL CHECK (key <> ''),
  shown_when TEXT NOT NULL,
  text TEXT NOT NULL
) STRICT;
CREATE TABLE change (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  kind TEXT NOT NULL CHECK (kind IN ('rig', 'class', 'supplier', 'bin', 'meter', 'part', 'position', 'substitute', 'safety_note')),
  object INTEGER NOT NULL,
  field TEXT NOT NULL,
  added INTEGER NOT NULL CHECK (added IN (0, 1)),
  old ANY,
  new ANY,
  CHECK (added = 0 OR old IS NULL),
  CHECK (added = 1 OR old IS NOT new)
) STRICT;
INSERT INTO change VALUES(1,1,'rig',1,'key',1,NULL,'truck');
INSERT INTO change VALUES(2,1,'rig',1,'name',1,NULL,'Expedition truck');
INSERT INTO change VALUES(3,2,'class',1,'key',1,NULL,'blade-fuse-mid');
INSERT INTO change VALUES(4,2,'class',1,'name',1,NULL,'Blade fuse, 10 to 20 A');
INSERT INTO change VALUES(5,2,'class',1,'failure_modes',1,NULL,replace('overload\nrandom','\n',char(10)));
INSERT INTO change VALUES(6,2,'class',1,'basis',1,NULL,'days');
INSERT INTO change VALUES(7,2,'class',1,'usual_per_day',1,NULL,1.0);
INSERT INTO change VALUES(8,2,'class',1,'life_median',1,NULL,1095.75);
INSERT INTO change VALUES(9,2,'class',1,'life_low',1,NULL,182.62499999999999999);
INSERT INTO change VALUES(10,2,'class',1,'life_high',1,NULL,6574.4999999999999998);
INSERT INTO change VALUES(11,2,'class',1,'shape',1,NULL,1.1999999999999999555);
INSERT INTO change VALUES(12,2,'class',1,'severity',1,NULL,'degraded');
INSERT INTO change VALUES(13,2,'class',1,'resupply',1,NULL,'order-online');
INSERT INTO change VALUES(14,2,'class',1,'sensitivity',1,NULL,replace('humid=1.3\nsalt=1.5','\n',char(10)));
INSERT INTO change VALUES(15,3,'part',1,'key',1,NULL,'p13');
INSERT INTO change VALUES(16,3,'part',1,'name',1,NULL,'Part p13');
INSERT INTO change VALUES(17,3,'part',1,'component_class',1,NULL,1);
INSERT INTO change VALUES(18,3,'part',1,'price',1,NULL,40);
INSERT INTO change VALUES(19,3,'part',1,'mass_g',1,NULL,1.0);
INSERT INTO change VALUES(20,3,'part',1,'pack',1,NULL,1);
INSERT INTO change VALUES(21,4,'part',2,'key',1,NULL,'p14');
INSERT INTO change VALUES(22,4,'part',2,'name',1,NULL,'Part p14');
INSERT INTO change VALUES(23,4,'part',2,'component_class',1,NULL,1);
INSERT INTO change VALUES(24,4,'part',2,'price',1,NULL,40);
INSERT INTO change VALUES(25,4,'part',2,'mass_g',1,NULL,1.0);
INSERT INTO change VALUES(26,4,'part',2,'pack',1,NULL,1);
INSERT INTO change VALUES(27,5,'part',3,'key',1,NULL,'p25');
INSERT INTO change VALUES(28,5,'part',3,'name',1,NULL,'Part p25');
INSERT INTO change VALUES(29,5,'part',3,'component_class',1,NULL,1);
INSERT INTO change VALUES(30,5,'part',3,'price',1,NULL,40);
INSERT INTO change VALUES(31,5,'part',3,'mass_g',1,NULL,1.0);
INSERT INTO change VALUES(32,5,'part',3,'pack',1,NULL,1);
INSERT INTO change VALUES(33,6,'position',1,'key',1,NULL,'l21');
INSERT INTO change VALUES(34,6,'position',1,'name',1,NULL,'Sample fridge fuse 15 A');
INSERT INTO change VALUES(35,6,'position',1,'rig',1,NULL,1);
INSERT INTO change VALUES(36,6,'position',1,'part',1,NULL,1);
INSERT INTO change VALUES(37,6,'position',1,'units',1,NULL,1);
INSERT INTO change VALUES(38,6,'position',1,'pieces',1,NULL,1);
INSERT INTO change VALUES(39,7,'position',2,'key',1,NULL,'l05');
INSERT INTO change VALUES(40,7,'position',2,'name',1,NULL,'Valve stems');
INSERT INTO change VALUES(41,7,'position',2,'rig',1,NULL,1);
INSERT INTO change VALUES(42,7,'position',2,'part',1,NULL,3);
INSERT INTO change VALUES(43,7,'position',2,'units',1,NULL,4);
INSERT INTO change VALUES(44,7,'position',2,'pieces',1,NULL,1);
INSERT INTO change VALUES(45,8,'bin',1,'key',1,NULL,'b1');
INSERT INTO change VALUES(46,8,'bin',1,'name',1,NULL,'Door box');
INSERT INTO change VALUES(47,8,'bin',1,'rig',1,NULL,1);
INSERT INTO change VALUES(48,9,'bin',2,'key',1,NULL,'b7');
INSERT INTO change VALUES(49,9,'bin',2,'name',1,NULL,'Shed shelf');
INSERT INTO change VALUES(50,9,'bin',2,'ashore',1,NULL,1);
INSERT INTO change VALUES(51,10,'supplier',1,'key',1,NULL,'s1');
INSERT INTO change VALUES(52,10,'supplier',1,'name',1,NULL,'Farm counter');
INSERT INTO change VALUES(53,10,'supplier',1,'kind',1,NULL,'walk-in');
INSERT INTO change VALUES(54,11,'meter',1,'key',1,NULL,'truck-km');
INSERT INTO change VALUES(55,11,'meter',1,'name',1,NULL,'Odometer');
INSERT INTO change VALUES(56,11,'meter',1,'rig',1,NULL,1);
INSERT INTO change VALUES(57,11,'meter',1,'unit',1,NULL,'km');
INSERT INTO change VALUES(58,11,'meter',1,'usual_per_day',1,NULL,60.0);
INSERT INTO change VALUES(59,12,'meter',2,'key',1,NULL,'nights');
INSERT INTO change VALUES(60,12,'meter',2,'name',1,NULL,'Nights');
INSERT INTO change VALUES(61,12,'meter',2,'rig',1,NULL,1);
INSERT INTO change VALUES(62,12,'meter',2,'unit',1,NULL,'nights');
CREATE TABLE policy (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  key TEXT NOT NULL CHECK (key <> ''),
  value REAL
) STRICT;
CREATE TABLE fault (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  key TEXT NOT NULL CHECK (key <> ''),
  position INTEGER REFERENCES position (id) CHECK (position IS NOT NULL),
  note TEXT NOT NULL
) STRICT;
CREATE TABLE fault_close (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  fault INTEGER NOT NULL REFERENCES fault (id),
  note TEXT NOT NULL
) STRICT;
CREATE TABLE test (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  position INTEGER NOT NULL REFERENCES position (id),
  unit INTEGER CHECK (unit >= 1),
  passed INTEGER NOT NULL CHECK (passed IN (0, 1)),
  reading TEXT NOT NULL,
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days'))
) STRICT;
CREATE TABLE reading (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  meter INTEGER NOT NULL REFERENCES meter (id),
  value REAL NOT NULL CHECK (value >= 0),
  replaced INTEGER NOT NULL CHECK (replaced IN (0, 1)),
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days'))
) STRICT;
INSERT INTO reading VALUES(1,16,1,176800.0,0,'2024-06-30');
INSERT INTO reading VALUES(2,18,1,167800.0,0,'2024-06-30');
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
CREATE TABLE trip_use (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  leg INTEGER NOT NULL REFERENCES trip_leg (id),
  meter INTEGER NOT NULL REFERENCES meter (id),
  amount REAL NOT NULL CHECK (amount >= 0)
) STRICT;
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
INSERT INTO lot VALUES(1,13,1,'VB-07',NULL,NULL,'new',NULL,40,0);
CREATE TABLE unit_end (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  unit INTEGER NOT NULL REFERENCES unit_begin (id),
  kind TEXT NOT NULL CHECK (kind IN ('failed', 'failed-on-test', 'renewed', 'expired', 'lost', 'stand-in-removed')),
  last_good TEXT CHECK (last_good IS date(last_good, '+0 days')),
  test_date TEXT CHECK (test_date IS date(test_date, '+0 days')),
  fault INTEGER REFERENCES fault (id),
  cause TEXT NOT NULL,
  left_state TEXT NOT NULL CHECK (left_state IN ('empty', 'fitted', 'dead', 'workaround', 'stand-in')),
  note TEXT NOT NULL
) STRICT;
INSERT INTO unit_end VALUES(1,15,1,'failed',NULL,NULL,NULL,'overload','empty','');
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
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days')),
  CHECK (part IS NULL OR no_part = ''), CHECK (lot IS NULL OR part IS NOT NULL)
) STRICT;
INSERT INTO unit_begin VALUES(1,14,1,1,1,'',0,NULL,NULL,0,NULL,NULL,'2023-04-10');
INSERT INTO unit_begin VALUES(2,15,1,1,1,'',0,1,NULL,0,NULL,NULL,'2024-05-28');
CREATE TABLE repair (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  unit INTEGER NOT NULL REFERENCES unit_begin (id),
  cause TEXT NOT NULL,
  took_part INTEGER NOT NULL CHECK (took_part IN (0, 1)),
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days'))
) STRICT;
CREATE TABLE open_place (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  position INTEGER NOT NULL REFERENCES position (id),
  unit INTEGER NOT NULL CHECK (unit >= 1),
  state TEXT NOT NULL CHECK (state IN ('empty', 'fitted', 'dead', 'workaround', 'stand-in')),
  note TEXT NOT NULL,
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days'))
) STRICT;
CREATE TABLE attribution (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  fault INTEGER NOT NULL REFERENCES fault (id),
  unit INTEGER NOT NULL REFERENCES unit_begin (id)
) STRICT;
CREATE TABLE movement (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  lot INTEGER NOT NULL REFERENCES lot (id),
  quantity INTEGER NOT NULL CHECK (quantity > 0),
  from_bin INTEGER REFERENCES bin (id),
  from_position INTEGER REFERENCES position (id),
  from_outside TEXT CHECK (from_outside IN ('supplier', 'before', 'consumed', 'scrapped', 'lost', 'count-difference', 'taken-off')),
  to_bin INTEGER REFERENCES bin (id),
  to_position INTEGER REFERENCES position (id),
  to_outside TEXT CHECK (to_outside IN ('supplier', 'before', 'consumed', 'scrapped', 'lost', 'count-difference', 'taken-off')),
  part INTEGER NOT NULL REFERENCES part (id),
  happened TEXT NOT NULL CHECK (happened IS date(happened, '+0 days')),
  CHECK ((from_bin IS NOT NULL) + (from_position IS NOT NULL) + (from_outside IS NOT NULL) = 1),
  CHECK ((to_bin IS NOT NULL) + (to_position IS NOT NULL) + (to_outside IS NOT NULL) = 1),
  CHECK (NOT (from_bin IS to_bin AND from_position IS to_position AND from_outside IS to_outside))
) STRICT;
INSERT INTO movement VALUES(1,13,1,5,NULL,NULL,'supplier',1,NULL,NULL,1,'2024-05-01');
INSERT INTO movement VALUES(2,15,1,1,1,NULL,NULL,NULL,1,NULL,1,'2024-05-28');
CREATE TABLE usage (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  part INTEGER REFERENCES part (id),
  position INTEGER REFERENCES position (id),
  quantity INTEGER NOT NULL CHECK (quantity > 0),
  lost INTEGER NOT NULL CHECK (lost IN (0, 1)),
  CHECK (part IS NOT NULL OR (lost = 1 AND position IS NOT NULL))
) STRICT;
CREATE TABLE quarantine (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  lot INTEGER NOT NULL REFERENCES lot (id),
  quarantined INTEGER NOT NULL CHECK (quarantined IN (0, 1))
) STRICT;
CREATE TABLE order_line (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  number TEXT NOT NULL CHECK (number <> ''),
  part INTEGER NOT NULL REFERENCES part (id),
  supplier INTEGER NOT NULL REFERENCES supplier (id),
  quantity INTEGER NOT NULL CHECK (quantity > 0),
  promised TEXT CHECK (promised IS date(promised, '+0 days')),
  cost INTEGER CHECK (cost >= 0),
  deliver_to TEXT NOT NULL,
  serial INTEGER
) STRICT;
INSERT INTO order_line VALUES(1,19,'o1',1,1,10,'2026-06-01',400,'b1',1);
CREATE TABLE receipt (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  order_line INTEGER NOT NULL REFERENCES order_line (id),
  quantity INTEGER NOT NULL CHECK (quantity >= 0),
  cancelled INTEGER NOT NULL CHECK (cancelled IN (0, 1)),
  CHECK (quantity > 0 OR cancelled = 1)
) STRICT;
CREATE TABLE balance (
  lot INTEGER NOT NULL REFERENCES lot (id),
  kind TEXT NOT NULL CHECK (kind IN ('bin', 'position')),
  place INTEGER NOT NULL,
  part INTEGER NOT NULL REFERENCES part (id),  -- the lot's
  quantity INTEGER NOT NULL CHECK (quantity >= 0),
  PRIMARY KEY (lot, kind, place)
) STRICT, WITHOUT ROWID;
INSERT INTO balance VALUES(1,'bin',1,1,4);
INSERT INTO balance VALUES(1,'position',1,1,1);
CREATE UNIQUE INDEX entry_reverses ON entry (reverses) WHERE reverses IS NOT NULL;
CREATE INDEX entry_root ON entry (root, recorded) WHERE root IS NOT NULL;
CREATE INDEX entry_happened ON entry (happened);
CREATE INDEX entry_batch ON entry (batch) WHERE batch <> '';
CREATE INDEX entry_said ON entry (said) WHERE said IS NOT NULL;
CREATE TRIGGER entry_new BEFORE INSERT ON entry
WHEN NEW.id BETWEEN 0 AND (SELECT max(id) FROM entry)  -- a number still to be chosen is -1 here
  OR EXISTS (SELECT 1 FROM entry WHERE uuid = NEW.uuid)
  OR EXISTS (SELECT 1 FROM entry WHERE reverses = NEW.reverses)
BEGIN SELECT RAISE(ABORT, 'entries are only ever added at the end'); END
;
CREATE TRIGGER entry_kept BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are never removed'); END;
CREATE TRIGGER entry_chain BEFORE INSERT ON entry WHEN NEW.reverses IS NOT NULL BEGIN
  SELECT RAISE(ABORT, 'a reversal must continue the chain of the entry it takes back')
    WHERE NOT EXISTS (SELECT 1 FROM entry WHERE id = NEW.reverses AND ifnull(root, id) = NEW.root
                        AND depth + 1 = NEW.depth AND recorded <= NEW.recorded);
END;
CREATE UNIQUE INDEX rig_key ON rig (key) WHERE gone = 0;
CREATE TRIGGER rig_new BEFORE INSERT ON rig
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM rig WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER rig_kept BEFORE UPDATE OF id, entry, changed_by, key, name, retired ON rig
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'rig' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <> (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER rig_gone BEFORE UPDATE OF gone ON rig
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER rig_stays BEFORE DELETE ON rig
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;
CREATE UNIQUE INDEX class_key ON class (key) WHERE gone = 0;
CREATE TRIGGER class_new BEFORE INSERT ON class
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM class WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER class_kept BEFORE UPDATE OF id, entry, changed_by, key, name, retired, system, failure_modes, basis, usual_per_day, life_median, life_low, life_high, shape, severity, hidden, test_interval_days, resupply, shelf_life_days, dated, mass_g, volume_ml, price, sensitivity, workaround, safety_note, basis_note, consumed ON class
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'class' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <> (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired) + (OLD.system IS NOT NEW.system) + (OLD.failure_modes IS NOT NEW.failure_modes) + (OLD.basis IS NOT NEW.basis) + (OLD.usual_per_day IS NOT NEW.usual_per_day) + (OLD.life_median IS NOT NEW.life_median) + (OLD.life_low IS NOT NEW.life_low) + (OLD.life_high IS NOT NEW.life_high) + (OLD.shape IS NOT NEW.shape) + (OLD.severity IS NOT NEW.severity) + (OLD.hidden IS NOT NEW.hidden) + (OLD.test_interval_days IS NOT NEW.test_interval_days) + (OLD.resupply IS NOT NEW.resupply) + (OLD.shelf_life_days IS NOT NEW.shelf_life_days) + (OLD.dated IS NOT NEW.dated) + (OLD.mass_g IS NOT NEW.mass_g) + (OLD.volume_ml IS NOT NEW.volume_ml) + (OLD.price IS NOT NEW.price) + (OLD.sensitivity IS NOT NEW.sensitivity) + (OLD.workaround IS NOT NEW.workaround) + (OLD.safety_note IS NOT NEW.safety_note) + (OLD.basis_note IS NOT NEW.basis_note) + (OLD.consumed IS NOT NEW.consumed)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER class_gone BEFORE UPDATE OF gone ON class
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER class_stays BEFORE DELETE ON class
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;
CREATE UNIQUE INDEX part_key ON part (key) WHERE gone = 0;
CREATE TRIGGER part_new BEFORE INSERT ON part
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM part WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER part_kept BEFORE UPDATE OF id, entry, changed_by, key, name, retired, component_class, price, mass_g, volume_ml, pack, shelf_life_days, supplier, resupply, rating_ampere, home_bin, note ON part
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'part' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <> (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired) + (OLD.component_class IS NOT NEW.component_class) + (OLD.price IS NOT NEW.price) + (OLD.mass_g IS NOT NEW.mass_g) + (OLD.volume_ml IS NOT NEW.volume_ml) + (OLD.pack IS NOT NEW.pack) + (OLD.shelf_life_days IS NOT NEW.shelf_life_days) + (OLD.supplier IS NOT NEW.supplier) + (OLD.resupply IS NOT NEW.resupply) + (OLD.rating_ampere IS NOT NEW.rating_ampere) + (OLD.home_bin IS NOT NEW.home_bin) + (OLD.note IS NOT NEW.note)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER part_gone BEFORE UPDATE OF gone ON part
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER part_stays BEFORE DELETE ON part
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;
CREATE UNIQUE INDEX substitute_key ON substitute (part, stands_for, ifnull(only_at, 0)) WHERE gone = 0;
CREATE TRIGGER substitute_new BEFORE INSERT ON substitute
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM substitute WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER substitute_kept BEFORE UPDATE OF id, entry, changed_by, part, stands_for, temporary, only_at, forbidden, note ON substitute
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'substitute' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <> (OLD.part IS NOT NEW.part) + (OLD.stands_for IS NOT NEW.stands_for) + (OLD.temporary IS NOT NEW.temporary) + (OLD.only_at IS NOT NEW.only_at) + (OLD.forbidden IS NOT NEW.forbidden) + (OLD.note IS NOT NEW.note)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER substitute_gone BEFORE UPDATE OF gone ON substitute
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER substitute_stays BEFORE DELETE ON substitute
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;
CREATE UNIQUE INDEX position_key ON position (key) WHERE gone = 0;
CREATE TRIGGER position_new BEFORE INSERT ON position
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM position WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER position_kept BEFORE UPDATE OF id, entry, changed_by, key, name, retired, rig, part, component_class, units, pieces, severity, meter, usual_per_day, usual_meter, workaround, place, nicknames, cost_of_day, note ON position
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'position' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <> (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired) + (OLD.rig IS NOT NEW.rig) + (OLD.part IS NOT NEW.part) + (OLD.component_class IS NOT NEW.component_class) + (OLD.units IS NOT NEW.units) + (OLD.pieces IS NOT NEW.pieces) + (OLD.severity IS NOT NEW.severity) + (OLD.meter IS NOT NEW.meter) + (OLD.usual_per_day IS NOT NEW.usual_per_day) + (OLD.usual_meter IS NOT NEW.usual_meter) + (OLD.workaround IS NOT NEW.workaround) + (OLD.place IS NOT NEW.place) + (OLD.nicknames IS NOT NEW.nicknames) + (OLD.cost_of_day IS NOT NEW.cost_of_day) + (OLD.note IS NOT NEW.note)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER position_gone BEFORE UPDATE OF gone ON position
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER position_stays BEFORE DELETE ON position
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;
CREATE UNIQUE INDEX meter_key ON meter (key) WHERE gone = 0;
CREATE TRIGGER meter_new BEFORE INSERT ON meter
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM meter WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER meter_kept BEFORE UPDATE OF id, entry, changed_by, key, name, retired, rig, unit, usual_per_day ON meter
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'meter' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <> (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired) + (OLD.rig IS NOT NEW.rig) + (OLD.unit IS NOT NEW.unit) + (OLD.usual_per_day IS NOT NEW.usual_per_day)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER meter_gone BEFORE UPDATE OF gone ON meter
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER meter_stays BEFORE DELETE ON meter
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;
CREATE UNIQUE INDEX bin_key ON bin (key) WHERE gone = 0;
CREATE TRIGGER bin_new BEFORE INSERT ON bin
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM bin WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER bin_kept BEFORE UPDATE OF id, entry, changed_by, key, name, retired, rig, ashore, outside_volume ON bin
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'bin' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <> (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired) + (OLD.rig IS NOT NEW.rig) + (OLD.ashore IS NOT NEW.ashore) + (OLD.outside_volume IS NOT NEW.outside_volume)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER bin_gone BEFORE UPDATE OF gone ON bin
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER bin_stays BEFORE DELETE ON bin
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;
CREATE UNIQUE INDEX supplier_key ON supplier (key) WHERE gone = 0;
CREATE TRIGGER supplier_new BEFORE INSERT ON supplier
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM supplier WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER supplier_kept BEFORE UPDATE OF id, entry, changed_by, key, name, retired, kind ON supplier
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'supplier' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <> (OLD.key IS NOT NEW.key) + (OLD.name IS NOT NEW.name) + (OLD.retired IS NOT NEW.retired) + (OLD.kind IS NOT NEW.kind)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER supplier_gone BEFORE UPDATE OF gone ON supplier
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER supplier_stays BEFORE DELETE ON supplier
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;
CREATE UNIQUE INDEX safety_note_key ON safety_note (key) WHERE gone = 0;
CREATE TRIGGER safety_note_new BEFORE INSERT ON safety_note
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM safety_note WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER safety_note_kept BEFORE UPDATE OF id, entry, changed_by, key, shown_when, text ON safety_note
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = 'safety_note' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <> (OLD.key IS NOT NEW.key) + (OLD.shown_when IS NOT NEW.shown_when) + (OLD.text IS NOT NEW.text)
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER safety_note_gone BEFORE UPDATE OF gone ON safety_note
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER safety_note_stays BEFORE DELETE ON safety_note
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;
CREATE INDEX change_entry ON change (entry);
CREATE INDEX change_kind ON change (kind, object, field);
CREATE TRIGGER change_new BEFORE INSERT ON change
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM change WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER change_kept BEFORE UPDATE ON change
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER change_stays BEFORE DELETE ON change
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX policy_entry ON policy (entry);
CREATE TRIGGER policy_new BEFORE INSERT ON policy
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM policy WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER policy_kept BEFORE UPDATE ON policy
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER policy_stays BEFORE DELETE ON policy
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX fault_entry ON fault (entry);
CREATE INDEX fault_key ON fault (key);
CREATE INDEX fault_position ON fault (position);
CREATE TRIGGER fault_new BEFORE INSERT ON fault
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM fault WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER fault_kept BEFORE UPDATE ON fault
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER fault_stays BEFORE DELETE ON fault
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX fault_close_entry ON fault_close (entry);
CREATE INDEX fault_close_fault ON fault_close (fault);
CREATE TRIGGER fault_close_new BEFORE INSERT ON fault_close
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM fault_close WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER fault_close_kept BEFORE UPDATE ON fault_close
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER fault_close_stays BEFORE DELETE ON fault_close
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX test_entry ON test (entry);
CREATE INDEX test_position ON test (position, unit, happened);
CREATE TRIGGER test_new BEFORE INSERT ON test
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM test WHERE id = NEW.id)
  OR NEW.happened IS NOT (SELECT happened FROM entry WHERE id = NEW.entry)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER test_kept BEFORE UPDATE ON test
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER test_stays BEFORE DELETE ON test
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX reading_entry ON reading (entry);
CREATE INDEX reading_meter ON reading (meter, happened);
CREATE TRIGGER reading_new BEFORE INSERT ON reading
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM reading WHERE id = NEW.id)
  OR NEW.happened IS NOT (SELECT happened FROM entry WHERE id = NEW.entry)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER reading_kept BEFORE UPDATE ON reading
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER reading_stays BEFORE DELETE ON reading
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX stay_entry ON stay (entry);
CREATE TRIGGER stay_new BEFORE INSERT ON stay
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM stay WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER stay_kept BEFORE UPDATE ON stay
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER stay_stays BEFORE DELETE ON stay
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX condition_entry ON condition (entry);
CREATE TRIGGER condition_new BEFORE INSERT ON condition
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM condition WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER condition_kept BEFORE UPDATE ON condition
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER condition_stays BEFORE DELETE ON condition
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX trip_entry ON trip (entry);
CREATE TRIGGER trip_new BEFORE INSERT ON trip
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM trip WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER trip_kept BEFORE UPDATE ON trip
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER trip_stays BEFORE DELETE ON trip
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX trip_leg_entry ON trip_leg (entry);
CREATE INDEX trip_leg_trip ON trip_leg (trip);
CREATE TRIGGER trip_leg_new BEFORE INSERT ON trip_leg
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM trip_leg WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER trip_leg_kept BEFORE UPDATE ON trip_leg
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER trip_leg_stays BEFORE DELETE ON trip_leg
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX trip_use_entry ON trip_use (entry);
CREATE INDEX trip_use_leg ON trip_use (leg);
CREATE TRIGGER trip_use_new BEFORE INSERT ON trip_use
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM trip_use WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER trip_use_kept BEFORE UPDATE ON trip_use
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER trip_use_stays BEFORE DELETE ON trip_use
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX trip_stop_entry ON trip_stop (entry);
CREATE INDEX trip_stop_trip ON trip_stop (trip);
CREATE TRIGGER trip_stop_new BEFORE INSERT ON trip_stop
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM trip_stop WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER trip_stop_kept BEFORE UPDATE ON trip_stop
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER trip_stop_stays BEFORE DELETE ON trip_stop
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX lot_entry ON lot (entry);
CREATE INDEX lot_part ON lot (part);
CREATE TRIGGER lot_new BEFORE INSERT ON lot
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM lot WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER lot_kept BEFORE UPDATE ON lot
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER lot_stays BEFORE DELETE ON lot
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX unit_end_entry ON unit_end (entry);
CREATE INDEX unit_end_unit ON unit_end (unit);
CREATE TRIGGER unit_end_new BEFORE INSERT ON unit_end
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM unit_end WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER unit_end_kept BEFORE UPDATE ON unit_end
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER unit_end_stays BEFORE DELETE ON unit_end
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX unit_begin_entry ON unit_begin (entry);
CREATE INDEX unit_begin_position ON unit_begin (position, unit, happened);
CREATE INDEX unit_begin_part ON unit_begin (part);
CREATE INDEX unit_begin_lot ON unit_begin (lot) WHERE lot IS NOT NULL;
CREATE TRIGGER unit_begin_new BEFORE INSERT ON unit_begin
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM unit_begin WHERE id = NEW.id)
  OR NEW.happened IS NOT (SELECT happened FROM entry WHERE id = NEW.entry)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER unit_begin_kept BEFORE UPDATE ON unit_begin
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER unit_begin_stays BEFORE DELETE ON unit_begin
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX repair_entry ON repair (entry);
CREATE INDEX repair_unit ON repair (unit, happened);
CREATE TRIGGER repair_new BEFORE INSERT ON repair
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM repair WHERE id = NEW.id)
  OR NEW.happened IS NOT (SELECT happened FROM entry WHERE id = NEW.entry)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER repair_kept BEFORE UPDATE ON repair
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER repair_stays BEFORE DELETE ON repair
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX open_place_entry ON open_place (entry);
CREATE INDEX open_place_position ON open_place (position, unit, happened);
CREATE TRIGGER open_place_new BEFORE INSERT ON open_place
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM open_place WHERE id = NEW.id)
  OR NEW.happened IS NOT (SELECT happened FROM entry WHERE id = NEW.entry)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER open_place_kept BEFORE UPDATE ON open_place
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER open_place_stays BEFORE DELETE ON open_place
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX attribution_entry ON attribution (entry);
CREATE INDEX attribution_unit ON attribution (unit);
CREATE TRIGGER attribution_new BEFORE INSERT ON attribution
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM attribution WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER attribution_kept BEFORE UPDATE ON attribution
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER attribution_stays BEFORE DELETE ON attribution
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX movement_entry ON movement (entry);
CREATE INDEX movement_lot ON movement (lot, happened);
CREATE INDEX movement_part ON movement (part, happened);
CREATE TRIGGER movement_new BEFORE INSERT ON movement
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM movement WHERE id = NEW.id)
  OR NEW.part IS NOT (SELECT part FROM lot WHERE id = NEW.lot)
  OR NEW.happened IS NOT (SELECT happened FROM entry WHERE id = NEW.entry)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER movement_kept BEFORE UPDATE ON movement
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER movement_stays BEFORE DELETE ON movement
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX usage_entry ON usage (entry);
CREATE INDEX usage_part ON usage (part);
CREATE INDEX usage_position ON usage (position);
CREATE TRIGGER usage_new BEFORE INSERT ON usage
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM usage WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER usage_kept BEFORE UPDATE ON usage
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER usage_stays BEFORE DELETE ON usage
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX quarantine_entry ON quarantine (entry);
CREATE INDEX quarantine_lot ON quarantine (lot);
CREATE TRIGGER quarantine_new BEFORE INSERT ON quarantine
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM quarantine WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER quarantine_kept BEFORE UPDATE ON quarantine
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER quarantine_stays BEFORE DELETE ON quarantine
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX order_line_entry ON order_line (entry);
CREATE INDEX order_line_part ON order_line (part);
CREATE INDEX order_line_number ON order_line (number);
CREATE INDEX order_line_serial ON order_line (serial);
CREATE TRIGGER order_line_new BEFORE INSERT ON order_line
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM order_line WHERE id = NEW.id)
  OR NEW.serial IS NOT iif(NEW.number GLOB 'o[0-9]*' AND NOT substr(NEW.number, 2) GLOB '*[^0-9]*' AND length(NEW.number) < 20, CAST(substr(NEW.number, 2) AS INTEGER), NULL)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER order_line_kept BEFORE UPDATE ON order_line
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER order_line_stays BEFORE DELETE ON order_line
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX receipt_entry ON receipt (entry);
CREATE INDEX receipt_order_line ON receipt (order_line);
CREATE TRIGGER receipt_new BEFORE INSERT ON receipt
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry)
  OR EXISTS (SELECT 1 FROM receipt WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'lines are added with their entry only'); END;
CREATE TRIGGER receipt_kept BEFORE UPDATE ON receipt
BEGIN SELECT RAISE(ABORT, 'lines are never changed'); END;
CREATE TRIGGER receipt_stays BEFORE DELETE ON receipt
BEGIN SELECT RAISE(ABORT, 'lines are never removed'); END;
CREATE INDEX balance_part ON balance (part, lot, place) WHERE kind = 'bin' AND quantity > 0;
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
  UPDATE part SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'part' AND added = 1);
  UPDATE substitute SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'substitute' AND added = 1);
  UPDATE position SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'position' AND added = 1);
  UPDATE meter SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'meter' AND added = 1);
  UPDATE bin SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'bin' AND added = 1);
  UPDATE supplier SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'supplier' AND added = 1);
  UPDATE safety_note SET gone = NEW.depth % 2 WHERE id IN (
    SELECT object FROM change WHERE entry = NEW.root AND kind = 'safety_note' AND added = 1);
END;
COMMIT;
PRAGMA application_id = 1397248078;
PRAGMA user_version = 1;
