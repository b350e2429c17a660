-- A season file of form 7, as SQL text: what the program wrote before form 8. See tests/season/test_season_forms.py.
PRAGMA application_id = 1279476044;
PRAGMA user_version = 7;
BEGIN TRANSACTION;
CREATE TABLE change (
    id INTEGER PRIMARY KEY,
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    subject TEXT NOT NULL,
    key TEXT NOT NULL,
    field TEXT NOT NULL,
    value TEXT,                                        -- JSON, SI; NULL: taken away
    was TEXT,                                          -- JSON before this entry; NULL: was not there
    CHECK (value IS NOT was)
);
INSERT INTO "change" VALUES(1,1,'tire','front','read_at','"not read yet: look at the sidewall"',NULL);
INSERT INTO "change" VALUES(2,1,'tire','rear','read_at','"not read yet: look at the sidewall"',NULL);
INSERT INTO "change" VALUES(3,1,'vehicle','vehicle','name','"Example vehicle (replace with your own)"',NULL);
INSERT INTO "change" VALUES(4,1,'vehicle','vehicle','curb_from','"example figure: replace with your own"',NULL);
INSERT INTO "change" VALUES(5,1,'vehicle','vehicle','curb_fuel_l','68.13741211199999',NULL);
INSERT INTO "change" VALUES(6,1,'vehicle','vehicle','curb_left_m','0.0',NULL);
INSERT INTO "change" VALUES(7,1,'vehicle','vehicle','curb_up_m','0.6858',NULL);
INSERT INTO "change" VALUES(8,1,'vehicle','vehicle','cg_height_from','"example figure: replace with your own"',NULL);
INSERT INTO "change" VALUES(9,1,'vehicle','vehicle','wheelbase_m','2.794',NULL);
INSERT INTO "change" VALUES(10,1,'vehicle','vehicle','front_track_m','1.6001999999999998',NULL);
INSERT INTO "change" VALUES(11,1,'vehicle','vehicle','rear_track_m','1.6001999999999998',NULL);
INSERT INTO "change" VALUES(12,1,'vehicle','vehicle','length_m','4.7498',NULL);
INSERT INTO "change" VALUES(13,1,'vehicle','vehicle','width_m','1.8796',NULL);
INSERT INTO "change" VALUES(14,1,'vehicle','vehicle','height_m','1.8034',NULL);
INSERT INTO "change" VALUES(15,1,'vehicle','vehicle','front_overhang_m','0.889',NULL);
INSERT INTO "change" VALUES(16,1,'vehicle','vehicle','tire_diameter_m','0.762',NULL);
INSERT INTO "change" VALUES(17,1,'vehicle','vehicle','front_roll_share','0.5',NULL);
INSERT INTO "change" VALUES(18,1,'vehicle','vehicle','body_class','"light truck"',NULL);
INSERT INTO "change" VALUES(19,1,'vehicle','vehicle','tank_capacity_l','68.13741211199999',NULL);
INSERT INTO "change" VALUES(20,1,'vehicle','vehicle','tank_density_kg_per_l','0.7429238493647592',NULL);
INSERT INTO "change" VALUES(21,1,'vehicle','vehicle','tank_aft_m','2.1844',NULL);
INSERT INTO "change" VALUES(22,1,'vehicle','vehicle','tank_left_m','0.0',NULL);
INSERT INTO "change" VALUES(23,1,'vehicle','vehicle','tank_up_m','0.5588',NULL);
INSERT INTO "change" VALUES(24,1,'vehicle','vehicle','curb_kg','1950.4471910000002',NULL);
INSERT INTO "change" VALUES(25,1,'vehicle','vehicle','curb_aft_m','1.2995348837209302',NULL);
INSERT INTO "change" VALUES(26,1,'seat','driver','name','"Driver"',NULL);
INSERT INTO "change" VALUES(27,1,'seat','driver','aft_m','1.3461999999999998',NULL);
INSERT INTO "change" VALUES(28,1,'seat','driver','left_m','0.35559999999999997',NULL);
INSERT INTO "change" VALUES(29,1,'seat','driver','up_m','0.8382',NULL);
INSERT INTO "change" VALUES(30,1,'seat','front-passenger','name','"Front passenger"',NULL);
INSERT INTO "change" VALUES(31,1,'seat','front-passenger','aft_m','1.3461999999999998',NULL);
INSERT INTO "change" VALUES(32,1,'seat','front-passenger','left_m','-0.35559999999999997',NULL);
INSERT INTO "change" VALUES(33,1,'seat','front-passenger','up_m','0.8382',NULL);
INSERT INTO "change" VALUES(34,1,'seat','rear-left','name','"Rear left"',NULL);
INSERT INTO "change" VALUES(35,1,'seat','rear-left','aft_m','2.2098',NULL);
INSERT INTO "change" VALUES(36,1,'seat','rear-left','left_m','0.35559999999999997',NULL);
INSERT INTO "change" VALUES(37,1,'seat','rear-left','up_m','0.8635999999999999',NULL);
INSERT INTO "change" VALUES(38,1,'seat','rear-center','name','"Rear center"',NULL);
INSERT INTO "change" VALUES(39,1,'seat','rear-center','aft_m','2.2098',NULL);
INSERT INTO "change" VALUES(40,1,'seat','rear-center','left_m','0.0',NULL);
INSERT INTO "change" VALUES(41,1,'seat','rear-center','up_m','0.8635999999999999',NULL);
INSERT INTO "change" VALUES(42,1,'seat','rear-right','name','"Rear right"',NULL);
INSERT INTO "change" VALUES(43,1,'seat','rear-right','aft_m','2.2098',NULL);
INSERT INTO "change" VALUES(44,1,'seat','rear-right','left_m','-0.35559999999999997',NULL);
INSERT INTO "change" VALUES(45,1,'seat','rear-right','up_m','0.8635999999999999',NULL);
INSERT INTO "change" VALUES(46,1,'carrier','carrier','name','"Example roof carrier (replace with your own)"',NULL);
INSERT INTO "change" VALUES(47,1,'carrier','carrier','mass_kg','27.2155422',NULL);
INSERT INTO "change" VALUES(48,1,'carrier','carrier','aft_m','1.9304',NULL);
INSERT INTO "change" VALUES(49,1,'carrier','carrier','left_m','0.0',NULL);
INSERT INTO "change" VALUES(50,1,'carrier','carrier','up_m','1.8541999999999998',NULL);
INSERT INTO "change" VALUES(51,1,'carrier','carrier','length_m','1.524',NULL);
INSERT INTO "change" VALUES(52,1,'carrier','carrier','width_m','1.2191999999999998',NULL);
INSERT INTO "change" VALUES(53,1,'carrier','carrier','height_m','0.07619999999999999',NULL);
INSERT INTO "change" VALUES(54,1,'setting','season','title','"My season"',NULL);
INSERT INTO "change" VALUES(55,1,'setting','season','units','"US"',NULL);
INSERT INTO "change" VALUES(56,1,'zone','front-footwell','name','"Front footwell"',NULL);
INSERT INTO "change" VALUES(57,1,'zone','front-footwell','aft_m','1.0668',NULL);
INSERT INTO "change" VALUES(58,1,'zone','front-footwell','left_m','-0.35559999999999997',NULL);
INSERT INTO "change" VALUES(59,1,'zone','front-footwell','up_m','0.4826',NULL);
INSERT INTO "change" VALUES(60,1,'zone','front-footwell','length_m','0.35559999999999997',NULL);
INSERT INTO "change" VALUES(61,1,'zone','front-footwell','width_m','0.4572',NULL);
INSERT INTO "change" VALUES(62,1,'zone','front-footwell','height_m','0.30479999999999996',NULL);
INSERT INTO "change" VALUES(63,1,'zone','front-footwell','on_carrier','false',NULL);
INSERT INTO "change" VALUES(64,1,'zone','front-footwell','in_cabin','true',NULL);
INSERT INTO "change" VALUES(65,1,'zone','front-footwell','reach','"on the road"',NULL);
INSERT INTO "change" VALUES(66,1,'zone','rear-seat','name','"Rear seat"',NULL);
INSERT INTO "change" VALUES(67,1,'zone','rear-seat','aft_m','2.2098',NULL);
INSERT INTO "change" VALUES(68,1,'zone','rear-seat','left_m','0.0',NULL);
INSERT INTO "change" VALUES(69,1,'zone','rear-seat','up_m','0.9144',NULL);
INSERT INTO "change" VALUES(70,1,'zone','rear-seat','length_m','0.508',NULL);
INSERT INTO "change" VALUES(71,1,'zone','rear-seat','width_m','1.27',NULL);
INSERT INTO "change" VALUES(72,1,'zone','rear-seat','height_m','0.6095999999999999',NULL);
INSERT INTO "change" VALUES(73,1,'zone','rear-seat','on_carrier','false',NULL);
INSERT INTO "change" VALUES(74,1,'zone','rear-seat','in_cabin','true',NULL);
INSERT INTO "change" VALUES(75,1,'zone','rear-seat','reach','"on the road"',NULL);
INSERT INTO "change" VALUES(76,1,'zone','rear-footwells','name','"Rear footwells"',NULL);
INSERT INTO "change" VALUES(77,1,'zone','rear-footwells','aft_m','1.8796',NULL);
INSERT INTO "change" VALUES(78,1,'zone','rear-footwells','left_m','0.0',NULL);
INSERT INTO "change" VALUES(79,1,'zone','rear-footwells','up_m','0.4826',NULL);
INSERT INTO "change" VALUES(80,1,'zone','rear-footwells','length_m','0.30479999999999996',NULL);
INSERT INTO "change" VALUES(81,1,'zone','rear-footwells','width_m','1.27',NULL);
INSERT INTO "change" VALUES(82,1,'zone','rear-footwells','height_m','0.30479999999999996',NULL);
INSERT INTO "change" VALUES(83,1,'zone','rear-footwells','on_carrier','false',NULL);
INSERT INTO "change" VALUES(84,1,'zone','rear-footwells','in_cabin','true',NULL);
INSERT INTO "change" VALUES(85,1,'zone','rear-footwells','reach','"on the road"',NULL);
INSERT INTO "change" VALUES(86,1,'zone','cargo-floor-front','name','"Cargo floor front"',NULL);
INSERT INTO "change" VALUES(87,1,'zone','cargo-floor-front','aft_m','2.7432',NULL);
INSERT INTO "change" VALUES(88,1,'zone','cargo-floor-front','left_m','0.0',NULL);
INSERT INTO "change" VALUES(89,1,'zone','cargo-floor-front','up_m','0.9144',NULL);
INSERT INTO "change" VALUES(90,1,'zone','cargo-floor-front','length_m','0.4572',NULL);
INSERT INTO "change" VALUES(91,1,'zone','cargo-floor-front','width_m','1.1176',NULL);
INSERT INTO "change" VALUES(92,1,'zone','cargo-floor-front','height_m','0.4064',NULL);
INSERT INTO "change" VALUES(93,1,'zone','cargo-floor-front','on_carrier','false',NULL);
INSERT INTO "change" VALUES(94,1,'zone','cargo-floor-front','in_cabin','true',NULL);
INSERT INTO "change" VALUES(95,1,'zone','cargo-floor-front','reach','"when unloaded"',NULL);
INSERT INTO "change" VALUES(96,1,'zone','cargo-floor-rear','name','"Cargo floor rear"',NULL);
INSERT INTO "change" VALUES(97,1,'zone','cargo-floor-rear','aft_m','3.2512',NULL);
INSERT INTO "change" VALUES(98,1,'zone','cargo-floor-rear','left_m','0.0',NULL);
INSERT INTO "change" VALUES(99,1,'zone','cargo-floor-rear','up_m','0.9144',NULL);
INSERT INTO "change" VALUES(100,1,'zone','cargo-floor-rear','length_m','0.5588',NULL);
INSERT INTO "change" VALUES(101,1,'zone','cargo-floor-rear','width_m','1.1176',NULL);
INSERT INTO "change" VALUES(102,1,'zone','cargo-floor-rear','height_m','0.4064',NULL);
INSERT INTO "change" VALUES(103,1,'zone','cargo-floor-rear','on_carrier','false',NULL);
INSERT INTO "change" VALUES(104,1,'zone','cargo-floor-rear','in_cabin','true',NULL);
INSERT INTO "change" VALUES(105,1,'zone','cargo-floor-rear','reach','"on the road"',NULL);
INSERT INTO "change" VALUES(106,1,'zone','roof-carrier','name','"Roof carrier"',NULL);
INSERT INTO "change" VALUES(107,1,'zone','roof-carrier','aft_m','1.9304',NULL);
INSERT INTO "change" VALUES(108,1,'zone','roof-carrier','left_m','0.0',NULL);
INSERT INTO "change" VALUES(109,1,'zone','roof-carrier','up_m','1.9811999999999999',NULL);
INSERT INTO "change" VALUES(110,1,'zone','roof-carrier','length_m','1.4731999999999998',NULL);
INSERT INTO "change" VALUES(111,1,'zone','roof-carrier','width_m','1.1683999999999999',NULL);
INSERT INTO "change" VALUES(112,1,'zone','roof-carrier','height_m','0.30479999999999996',NULL);
INSERT INTO "change" VALUES(113,1,'zone','roof-carrier','on_carrier','true',NULL);
INSERT INTO "change" VALUES(114,1,'zone','roof-carrier','in_cabin','false',NULL);
INSERT INTO "change" VALUES(115,1,'zone','roof-carrier','reach','"when unloaded"',NULL);
INSERT INTO "change" VALUES(116,1,'occupant','driver','name','"Driver"',NULL);
INSERT INTO "change" VALUES(117,1,'occupant','driver','mass_kg','77.1107029',NULL);
INSERT INTO "change" VALUES(118,1,'occupant','driver','kind','"person"',NULL);
INSERT INTO "change" VALUES(119,1,'occupant','driver','seat','"driver"',NULL);
INSERT INTO "change" VALUES(120,1,'loadout','first-loadout','name','"First loadout"',NULL);
INSERT INTO "change" VALUES(121,1,'loadout','first-loadout','fuel_l','68.13741211199999',NULL);
INSERT INTO "change" VALUES(122,1,'loadout','first-loadout','carrier_on','false',NULL);
INSERT INTO "change" VALUES(123,1,'riding','first-loadout/driver','seat','"driver"',NULL);
INSERT INTO "change" VALUES(124,2,'trailer','trailer','name','"Remorque à bois"',NULL);
INSERT INTO "change" VALUES(125,2,'trailer','trailer','mass_kg','950.0',NULL);
INSERT INTO "change" VALUES(126,2,'trailer','trailer','tongue_kg','90.0',NULL);
INSERT INTO "change" VALUES(127,2,'trailer','trailer','axles','2',NULL);
INSERT INTO "change" VALUES(128,2,'trailer','trailer','axles_share','true',NULL);
INSERT INTO "change" VALUES(129,3,'limit','gross','limit_kg','2900.0',NULL);
INSERT INTO "change" VALUES(130,3,'limit','gross','read_at','"driver''s door jamb label"',NULL);
INSERT INTO "change" VALUES(131,4,'vehicle','vehicle','curb_kg','2010.0','1950.4471910000002');
INSERT INTO "change" VALUES(132,5,'seat','jump-seat','name','"Jump seat"',NULL);
INSERT INTO "change" VALUES(133,5,'seat','jump-seat','aft_m','2.9',NULL);
INSERT INTO "change" VALUES(134,5,'seat','jump-seat','up_m','0.9',NULL);
INSERT INTO "change" VALUES(135,6,'seat','jump-seat','name',NULL,'"Jump seat"');
INSERT INTO "change" VALUES(136,6,'seat','jump-seat','aft_m',NULL,'2.9');
INSERT INTO "change" VALUES(137,6,'seat','jump-seat','up_m',NULL,'0.9');
CREATE TABLE entry (
    id INTEGER PRIMARY KEY,
    at TEXT NOT NULL,                                  -- UTC, ISO 8601
    who TEXT NOT NULL,
    kind TEXT NOT NULL,                                -- start, edit, import, undo, weigh-in, trip, ...
    note TEXT NOT NULL,
    undoes INTEGER UNIQUE REFERENCES entry (id)
);
INSERT INTO "entry" VALUES(1,'2026-12-01T02:43:09.214+00:00','Marta','start','Season started from blank',NULL);
INSERT INTO "entry" VALUES(2,'2026-12-01T02:43:09.309+00:00','Marta','edit','trailer: name, mass, tongue, axles, axles share',NULL);
INSERT INTO "entry" VALUES(3,'2026-12-01T02:43:09.400+00:00','Marta','edit','gross: limit',NULL);
INSERT INTO "entry" VALUES(4,'2026-12-01T02:43:09.432+00:00','Marta','edit','Example vehicle (replace with your own): curb',NULL);
INSERT INTO "entry" VALUES(5,'2026-12-01T02:43:09.444+00:00','Marta','edit','Jump seat: added',NULL);
INSERT INTO "entry" VALUES(6,'2026-12-01T02:43:09.454+00:00','Marta','undo','Undo: Jump seat: added',5);
CREATE TABLE present (                                 -- what the changes add up to, kept in step
    subject TEXT NOT NULL,
    key TEXT NOT NULL,
    field TEXT NOT NULL,
    value TEXT NOT NULL,
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    PRIMARY KEY (subject, key, field)
) WITHOUT ROWID;
INSERT INTO "present" VALUES('carrier','carrier','aft_m','1.9304',1);
INSERT INTO "present" VALUES('carrier','carrier','height_m','0.07619999999999999',1);
INSERT INTO "present" VALUES('carrier','carrier','left_m','0.0',1);
INSERT INTO "present" VALUES('carrier','carrier','length_m','1.524',1);
INSERT INTO "present" VALUES('carrier','carrier','mass_kg','27.2155422',1);
INSERT INTO "present" VALUES('carrier','carrier','name','"Example roof carrier (replace with your own)"',1);
INSERT INTO "present" VALUES('carrier','carrier','up_m','1.8541999999999998',1);
INSERT INTO "present" VALUES('carrier','carrier','width_m','1.2191999999999998',1);
INSERT INTO "present" VALUES('limit','gross','limit_kg','2900.0',3);
INSERT INTO "present" VALUES('limit','gross','read_at','"driver''s door jamb label"',3);
INSERT INTO "present" VALUES('loadout','first-loadout','carrier_on','false',1);
INSERT INTO "present" VALUES('loadout','first-loadout','fuel_l','68.13741211199999',1);
INSERT INTO "present" VALUES('loadout','first-loadout','name','"First loadout"',1);
INSERT INTO "present" VALUES('occupant','driver','kind','"person"',1);
INSERT INTO "present" VALUES('occupant','driver','mass_kg','77.1107029',1);
INSERT INTO "present" VALUES('occupant','driver','name','"Driver"',1);
INSERT INTO "present" VALUES('occupant','driver','seat','"driver"',1);
INSERT INTO "present" VALUES('riding','first-loadout/driver','seat','"driver"',1);
INSERT INTO "present" VALUES('seat','driver','aft_m','1.3461999999999998',1);
INSERT INTO "present" VALUES('seat','driver','left_m','0.35559999999999997',1);
INSERT INTO "present" VALUES('seat','driver','name','"Driver"',1);
INSERT INTO "present" VALUES('seat','driver','up_m','0.8382',1);
INSERT INTO "present" VALUES('seat','front-passenger','aft_m','1.3461999999999998',1);
INSERT INTO "present" VALUES('seat','front-passenger','left_m','-0.35559999999999997',1);
INSERT INTO "present" VALUES('seat','front-passenger','name','"Front passenger"',1);
INSERT INTO "present" VALUES('seat','front-passenger','up_m','0.8382',1);
INSERT INTO "present" VALUES('seat','rear-center','aft_m','2.2098',1);
INSERT INTO "present" VALUES('seat','rear-center','left_m','0.0',1);
INSERT INTO "present" VALUES('seat','rear-center','name','"Rear center"',1);
INSERT INTO "present" VALUES('seat','rear-center','up_m','0.8635999999999999',1);
INSERT INTO "present" VALUES('seat','rear-left','aft_m','2.2098',1);
INSERT INTO "present" VALUES('seat','rear-left','left_m','0.35559999999999997',1);
INSERT INTO "present" VALUES('seat','rear-left','name','"Rear left"',1);
INSERT INTO "present" VALUES('seat','rear-left','up_m','0.8635999999999999',1);
INSERT INTO "present" VALUES('seat','rear-right','aft_m','2.2098',1);
INSERT INTO "present" VALUES('seat','rear-right','left_m','-0.35559999999999997',1);
INSERT INTO "present" VALUES('seat','rear-right','name','"Rear right"',1);
INSERT INTO "present" VALUES('seat','rear-right','up_m','0.8635999999999999',1);
INSERT INTO "present" VALUES('setting','season','title','"My season"',1);
INSERT INTO "present" VALUES('setting','season','units','"US"',1);
INSERT INTO "present" VALUES('tire','front','read_at','"not read yet: look at the sidewall"',1);
INSERT INTO "present" VALUES('tire','rear','read_at','"not read yet: look at the sidewall"',1);
INSERT INTO "present" VALUES('trailer','trailer','axles','2',2);
INSERT INTO "present" VALUES('trailer','trailer','axles_share','true',2);
INSERT INTO "present" VALUES('trailer','trailer','mass_kg','950.0',2);
INSERT INTO "present" VALUES('trailer','trailer','name','"Remorque à bois"',2);
INSERT INTO "present" VALUES('trailer','trailer','tongue_kg','90.0',2);
INSERT INTO "present" VALUES('vehicle','vehicle','body_class','"light truck"',1);
INSERT INTO "present" VALUES('vehicle','vehicle','cg_height_from','"example figure: replace with your own"',1);
INSERT INTO "present" VALUES('vehicle','vehicle','curb_aft_m','1.2995348837209302',1);
INSERT INTO "present" VALUES('vehicle','vehicle','curb_from','"example figure: replace with your own"',1);
INSERT INTO "present" VALUES('vehicle','vehicle','curb_fuel_l','68.13741211199999',1);
INSERT INTO "present" VALUES('vehicle','vehicle','curb_kg','2010.0',4);
INSERT INTO "present" VALUES('vehicle','vehicle','curb_left_m','0.0',1);
INSERT INTO "present" VALUES('vehicle','vehicle','curb_up_m','0.6858',1);
INSERT INTO "present" VALUES('vehicle','vehicle','front_overhang_m','0.889',1);
INSERT INTO "present" VALUES('vehicle','vehicle','front_roll_share','0.5',1);
INSERT INTO "present" VALUES('vehicle','vehicle','front_track_m','1.6001999999999998',1);
INSERT INTO "present" VALUES('vehicle','vehicle','height_m','1.8034',1);
INSERT INTO "present" VALUES('vehicle','vehicle','length_m','4.7498',1);
INSERT INTO "present" VALUES('vehicle','vehicle','name','"Example vehicle (replace with your own)"',1);
INSERT INTO "present" VALUES('vehicle','vehicle','rear_track_m','1.6001999999999998',1);
INSERT INTO "present" VALUES('vehicle','vehicle','tank_aft_m','2.1844',1);
INSERT INTO "present" VALUES('vehicle','vehicle','tank_capacity_l','68.13741211199999',1);
INSERT INTO "present" VALUES('vehicle','vehicle','tank_density_kg_per_l','0.7429238493647592',1);
INSERT INTO "present" VALUES('vehicle','vehicle','tank_left_m','0.0',1);
INSERT INTO "present" VALUES('vehicle','vehicle','tank_up_m','0.5588',1);
INSERT INTO "present" VALUES('vehicle','vehicle','tire_diameter_m','0.762',1);
INSERT INTO "present" VALUES('vehicle','vehicle','wheelbase_m','2.794',1);
INSERT INTO "present" VALUES('vehicle','vehicle','width_m','1.8796',1);
INSERT INTO "present" VALUES('zone','cargo-floor-front','aft_m','2.7432',1);
INSERT INTO "present" VALUES('zone','cargo-floor-front','height_m','0.4064',1);
INSERT INTO "present" VALUES('zone','cargo-floor-front','in_cabin','true',1);
INSERT INTO "present" VALUES('zone','cargo-floor-front','left_m','0.0',1);
INSERT INTO "present" VALUES('zone','cargo-floor-front','length_m','0.4572',1);
INSERT INTO "present" VALUES('zone','cargo-floor-front','name','"Cargo floor front"',1);
INSERT INTO "present" VALUES('zone','cargo-floor-front','on_carrier','false',1);
INSERT INTO "present" VALUES('zone','cargo-floor-front','reach','"when unloaded"',1);
INSERT INTO "present" VALUES('zone','cargo-floor-front','up_m','0.9144',1);
INSERT INTO "present" VALUES('zone','cargo-floor-front','width_m','1.1176',1);
INSERT INTO "present" VALUES('zone','cargo-floor-rear','aft_m','3.2512',1);
INSERT INTO "present" VALUES('zone','cargo-floor-rear','height_m','0.4064',1);
INSERT INTO "present" VALUES('zone','cargo-floor-rear','in_cabin','true',1);
INSERT INTO "present" VALUES('zone','cargo-floor-rear','left_m','0.0',1);
INSERT INTO "present" VALUES('zone','cargo-floor-rear','length_m','0.5588',1);
INSERT INTO "present" VALUES('zone','cargo-floor-rear','name','"Cargo floor rear"',1);
INSERT INTO "present" VALUES('zone','cargo-floor-rear','on_carrier','false',1);
INSERT INTO "present" VALUES('zone','cargo-floor-rear','reach','"on the road"',1);
INSERT INTO "present" VALUES('zone','cargo-floor-rear','up_m','0.9144',1);
INSERT INTO "present" VALUES('zone','cargo-floor-rear','width_m','1.1176',1);
INSERT INTO "present" VALUES('zone','front-footwell','aft_m','1.0668',1);
INSERT INTO "present" VALUES('zone','front-footwell','height_m','0.30479999999999996',1);
INSERT INTO "present" VALUES('zone','front-footwell','in_cabin','true',1);
INSERT INTO "present" VALUES('zone','front-footwell','left_m','-0.35559999999999997',1);
INSERT INTO "present" VALUES('zone','front-footwell','length_m','0.35559999999999997',1);
INSERT INTO "present" VALUES('zone','front-footwell','name','"Front footwell"',1);
INSERT INTO "present" VALUES('zone','front-footwell','on_carrier','false',1);
INSERT INTO "present" VALUES('zone','front-footwell','reach','"on the road"',1);
INSERT INTO "present" VALUES('zone','front-footwell','up_m','0.4826',1);
INSERT INTO "present" VALUES('zone','front-footwell','width_m','0.4572',1);
INSERT INTO "present" VALUES('zone','rear-footwells','aft_m','1.8796',1);
INSERT INTO "present" VALUES('zone','rear-footwells','height_m','0.30479999999999996',1);
INSERT INTO "present" VALUES('zone','rear-footwells','in_cabin','true',1);
INSERT INTO "present" VALUES('zone','rear-footwells','left_m','0.0',1);
INSERT INTO "present" VALUES('zone','rear-footwells','length_m','0.30479999999999996',1);
INSERT INTO "present" VALUES('zone','rear-footwells','name','"Rear footwells"',1);
INSERT INTO "present" VALUES('zone','rear-footwells','on_carrier','false',1);
INSERT INTO "present" VALUES('zone','rear-footwells','reach','"on the road"',1);
INSERT INTO "present" VALUES('zone','rear-footwells','up_m','0.4826',1);
INSERT INTO "present" VALUES('zone','rear-footwells','width_m','1.27',1);
INSERT INTO "present" VALUES('zone','rear-seat','aft_m','2.2098',1);
INSERT INTO "present" VALUES('zone','rear-seat','height_m','0.6095999999999999',1);
INSERT INTO "present" VALUES('zone','rear-seat','in_cabin','true',1);
INSERT INTO "present" VALUES('zone','rear-seat','left_m','0.0',1);
INSERT INTO "present" VALUES('zone','rear-seat','length_m','0.508',1);
INSERT INTO "present" VALUES('zone','rear-seat','name','"Rear seat"',1);
INSERT INTO "present" VALUES('zone','rear-seat','on_carrier','false',1);
INSERT INTO "present" VALUES('zone','rear-seat','reach','"on the road"',1);
INSERT INTO "present" VALUES('zone','rear-seat','up_m','0.9144',1);
INSERT INTO "present" VALUES('zone','rear-seat','width_m','1.27',1);
INSERT INTO "present" VALUES('zone','roof-carrier','aft_m','1.9304',1);
INSERT INTO "present" VALUES('zone','roof-carrier','height_m','0.30479999999999996',1);
INSERT INTO "present" VALUES('zone','roof-carrier','in_cabin','false',1);
INSERT INTO "present" VALUES('zone','roof-carrier','left_m','0.0',1);
INSERT INTO "present" VALUES('zone','roof-carrier','length_m','1.4731999999999998',1);
INSERT INTO "present" VALUES('zone','roof-carrier','name','"Roof carrier"',1);
INSERT INTO "present" VALUES('zone','roof-carrier','on_carrier','true',1);
INSERT INTO "present" VALUES('zone','roof-carrier','reach','"when unloaded"',1);
INSERT INTO "present" VALUES('zone','roof-carrier','up_m','1.9811999999999999',1);
INSERT INTO "present" VALUES('zone','roof-carrier','width_m','1.1683999999999999',1);
CREATE TABLE seal (
    entry_id INTEGER PRIMARY KEY REFERENCES entry (id),
    ledger INTEGER NOT NULL,                           -- sum over every row of the ledger up to this entry
    present INTEGER NOT NULL,                          -- sum over every row of present and thing after it
    own INTEGER NOT NULL                               -- of these three numbers
);
INSERT INTO "seal" VALUES(1,253099905818,298759813217,336850100);
INSERT INTO "seal" VALUES(2,267364433243,312298822864,1738805593);
INSERT INTO "seal" VALUES(3,267969768303,319608588856,413895863);
INSERT INTO "seal" VALUES(4,274086818838,317818853308,2241774475);
INSERT INTO "seal" VALUES(5,280997398624,326445750084,3410949384);
INSERT INTO "seal" VALUES(6,292428109471,319356587058,2585280904);
CREATE TABLE thing (
    subject TEXT NOT NULL,
    key TEXT NOT NULL,
    born INTEGER NOT NULL REFERENCES change (id),
    PRIMARY KEY (subject, key)
) WITHOUT ROWID;
INSERT INTO "thing" VALUES('carrier','carrier',46);
INSERT INTO "thing" VALUES('limit','gross',129);
INSERT INTO "thing" VALUES('loadout','first-loadout',120);
INSERT INTO "thing" VALUES('occupant','driver',116);
INSERT INTO "thing" VALUES('riding','first-loadout/driver',123);
INSERT INTO "thing" VALUES('seat','driver',26);
INSERT INTO "thing" VALUES('seat','front-passenger',30);
INSERT INTO "thing" VALUES('seat','jump-seat',132);
INSERT INTO "thing" VALUES('seat','rear-center',38);
INSERT INTO "thing" VALUES('seat','rear-left',34);
INSERT INTO "thing" VALUES('seat','rear-right',42);
INSERT INTO "thing" VALUES('setting','season',54);
INSERT INTO "thing" VALUES('tire','front',1);
INSERT INTO "thing" VALUES('tire','rear',2);
INSERT INTO "thing" VALUES('trailer','trailer',124);
INSERT INTO "thing" VALUES('vehicle','vehicle',3);
INSERT INTO "thing" VALUES('zone','cargo-floor-front',86);
INSERT INTO "thing" VALUES('zone','cargo-floor-rear',96);
INSERT INTO "thing" VALUES('zone','front-footwell',56);
INSERT INTO "thing" VALUES('zone','rear-footwells',76);
INSERT INTO "thing" VALUES('zone','rear-seat',66);
INSERT INTO "thing" VALUES('zone','roof-carrier',106);
CREATE INDEX change_entry ON change (entry_id);
CREATE INDEX change_thing ON change (subject, key, id);
CREATE VIEW history AS
    SELECT change.id, at, who, kind, note, subject, key, field, was, value, entry_id
    FROM change JOIN entry ON entry.id = entry_id ORDER BY change.id;
CREATE VIEW limits AS
    SELECT subject, key,
        max(CASE field WHEN 'limit_kg' THEN json_extract(value, '$') END) AS limit_kg,
        max(CASE field WHEN 'read_at' THEN json_extract(value, '$') END) AS read_at
    FROM present WHERE subject IN ('limit', 'zone') GROUP BY subject, key;
CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: correct it with a new entry'); END;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: correct it with a new entry'); END;
CREATE TRIGGER entry_no_replace BEFORE INSERT ON entry
    WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id OR undoes = NEW.undoes) BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: correct it with a new entry'); END;
CREATE TRIGGER change_no_update BEFORE UPDATE ON change BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: correct it with a new entry'); END;
CREATE TRIGGER change_no_delete BEFORE DELETE ON change BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: correct it with a new entry'); END;
CREATE TRIGGER change_no_replace BEFORE INSERT ON change
    WHEN EXISTS (SELECT 1 FROM change WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: correct it with a new entry'); END;
CREATE VIEW settings AS SELECT key, max(CASE field WHEN 'title' THEN json_extract(value, '$') END) AS "title", max(CASE field WHEN 'units' THEN json_extract(value, '$') END) AS "units", max(CASE field WHEN 'writer' THEN json_extract(value, '$') END) AS "writer" FROM present WHERE subject = 'setting' GROUP BY key;
CREATE VIEW vehicles AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'curb_kg' THEN json_extract(value, '$') END) AS "curb_kg", max(CASE field WHEN 'curb_aft_m' THEN json_extract(value, '$') END) AS "curb_aft_m", max(CASE field WHEN 'curb_left_m' THEN json_extract(value, '$') END) AS "curb_left_m", max(CASE field WHEN 'curb_up_m' THEN json_extract(value, '$') END) AS "curb_up_m", max(CASE field WHEN 'curb_from' THEN json_extract(value, '$') END) AS "curb_from", max(CASE field WHEN 'curb_plus_minus_kg' THEN json_extract(value, '$') END) AS "curb_plus_minus_kg", max(CASE field WHEN 'curb_fuel_l' THEN json_extract(value, '$') END) AS "curb_fuel_l", max(CASE field WHEN 'cg_height_from' THEN json_extract(value, '$') END) AS "cg_height_from", max(CASE field WHEN 'wheelbase_m' THEN json_extract(value, '$') END) AS "wheelbase_m", max(CASE field WHEN 'front_track_m' THEN json_extract(value, '$') END) AS "front_track_m", max(CASE field WHEN 'rear_track_m' THEN json_extract(value, '$') END) AS "rear_track_m", max(CASE field WHEN 'length_m' THEN json_extract(value, '$') END) AS "length_m", max(CASE field WHEN 'width_m' THEN json_extract(value, '$') END) AS "width_m", max(CASE field WHEN 'height_m' THEN json_extract(value, '$') END) AS "height_m", max(CASE field WHEN 'front_overhang_m' THEN json_extract(value, '$') END) AS "front_overhang_m", max(CASE field WHEN 'tire_diameter_m' THEN json_extract(value, '$') END) AS "tire_diameter_m", max(CASE field WHEN 'front_roll_share' THEN json_extract(value, '$') END) AS "front_roll_share", max(CASE field WHEN 'body_class' THEN json_extract(value, '$') END) AS "body_class", max(CASE field WHEN 'tank_capacity_l' THEN json_extract(value, '$') END) AS "tank_capacity_l", max(CASE field WHEN 'tank_density_kg_per_l' THEN json_extract(value, '$') END) AS "tank_density_kg_per_l", max(CASE field WHEN 'tank_aft_m' THEN json_extract(value, '$') END) AS "tank_aft_m", max(CASE field WHEN 'tank_left_m' THEN json_extract(value, '$') END) AS "tank_left_m", max(CASE field WHEN 'tank_up_m' THEN json_extract(value, '$') END) AS "tank_up_m", max(CASE field WHEN 'hitch_aft_m' THEN json_extract(value, '$') END) AS "hitch_aft_m", max(CASE field WHEN 'hitch_left_m' THEN json_extract(value, '$') END) AS "hitch_left_m", max(CASE field WHEN 'hitch_up_m' THEN json_extract(value, '$') END) AS "hitch_up_m" FROM present WHERE subject = 'vehicle' GROUP BY key;
CREATE VIEW tires AS SELECT key, max(CASE field WHEN 'load_index' THEN json_extract(value, '$') END) AS "load_index", max(CASE field WHEN 'marking' THEN json_extract(value, '$') END) AS "marking", max(CASE field WHEN 'read_at' THEN json_extract(value, '$') END) AS "read_at", max(CASE field WHEN 'reference_kpa' THEN json_extract(value, '$') END) AS "reference_kpa", max(CASE field WHEN 'placard_kpa' THEN json_extract(value, '$') END) AS "placard_kpa", max(CASE field WHEN 'pressure_table' THEN json_extract(value, '$') END) AS "pressure_table", max(CASE field WHEN 'made_on' THEN json_extract(value, '$') END) AS "made_on", max(CASE field WHEN 'looked_on' THEN json_extract(value, '$') END) AS "looked_on" FROM present WHERE subject = 'tire' GROUP BY key;
CREATE VIEW seats AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'aft_m' THEN json_extract(value, '$') END) AS "aft_m", max(CASE field WHEN 'left_m' THEN json_extract(value, '$') END) AS "left_m", max(CASE field WHEN 'up_m' THEN json_extract(value, '$') END) AS "up_m" FROM present WHERE subject = 'seat' GROUP BY key;
CREATE VIEW carriers AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'mass_kg' THEN json_extract(value, '$') END) AS "mass_kg", max(CASE field WHEN 'aft_m' THEN json_extract(value, '$') END) AS "aft_m", max(CASE field WHEN 'left_m' THEN json_extract(value, '$') END) AS "left_m", max(CASE field WHEN 'up_m' THEN json_extract(value, '$') END) AS "up_m", max(CASE field WHEN 'length_m' THEN json_extract(value, '$') END) AS "length_m", max(CASE field WHEN 'width_m' THEN json_extract(value, '$') END) AS "width_m", max(CASE field WHEN 'height_m' THEN json_extract(value, '$') END) AS "height_m", max(CASE field WHEN 'slats' THEN json_extract(value, '$') END) AS "slats" FROM present WHERE subject = 'carrier' GROUP BY key;
CREATE VIEW bars AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'aft_m' THEN json_extract(value, '$') END) AS "aft_m", max(CASE field WHEN 'half_span_m' THEN json_extract(value, '$') END) AS "half_span_m", max(CASE field WHEN 'limit_kg' THEN json_extract(value, '$') END) AS "limit_kg", max(CASE field WHEN 'read_at' THEN json_extract(value, '$') END) AS "read_at", max(CASE field WHEN 'foot_limit_kg' THEN json_extract(value, '$') END) AS "foot_limit_kg", max(CASE field WHEN 'foot_read_at' THEN json_extract(value, '$') END) AS "foot_read_at" FROM present WHERE subject = 'bar' GROUP BY key;
CREATE VIEW tie_points AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'aft_m' THEN json_extract(value, '$') END) AS "aft_m", max(CASE field WHEN 'left_m' THEN json_extract(value, '$') END) AS "left_m", max(CASE field WHEN 'limit_kg' THEN json_extract(value, '$') END) AS "limit_kg", max(CASE field WHEN 'read_at' THEN json_extract(value, '$') END) AS "read_at" FROM present WHERE subject = 'tie_point' GROUP BY key;
CREATE VIEW trailers AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'mass_kg' THEN json_extract(value, '$') END) AS "mass_kg", max(CASE field WHEN 'tongue_kg' THEN json_extract(value, '$') END) AS "tongue_kg", max(CASE field WHEN 'axles' THEN json_extract(value, '$') END) AS "axles", max(CASE field WHEN 'axles_share' THEN json_extract(value, '$') END) AS "axles_share", max(CASE field WHEN 'front_axle_kg' THEN json_extract(value, '$') END) AS "front_axle_kg", max(CASE field WHEN 'rear_axle_kg' THEN json_extract(value, '$') END) AS "rear_axle_kg" FROM present WHERE subject = 'trailer' GROUP BY key;
CREATE VIEW zones AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'aft_m' THEN json_extract(value, '$') END) AS "aft_m", max(CASE field WHEN 'left_m' THEN json_extract(value, '$') END) AS "left_m", max(CASE field WHEN 'up_m' THEN json_extract(value, '$') END) AS "up_m", max(CASE field WHEN 'length_m' THEN json_extract(value, '$') END) AS "length_m", max(CASE field WHEN 'width_m' THEN json_extract(value, '$') END) AS "width_m", max(CASE field WHEN 'height_m' THEN json_extract(value, '$') END) AS "height_m", max(CASE field WHEN 'limit_kg' THEN json_extract(value, '$') END) AS "limit_kg", max(CASE field WHEN 'read_at' THEN json_extract(value, '$') END) AS "read_at", max(CASE field WHEN 'on_carrier' THEN json_extract(value, '$') END) AS "on_carrier", max(CASE field WHEN 'on_hitch' THEN json_extract(value, '$') END) AS "on_hitch", max(CASE field WHEN 'in_cabin' THEN json_extract(value, '$') END) AS "in_cabin", max(CASE field WHEN 'reach' THEN json_extract(value, '$') END) AS "reach" FROM present WHERE subject = 'zone' GROUP BY key;
CREATE VIEW gear AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'mass_kg' THEN json_extract(value, '$') END) AS "mass_kg", max(CASE field WHEN 'known' THEN json_extract(value, '$') END) AS "known", max(CASE field WHEN 'plus_minus_kg' THEN json_extract(value, '$') END) AS "plus_minus_kg", max(CASE field WHEN 'count' THEN json_extract(value, '$') END) AS "count", max(CASE field WHEN 'length_m' THEN json_extract(value, '$') END) AS "length_m", max(CASE field WHEN 'width_m' THEN json_extract(value, '$') END) AS "width_m", max(CASE field WHEN 'height_m' THEN json_extract(value, '$') END) AS "height_m", max(CASE field WHEN 'kind' THEN json_extract(value, '$') END) AS "kind", max(CASE field WHEN 'expendable' THEN json_extract(value, '$') END) AS "expendable", max(CASE field WHEN 'must_come' THEN json_extract(value, '$') END) AS "must_come", max(CASE field WHEN 'stay_low' THEN json_extract(value, '$') END) AS "stay_low", max(CASE field WHEN 'keep_reachable' THEN json_extract(value, '$') END) AS "keep_reachable", max(CASE field WHEN 'hazard' THEN json_extract(value, '$') END) AS "hazard", max(CASE field WHEN 'state' THEN json_extract(value, '$') END) AS "state", max(CASE field WHEN 'check_kind' THEN json_extract(value, '$') END) AS "check_kind", max(CASE field WHEN 'made_on' THEN json_extract(value, '$') END) AS "made_on", max(CASE field WHEN 'expires_on' THEN json_extract(value, '$') END) AS "expires_on" FROM present WHERE subject = 'item' GROUP BY key;
CREATE VIEW people AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'mass_kg' THEN json_extract(value, '$') END) AS "mass_kg", max(CASE field WHEN 'seat' THEN json_extract(value, '$') END) AS "seat", max(CASE field WHEN 'kind' THEN json_extract(value, '$') END) AS "kind", max(CASE field WHEN 'sleeps_on_roof' THEN json_extract(value, '$') END) AS "sleeps_on_roof" FROM present WHERE subject = 'occupant' GROUP BY key;
CREATE VIEW liquids AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'container_kg' THEN json_extract(value, '$') END) AS "container_kg", max(CASE field WHEN 'capacity_l' THEN json_extract(value, '$') END) AS "capacity_l", max(CASE field WHEN 'density_kg_per_l' THEN json_extract(value, '$') END) AS "density_kg_per_l", max(CASE field WHEN 'density_from' THEN json_extract(value, '$') END) AS "density_from", max(CASE field WHEN 'kind' THEN json_extract(value, '$') END) AS "kind", max(CASE field WHEN 'hazard' THEN json_extract(value, '$') END) AS "hazard" FROM present WHERE subject = 'liquid' GROUP BY key;
CREATE VIEW loadouts AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'date' THEN json_extract(value, '$') END) AS "date", max(CASE field WHEN 'fuel_l' THEN json_extract(value, '$') END) AS "fuel_l", max(CASE field WHEN 'carrier_on' THEN json_extract(value, '$') END) AS "carrier_on", max(CASE field WHEN 'trailer_on' THEN json_extract(value, '$') END) AS "trailer_on", max(CASE field WHEN 'front_road_kpa' THEN json_extract(value, '$') END) AS "front_road_kpa", max(CASE field WHEN 'rear_road_kpa' THEN json_extract(value, '$') END) AS "rear_road_kpa", max(CASE field WHEN 'front_kpa' THEN json_extract(value, '$') END) AS "front_kpa", max(CASE field WHEN 'rear_kpa' THEN json_extract(value, '$') END) AS "rear_kpa" FROM present WHERE subject = 'loadout' GROUP BY key;
CREATE VIEW aboard_people AS SELECT key, max(CASE field WHEN 'seat' THEN json_extract(value, '$') END) AS "seat", max(CASE field WHEN 'sleeps_on_roof' THEN json_extract(value, '$') END) AS "sleeps_on_roof" FROM present WHERE subject = 'riding' GROUP BY key;
CREATE VIEW aboard_gear AS SELECT key, max(CASE field WHEN 'zone' THEN json_extract(value, '$') END) AS "zone", max(CASE field WHEN 'count' THEN json_extract(value, '$') END) AS "count", max(CASE field WHEN 'aft_m' THEN json_extract(value, '$') END) AS "aft_m", max(CASE field WHEN 'left_m' THEN json_extract(value, '$') END) AS "left_m", max(CASE field WHEN 'up_m' THEN json_extract(value, '$') END) AS "up_m", max(CASE field WHEN 'turned' THEN json_extract(value, '$') END) AS "turned", max(CASE field WHEN 'pinned' THEN json_extract(value, '$') END) AS "pinned", max(CASE field WHEN 'group' THEN json_extract(value, '$') END) AS "group" FROM present WHERE subject = 'stowed' GROUP BY key;
CREATE VIEW aboard_liquids AS SELECT key, max(CASE field WHEN 'zone' THEN json_extract(value, '$') END) AS "zone", max(CASE field WHEN 'fill_l' THEN json_extract(value, '$') END) AS "fill_l", max(CASE field WHEN 'aft_m' THEN json_extract(value, '$') END) AS "aft_m", max(CASE field WHEN 'left_m' THEN json_extract(value, '$') END) AS "left_m", max(CASE field WHEN 'up_m' THEN json_extract(value, '$') END) AS "up_m", max(CASE field WHEN 'group' THEN json_extract(value, '$') END) AS "group" FROM present WHERE subject = 'filled' GROUP BY key;
CREATE VIEW strappings AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'straps' THEN json_extract(value, '$') END) AS "straps", max(CASE field WHEN 'way' THEN json_extract(value, '$') END) AS "way", max(CASE field WHEN 'angle_deg' THEN json_extract(value, '$') END) AS "angle_deg", max(CASE field WHEN 'aside_deg' THEN json_extract(value, '$') END) AS "aside_deg", max(CASE field WHEN 'tension_n' THEN json_extract(value, '$') END) AS "tension_n", max(CASE field WHEN 'wll_kg' THEN json_extract(value, '$') END) AS "wll_kg", max(CASE field WHEN 'anchor_wll_kg' THEN json_extract(value, '$') END) AS "anchor_wll_kg", max(CASE field WHEN 'surfaces' THEN json_extract(value, '$') END) AS "surfaces", max(CASE field WHEN 'blocked' THEN json_extract(value, '$') END) AS "blocked", max(CASE field WHEN 'flat' THEN json_extract(value, '$') END) AS "flat", max(CASE field WHEN 'extra_factor' THEN json_extract(value, '$') END) AS "extra_factor" FROM present WHERE subject = 'strapping' GROUP BY key;
CREATE VIEW weigh_ins AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'date' THEN json_extract(value, '$') END) AS "date", max(CASE field WHEN 'loadout' THEN json_extract(value, '$') END) AS "loadout", max(CASE field WHEN 'scale' THEN json_extract(value, '$') END) AS "scale", max(CASE field WHEN 'resolution_kg' THEN json_extract(value, '$') END) AS "resolution_kg", max(CASE field WHEN 'pads' THEN json_extract(value, '$') END) AS "pads", max(CASE field WHEN 'people_aboard' THEN json_extract(value, '$') END) AS "people_aboard", max(CASE field WHEN 'fuel_l' THEN json_extract(value, '$') END) AS "fuel_l", max(CASE field WHEN 'total_kg' THEN json_extract(value, '$') END) AS "total_kg", max(CASE field WHEN 'front_axle_kg' THEN json_extract(value, '$') END) AS "front_axle_kg", max(CASE field WHEN 'rear_axle_kg' THEN json_extract(value, '$') END) AS "rear_axle_kg", max(CASE field WHEN 'front_left_kg' THEN json_extract(value, '$') END) AS "front_left_kg", max(CASE field WHEN 'front_right_kg' THEN json_extract(value, '$') END) AS "front_right_kg", max(CASE field WHEN 'rear_left_kg' THEN json_extract(value, '$') END) AS "rear_left_kg", max(CASE field WHEN 'rear_right_kg' THEN json_extract(value, '$') END) AS "rear_right_kg", max(CASE field WHEN 'left_entry' THEN json_extract(value, '$') END) AS "left_entry", max(CASE field WHEN 'note' THEN json_extract(value, '$') END) AS "note" FROM present WHERE subject = 'weigh_in' GROUP BY key;
CREATE VIEW events AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'item' THEN json_extract(value, '$') END) AS "item", max(CASE field WHEN 'date' THEN json_extract(value, '$') END) AS "date", max(CASE field WHEN 'kind' THEN json_extract(value, '$') END) AS "kind", max(CASE field WHEN 'mass_kg' THEN json_extract(value, '$') END) AS "mass_kg", max(CASE field WHEN 'scale' THEN json_extract(value, '$') END) AS "scale", max(CASE field WHEN 'resolution_kg' THEN json_extract(value, '$') END) AS "resolution_kg", max(CASE field WHEN 'known' THEN json_extract(value, '$') END) AS "known", max(CASE field WHEN 'plus_minus_kg' THEN json_extract(value, '$') END) AS "plus_minus_kg", max(CASE field WHEN 'count' THEN json_extract(value, '$') END) AS "count", max(CASE field WHEN 'method' THEN json_extract(value, '$') END) AS "method", max(CASE field WHEN 'who' THEN json_extract(value, '$') END) AS "who", max(CASE field WHEN 'until' THEN json_extract(value, '$') END) AS "until", max(CASE field WHEN 'note' THEN json_extract(value, '$') END) AS "note" FROM present WHERE subject = 'event' GROUP BY key;
CREATE VIEW trips AS SELECT key, max(CASE field WHEN 'name' THEN json_extract(value, '$') END) AS "name", max(CASE field WHEN 'date' THEN json_extract(value, '$') END) AS "date", max(CASE field WHEN 'until' THEN json_extract(value, '$') END) AS "until", max(CASE field WHEN 'loadout' THEN json_extract(value, '$') END) AS "loadout", max(CASE field WHEN 'left_entry' THEN json_extract(value, '$') END) AS "left_entry", max(CASE field WHEN 'people' THEN json_extract(value, '$') END) AS "people", max(CASE field WHEN 'distance_km' THEN json_extract(value, '$') END) AS "distance_km", max(CASE field WHEN 'packing_min' THEN json_extract(value, '$') END) AS "packing_min", max(CASE field WHEN 'gear_kg' THEN json_extract(value, '$') END) AS "gear_kg", max(CASE field WHEN 'liquids_kg' THEN json_extract(value, '$') END) AS "liquids_kg", max(CASE field WHEN 'carried' THEN json_extract(value, '$') END) AS "carried", max(CASE field WHEN 'poured' THEN json_extract(value, '$') END) AS "poured", max(CASE field WHEN 'note' THEN json_extract(value, '$') END) AS "note" FROM present WHERE subject = 'trip' GROUP BY key;
COMMIT;
