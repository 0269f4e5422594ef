-- 0001: the record.  Every kind of the dictionary (server/model) has its table here, one column a field;
-- ranges and choice words stand in the dictionary alone.  Every row has
--   id       this file's own number of it, never exported
--   key      its RFC 9562 UUID, unique over all kinds for good (table keys)
--   version  1 when made, one more with each change
-- and a row that is struck out stays: struck_at is set.

-- What the file knows of itself: one row.
CREATE TABLE meta (
	id INTEGER PRIMARY KEY CHECK (id = 1),
	record_version INTEGER NOT NULL,                -- one more with each commit that changed something
	readings_version INTEGER NOT NULL,              -- the same for readings alone
	last_received_at INTEGER                        -- newest received_at, Unix seconds, UTC; NULL: no entry yet
) STRICT;
INSERT INTO meta (id, record_version, readings_version) VALUES (1, 1, 1);

-- Every key there ever was.
CREATE TABLE keys (
	key BLOB PRIMARY KEY CHECK (length(key) = 16),
	kind TEXT NOT NULL,                             -- name in the dictionary
	row_id INTEGER NOT NULL,                        -- id in that kind's table
	fingerprint BLOB NOT NULL CHECK (length(fingerprint) = 32) -- SHA-256 of the row as it was made
) STRICT, WITHOUT ROWID;

-- Every code there is, of rows struck out too: a label that is printed is never given again.
CREATE TABLE codes (
	code TEXT COLLATE NOCASE PRIMARY KEY,
	kind TEXT NOT NULL,
	row_id INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- The farm: one row.
CREATE TABLE farm (
	id INTEGER PRIMARY KEY CHECK (id = 1),
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	name TEXT NOT NULL,
	time_zone TEXT NOT NULL,
	day_begins_hour INTEGER,                               -- h; NULL: not given
	latitude_deg REAL,                                     -- deg; NULL: not given
	longitude_deg REAL,                                    -- deg; NULL: not given
	altitude_m REAL,                                       -- m; NULL: not given
	units TEXT,                                            -- one of the kind's words; NULL: not given
	currency TEXT,                                         -- NULL: not given
	language TEXT,                                         -- one of the kind's words; NULL: not given
	label_base_url TEXT                                    -- NULL: not given
) STRICT;

-- Places.  Every sort of place has a row here; loops, tanks, units, zones and beds add their own with
-- the same id.
CREATE TABLE places (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	code TEXT NOT NULL,                                    -- label code, unique over all kinds
	name TEXT,                                             -- NULL: not given
	parent_id INTEGER REFERENCES places (id) ON DELETE RESTRICT, -- NULL: not given
	walk_order INTEGER,                                    -- NULL: not given
	sort TEXT NOT NULL,                                    -- table of its own row, or 'places'
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE loops (
	id INTEGER PRIMARY KEY REFERENCES places (id) ON DELETE RESTRICT,
	water_volume_l REAL NOT NULL,                          -- L
	makeup_l_day REAL,                                     -- L/day; NULL: not given
	feed_ratio_min_g_m2_day REAL,                          -- g/m2/day; NULL: not given
	feed_ratio_max_g_m2_day REAL                           -- g/m2/day; NULL: not given
) STRICT;

CREATE TABLE tanks (
	id INTEGER PRIMARY KEY REFERENCES places (id) ON DELETE RESTRICT,
	loop_id INTEGER NOT NULL REFERENCES loops (id) ON DELETE RESTRICT,
	role TEXT,                                             -- one of the kind's words; NULL: not given
	volume_l REAL NOT NULL,                                -- L
	density_limit_kg_m3 REAL,                              -- kg/m3; NULL: not given
	flow_l_min REAL                                        -- L/min; NULL: not given
) STRICT;

CREATE TABLE units (
	id INTEGER PRIMARY KEY REFERENCES places (id) ON DELETE RESTRICT,
	loop_id INTEGER NOT NULL REFERENCES loops (id) ON DELETE RESTRICT,
	role TEXT NOT NULL,                                    -- what it is for
	volume_l REAL,                                         -- L; NULL: not given
	media_area_m2 REAL,                                    -- m2; NULL: not given
	nitrification_g_m2_day REAL                            -- g/m2/day; NULL: not given
) STRICT;

CREATE TABLE zones (
	id INTEGER PRIMARY KEY REFERENCES places (id) ON DELETE RESTRICT,
	area_m2 REAL,                                          -- m2; NULL: not given
	glazing_transmission REAL,                             -- NULL: not given
	lamp_ppfd REAL,                                        -- umol/m2/s; NULL: not given
	lamp_on TEXT,                                          -- HH:MM, farm time; NULL: not given
	lamp_off TEXT,                                         -- HH:MM, farm time; NULL: not given
	temperature_low_c REAL,                                -- degC; NULL: not given
	temperature_high_c REAL,                               -- degC; NULL: not given
	humidity_low_pct REAL,                                 -- %; NULL: not given
	humidity_high_pct REAL                                 -- %; NULL: not given
) STRICT;

CREATE TABLE beds (
	id INTEGER PRIMARY KEY REFERENCES places (id) ON DELETE RESTRICT,
	loop_id INTEGER NOT NULL REFERENCES loops (id) ON DELETE RESTRICT,
	zone_id INTEGER REFERENCES zones (id) ON DELETE RESTRICT, -- NULL: not given
	role TEXT NOT NULL,                                    -- what it is for
	length_m REAL NOT NULL,                                -- m
	width_m REAL NOT NULL,                                 -- m
	raft_length_m REAL,                                    -- m; NULL: not given
	raft_width_m REAL,                                     -- m; NULL: not given
	sites_per_raft INTEGER                                 -- NULL: not given
) STRICT;

-- Set-up that is not a place.
CREATE TABLE staff (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	name TEXT NOT NULL,                                    -- unique within its kind
	role TEXT NOT NULL,                                    -- what it is for
	language TEXT,                                         -- one of the kind's words; NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE partners (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	name TEXT NOT NULL,                                    -- unique within its kind
	role TEXT,                                             -- one of the kind's words; NULL: not given
	address TEXT,                                          -- NULL: not given
	contact TEXT,                                          -- NULL: not given
	location_id TEXT,                                      -- NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE species (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	name TEXT NOT NULL,                                    -- unique within its kind
	scientific_name TEXT,                                  -- NULL: not given
	market_weight_g REAL,                                  -- g; NULL: not given
	temperature_optimum_c REAL,                            -- degC; NULL: not given
	tgc_prior REAL,                                        -- NULL: not given
	tgc_prior_sd REAL,                                     -- NULL: not given
	conversion_floor REAL,                                 -- NULL: not given
	purge_days INTEGER,                                    -- days; NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE species_limits (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	species_id INTEGER NOT NULL REFERENCES species (id) ON DELETE RESTRICT,
	quantity TEXT NOT NULL,                                -- one of the kind's words
	low_stop REAL,                                         -- in the unit of quantity; NULL: no such limit
	low REAL,                                              -- in the unit of quantity; NULL: no such limit
	high REAL,                                             -- in the unit of quantity; NULL: no such limit
	high_stop REAL,                                        -- in the unit of quantity; NULL: no such limit
	source TEXT,                                           -- NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE ration_steps (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	species_id INTEGER NOT NULL REFERENCES species (id) ON DELETE RESTRICT,
	weight_from_g REAL NOT NULL,                           -- g
	temperature_c REAL,                                    -- degC; NULL: at any
	pct_body_weight_day REAL NOT NULL,                     -- %/day
	source TEXT NOT NULL,
	from_day INTEGER,                                      -- days since 1970-01-01; NULL: from the start
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE feeds (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	name TEXT NOT NULL,                                    -- unique within its kind
	protein_pct REAL NOT NULL,                             -- %
	fat_pct REAL,                                          -- %; NULL: not given
	dry_matter_pct REAL,                                   -- %; NULL: not given
	pellet_mm REAL,                                        -- mm; NULL: not given
	bag_g REAL,                                            -- g; NULL: not given
	scoop_g REAL,                                          -- g; NULL: not given
	price_minor INTEGER,                                   -- hundredths of the farm's currency; NULL: not given
	reorder_g REAL,                                        -- g; NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE feeding_plans (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	tank_id INTEGER NOT NULL REFERENCES tanks (id) ON DELETE RESTRICT,
	from_day INTEGER NOT NULL,                             -- days since 1970-01-01
	feed_id INTEGER NOT NULL REFERENCES feeds (id) ON DELETE RESTRICT,
	times TEXT NOT NULL,                                   -- HH:MM, single spaces, ascending
	shares TEXT,                                           -- numbers, single spaces; NULL: equal shares
	fixed_pct REAL,                                        -- %/day; NULL: not fixed so
	fixed_g REAL,                                          -- g/day; NULL: not fixed so
	held_because TEXT,                                     -- NULL: not held
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE crops (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	name TEXT NOT NULL,                                    -- unique within its kind
	cut TEXT,                                              -- one of the kind's words; NULL: not given
	dry_matter_pct REAL,                                   -- %; NULL: not given
	nitrogen_pct_dry REAL,                                 -- %; NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE varieties (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	name TEXT NOT NULL,                                    -- unique within its kind
	crop_id INTEGER NOT NULL REFERENCES crops (id) ON DELETE RESTRICT,
	colour TEXT,                                           -- NULL: not given
	habit TEXT,                                            -- NULL: not given
	days_germination INTEGER,                              -- days; NULL: not given
	days_nursery INTEGER,                                  -- days; NULL: not given
	days_raft INTEGER,                                     -- days; NULL: not given
	days_hold INTEGER,                                     -- days; NULL: not given
	sites_per_m2 REAL,                                     -- 1/m2; NULL: not given
	head_weight_g REAL,                                    -- g; NULL: not given
	dli_mol_m2_day REAL,                                   -- mol/m2/day; NULL: not given
	expected_loss_pct REAL,                                -- %; NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE trays (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	name TEXT NOT NULL,                                    -- unique within its kind
	cells INTEGER NOT NULL,
	medium TEXT,                                           -- NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE products (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	code TEXT NOT NULL,                                    -- label code, unique over all kinds
	name TEXT NOT NULL,                                    -- unique within its kind
	variety_id INTEGER REFERENCES varieties (id) ON DELETE RESTRICT, -- NULL: not given
	crop_id INTEGER REFERENCES crops (id) ON DELETE RESTRICT, -- NULL: not given
	species_id INTEGER REFERENCES species (id) ON DELETE RESTRICT, -- NULL: not given
	unit TEXT,                                             -- one of the kind's words; NULL: not given
	pack_size REAL,                                        -- NULL: not given
	crate_pieces INTEGER,                                  -- NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE prices (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	product_id INTEGER NOT NULL REFERENCES products (id) ON DELETE RESTRICT,
	partner_id INTEGER REFERENCES partners (id) ON DELETE RESTRICT, -- NULL: for everyone
	price_minor INTEGER NOT NULL,                          -- hundredths of the farm's currency
	from_day INTEGER NOT NULL,                             -- days since 1970-01-01
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE materials (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	name TEXT NOT NULL,                                    -- unique within its kind
	formula TEXT,                                          -- NULL: not given
	purpose TEXT NOT NULL,                                 -- one of the kind's words
	purity_pct REAL,                                       -- %; NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE chores (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	title TEXT NOT NULL,                                   -- unique within its kind
	place_id INTEGER REFERENCES places (id) ON DELETE RESTRICT, -- NULL: not given
	every_days INTEGER,                                    -- days; NULL: not given
	weekdays TEXT,                                         -- words, single spaces; NULL: not given
	after_uses INTEGER,                                    -- NULL: not given
	due_hour INTEGER,                                      -- h; NULL: not given
	answer TEXT NOT NULL,                                  -- one of the kind's words
	answer_unit TEXT,                                      -- NULL: not given
	low REAL,                                              -- in answer_unit; NULL: no limit
	high REAL,                                             -- in answer_unit; NULL: no limit
	choices TEXT,                                          -- NULL: not given
	caution TEXT,                                          -- NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE probes (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	code TEXT NOT NULL,                                    -- label code, unique over all kinds
	place_id INTEGER NOT NULL REFERENCES places (id) ON DELETE RESTRICT,
	quantity TEXT NOT NULL,
	unit TEXT NOT NULL,
	low REAL,                                              -- in unit; NULL: no limit
	high REAL,                                             -- in unit; NULL: no limit
	silent_after_min INTEGER,                              -- min; NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE set_up_changes (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	of_kind TEXT NOT NULL,
	of_key TEXT NOT NULL,                                  -- UUID, canonical text
	field TEXT NOT NULL,
	from_day INTEGER NOT NULL,                             -- days since 1970-01-01
	value TEXT,                                            -- as CSV writes it; NULL: cleared
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

-- Lots as they came.  A crop lot is the sowing itself, further below.
CREATE TABLE fish_lots (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	code TEXT NOT NULL,                                    -- label code, unique over all kinds
	species_id INTEGER NOT NULL REFERENCES species (id) ON DELETE RESTRICT,
	supplier_id INTEGER REFERENCES partners (id) ON DELETE RESTRICT, -- NULL: not given
	source_lot_code TEXT,                                  -- NULL: not given
	mean_weight_g REAL,                                    -- g, as the supplier says; NULL: not said
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE seed_lots (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	code TEXT NOT NULL,                                    -- label code, unique over all kinds
	variety_id INTEGER NOT NULL REFERENCES varieties (id) ON DELETE RESTRICT,
	supplier_id INTEGER REFERENCES partners (id) ON DELETE RESTRICT, -- NULL: not given
	source_lot_code TEXT,                                  -- NULL: not given
	received_on INTEGER,                                   -- days since 1970-01-01; NULL: not given
	seeds INTEGER,                                         -- NULL: not given
	germination_pct REAL,                                  -- %; NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE feed_lots (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	code TEXT NOT NULL,                                    -- label code, unique over all kinds
	feed_id INTEGER NOT NULL REFERENCES feeds (id) ON DELETE RESTRICT,
	supplier_id INTEGER REFERENCES partners (id) ON DELETE RESTRICT, -- NULL: not given
	received_on INTEGER NOT NULL,                          -- days since 1970-01-01
	amount_g REAL NOT NULL,                                -- g
	expires_on INTEGER,                                    -- days since 1970-01-01; NULL: not given
	cost_minor INTEGER,                                    -- hundredths of the farm's currency; NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE material_lots (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	code TEXT NOT NULL,                                    -- label code, unique over all kinds
	material_id INTEGER NOT NULL REFERENCES materials (id) ON DELETE RESTRICT,
	supplier_id INTEGER REFERENCES partners (id) ON DELETE RESTRICT, -- NULL: not given
	received_on INTEGER NOT NULL,                          -- days since 1970-01-01
	amount_g REAL NOT NULL,                                -- g
	expires_on INTEGER,                                    -- days since 1970-01-01; NULL: not given
	cost_minor INTEGER,                                    -- hundredths of the farm's currency; NULL: not given
	retired_on INTEGER,                                    -- days since 1970-01-01; NULL: in use
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

-- Entries.  instant is where a row stands in the ledger; day is the farm's day.
CREATE TABLE incidents (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	what TEXT NOT NULL,
	began_at INTEGER NOT NULL,                             -- Unix seconds, UTC
	ended_at INTEGER,                                      -- Unix seconds, UTC; NULL: it lasts
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE crop_lots (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	code TEXT NOT NULL,                                    -- label code, unique over all kinds
	variety_id INTEGER NOT NULL REFERENCES varieties (id) ON DELETE RESTRICT,
	seed_lot_id INTEGER REFERENCES seed_lots (id) ON DELETE RESTRICT, -- NULL: germination 100 %, estimated
	bed_id INTEGER NOT NULL REFERENCES beds (id) ON DELETE RESTRICT,
	trays INTEGER,                                         -- NULL: not given
	tray_id INTEGER REFERENCES trays (id) ON DELETE RESTRICT, -- NULL: not given
	cubes INTEGER NOT NULL,
	seeds_per_cube INTEGER,                                -- NULL: not given
	medium TEXT,                                           -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE fish_moves (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	fish_lot_id INTEGER NOT NULL REFERENCES fish_lots (id) ON DELETE RESTRICT,
	from_tank_id INTEGER REFERENCES tanks (id) ON DELETE RESTRICT, -- NULL: arrives
	to_tank_id INTEGER REFERENCES tanks (id) ON DELETE RESTRICT, -- NULL: leaves
	fish INTEGER NOT NULL,
	weight_g REAL,                                         -- g, total; NULL: not weighed
	reason TEXT NOT NULL,                                  -- one of the kind's words
	into_lot_id INTEGER REFERENCES fish_lots (id) ON DELETE RESTRICT, -- NULL: stays its own lot
	empties INTEGER,                                       -- 1: that was all of them; NULL or 0: not said
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE fish_counts (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	tank_id INTEGER NOT NULL REFERENCES tanks (id) ON DELETE RESTRICT,
	fish_lot_id INTEGER NOT NULL REFERENCES fish_lots (id) ON DELETE RESTRICT,
	counted INTEGER NOT NULL,
	method TEXT,                                           -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE fish_deaths (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	tank_id INTEGER NOT NULL REFERENCES tanks (id) ON DELETE RESTRICT,
	fish_lot_id INTEGER REFERENCES fish_lots (id) ON DELETE RESTRICT, -- NULL: split by number over the lots in the tank
	fish INTEGER,                                          -- NULL: estimated from weight_g
	weight_g REAL,                                         -- g, total; NULL: estimated from fish
	cause TEXT,                                            -- one of the kind's words; NULL: not given
	disposal TEXT,                                         -- one of the kind's words; NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE weighings (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	tank_id INTEGER NOT NULL REFERENCES tanks (id) ON DELETE RESTRICT,
	fish_lot_id INTEGER NOT NULL REFERENCES fish_lots (id) ON DELETE RESTRICT,
	fish INTEGER,                                          -- NULL: counted in nets or weights_g
	weight_g REAL,                                         -- g, total of these fish; NULL: in nets or weights_g
	nets TEXT,                                             -- fish and g of each net, single spaces; NULL: none
	weights_g TEXT,                                        -- g, one by one, single spaces; NULL: none
	lengths_mm TEXT,                                       -- mm, single spaces; NULL: none
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE feedings (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	tank_id INTEGER NOT NULL REFERENCES tanks (id) ON DELETE RESTRICT,
	feed_id INTEGER NOT NULL REFERENCES feeds (id) ON DELETE RESTRICT,
	feed_lot_id INTEGER REFERENCES feed_lots (id) ON DELETE RESTRICT, -- NULL: not given
	amount_g REAL NOT NULL,                                -- g
	slot INTEGER,                                          -- of the day's planned feedings, from 1; NULL: extra
	appetite TEXT,                                         -- one of the kind's words; NULL: not given
	uneaten_g REAL,                                        -- g; NULL: not looked for
	planned_g REAL,                                        -- g, as shown then; NULL: none was shown
	hours REAL,                                            -- h, fed over; NULL: at once
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE crop_moves (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	crop_lot_id INTEGER NOT NULL REFERENCES crop_lots (id) ON DELETE RESTRICT,
	from_bed_id INTEGER NOT NULL REFERENCES beds (id) ON DELETE RESTRICT,
	to_bed_id INTEGER NOT NULL REFERENCES beds (id) ON DELETE RESTRICT,
	plants INTEGER NOT NULL,
	rafts INTEGER,                                         -- NULL: by sites
	raft_sites INTEGER,                                    -- sites of each raft in the new place; NULL: as before
	"end" TEXT,                                            -- head or foot; NULL: head
	empties INTEGER,                                       -- 1: that was all of them; NULL or 0: not said
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE crop_counts (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	bed_id INTEGER NOT NULL REFERENCES beds (id) ON DELETE RESTRICT,
	crop_lot_id INTEGER NOT NULL REFERENCES crop_lots (id) ON DELETE RESTRICT,
	counted INTEGER NOT NULL,
	method TEXT,                                           -- one of the kind's words; NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE crop_losses (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	crop_lot_id INTEGER NOT NULL REFERENCES crop_lots (id) ON DELETE RESTRICT,
	bed_id INTEGER NOT NULL REFERENCES beds (id) ON DELETE RESTRICT,
	plants INTEGER NOT NULL,
	cause TEXT,                                            -- one of the kind's words; NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE harvests (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	code TEXT,                                             -- label code, unique over all kinds; NULL: not given
	fish_lot_id INTEGER REFERENCES fish_lots (id) ON DELETE RESTRICT, -- NULL: not given
	tank_id INTEGER REFERENCES tanks (id) ON DELETE RESTRICT, -- NULL: not given
	crop_lot_id INTEGER REFERENCES crop_lots (id) ON DELETE RESTRICT, -- NULL: not given
	bed_id INTEGER REFERENCES beds (id) ON DELETE RESTRICT, -- NULL: not given
	pieces INTEGER,                                        -- saleable; NULL: not counted
	weight_g REAL,                                         -- g, saleable; NULL: not weighed
	culled_pieces INTEGER,                                 -- beside pieces; NULL: none
	culled_g REAL,                                         -- g, beside weight_g; NULL: none
	plants INTEGER,                                        -- sites emptied; NULL: pieces + culled
	rafts INTEGER,                                         -- NULL: not given
	weight_basis TEXT,                                     -- one of the kind's words; NULL: not given
	grade TEXT,                                            -- NULL: not given
	cooled_at INTEGER,                                     -- Unix seconds, UTC; NULL: not known
	cooled_place_id INTEGER REFERENCES places (id) ON DELETE RESTRICT, -- NULL: not given
	empties INTEGER,                                       -- 1: that was all of them; NULL or 0: not said
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE stocktakes (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	feed_lot_id INTEGER REFERENCES feed_lots (id) ON DELETE RESTRICT, -- NULL: not given
	seed_lot_id INTEGER REFERENCES seed_lots (id) ON DELETE RESTRICT, -- NULL: not given
	material_lot_id INTEGER REFERENCES material_lots (id) ON DELETE RESTRICT, -- NULL: not given
	amount_g REAL,                                         -- g; NULL: not given
	seeds INTEGER,                                         -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE water_tests (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	place_id INTEGER NOT NULL REFERENCES places (id) ON DELETE RESTRICT,
	temperature_c REAL,                                    -- degC; NULL: not measured
	ph REAL,                                               -- NULL: not measured
	do_mg_l REAL,                                          -- mg/L; NULL: not measured
	tan_mg_l REAL,                                         -- mg/L; NULL: not measured
	nitrite_n_mg_l REAL,                                   -- mg/L; NULL: not measured
	nitrate_n_mg_l REAL,                                   -- mg/L; NULL: not measured
	alkalinity_mg_l REAL,                                  -- mg/L; NULL: not measured
	hardness_mg_l REAL,                                    -- mg/L; NULL: not measured
	chloride_mg_l REAL,                                    -- mg/L; NULL: not measured
	ec_ms_cm REAL,                                         -- mS/cm; NULL: not measured
	iron_mg_l REAL,                                        -- mg/L; NULL: not measured
	calcium_mg_l REAL,                                     -- mg/L; NULL: not measured
	potassium_mg_l REAL,                                   -- mg/L; NULL: not measured
	phosphate_p_mg_l REAL,                                 -- mg/L; NULL: not measured
	magnesium_mg_l REAL,                                   -- mg/L; NULL: not measured
	co2_mg_l REAL,                                         -- mg/L; NULL: not measured
	salinity_g_kg REAL,                                    -- g/kg; NULL: not measured
	turbidity_ntu REAL,                                    -- NTU; NULL: not measured
	below TEXT,                                            -- words, single spaces; NULL: not given
	above TEXT,                                            -- words, single spaces; NULL: not given
	method TEXT,                                           -- NULL: not given
	as_ion TEXT,                                           -- words, single spaces; NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE doses (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	loop_id INTEGER NOT NULL REFERENCES loops (id) ON DELETE RESTRICT,
	material_id INTEGER NOT NULL REFERENCES materials (id) ON DELETE RESTRICT,
	material_lot_id INTEGER REFERENCES material_lots (id) ON DELETE RESTRICT, -- NULL: not given
	amount_g REAL NOT NULL,                                -- g
	ph_before REAL,                                        -- NULL: not given
	ph_after REAL,                                         -- NULL: not given
	why TEXT,                                              -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE water_moves (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	loop_id INTEGER NOT NULL REFERENCES loops (id) ON DELETE RESTRICT,
	makeup_l REAL,                                         -- L; NULL: not given
	discharge_l REAL,                                      -- L; NULL: not given
	meter_reading REAL,                                    -- NULL: not given
	went_to TEXT,                                          -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE solids (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	unit_id INTEGER NOT NULL REFERENCES units (id) ON DELETE RESTRICT,
	volume_l REAL NOT NULL,                                -- L
	solids_pct REAL,                                       -- %; NULL: not given
	went_to TEXT,                                          -- one of the kind's words; NULL: not given
	place_note TEXT,                                       -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE treatments (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	fish_lot_id INTEGER REFERENCES fish_lots (id) ON DELETE RESTRICT, -- NULL: not given
	tank_id INTEGER REFERENCES tanks (id) ON DELETE RESTRICT, -- NULL: not given
	bed_id INTEGER REFERENCES beds (id) ON DELETE RESTRICT, -- NULL: not given
	loop_id INTEGER REFERENCES loops (id) ON DELETE RESTRICT, -- NULL: not given
	medicine TEXT NOT NULL,
	dose TEXT,                                             -- NULL: not given
	first_day INTEGER NOT NULL,                            -- days since 1970-01-01
	last_day INTEGER NOT NULL,                             -- days since 1970-01-01
	withdrawal_days INTEGER,                               -- days; NULL: not given
	withdrawal_degree_days REAL,                           -- degC day; NULL: not given
	prescriber TEXT,                                       -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE scoutings (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	bed_id INTEGER REFERENCES beds (id) ON DELETE RESTRICT, -- NULL: not given
	tank_id INTEGER REFERENCES tanks (id) ON DELETE RESTRICT, -- NULL: not given
	what TEXT NOT NULL,                                    -- one of the kind's words
	name TEXT,                                             -- NULL: not given
	severity INTEGER,                                      -- NULL: not given
	action TEXT,                                           -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE climate_notes (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	zone_id INTEGER NOT NULL REFERENCES zones (id) ON DELETE RESTRICT,
	temperature_c REAL,                                    -- degC; NULL: not given
	humidity_pct REAL,                                     -- %; NULL: not given
	ppfd REAL,                                             -- umol/m2/s; NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE packings (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	code TEXT NOT NULL,                                    -- label code, unique over all kinds
	product_id INTEGER NOT NULL REFERENCES products (id) ON DELETE RESTRICT,
	packs INTEGER NOT NULL,
	place_id INTEGER REFERENCES places (id) ON DELETE RESTRICT, -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE packing_lines (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	packing_id INTEGER NOT NULL REFERENCES packings (id) ON DELETE RESTRICT,
	harvest_id INTEGER NOT NULL REFERENCES harvests (id) ON DELETE RESTRICT,
	pieces INTEGER,                                        -- NULL: not given
	weight_g REAL,                                         -- g, total; NULL: not weighed
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE discards (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	packing_id INTEGER REFERENCES packings (id) ON DELETE RESTRICT, -- NULL: not given
	harvest_id INTEGER REFERENCES harvests (id) ON DELETE RESTRICT, -- NULL: not given
	quantity REAL NOT NULL,
	why TEXT,                                              -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE orders (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	code TEXT NOT NULL,                                    -- label code, unique over all kinds
	partner_id INTEGER NOT NULL REFERENCES partners (id) ON DELETE RESTRICT,
	wanted_on INTEGER NOT NULL,                            -- days since 1970-01-01
	repeats TEXT,                                          -- one of the kind's words; NULL: not given
	ends_on INTEGER,                                       -- days since 1970-01-01; NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE order_lines (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	order_id INTEGER NOT NULL REFERENCES orders (id) ON DELETE RESTRICT,
	product_id INTEGER NOT NULL REFERENCES products (id) ON DELETE RESTRICT,
	packs INTEGER NOT NULL,
	price_minor INTEGER,                                   -- hundredths of the farm's currency; NULL: not given
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE order_changes (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	order_id INTEGER NOT NULL REFERENCES orders (id) ON DELETE RESTRICT,
	product_id INTEGER REFERENCES products (id) ON DELETE RESTRICT, -- NULL: not given
	changed_day INTEGER NOT NULL,                          -- days since 1970-01-01
	packs INTEGER,                                         -- NULL: not given
	cancelled INTEGER,                                     -- 0 or 1; NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE shipments (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	code TEXT NOT NULL,                                    -- label code, unique over all kinds
	partner_id INTEGER NOT NULL REFERENCES partners (id) ON DELETE RESTRICT,
	order_id INTEGER REFERENCES orders (id) ON DELETE RESTRICT, -- NULL: not given
	shipped_at INTEGER NOT NULL,                           -- Unix seconds, UTC
	hauler_id INTEGER REFERENCES partners (id) ON DELETE RESTRICT, -- NULL: not given
	reference_type TEXT,                                   -- one of the kind's words; NULL: not given
	reference_no TEXT,                                     -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE shipment_lines (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	shipment_id INTEGER NOT NULL REFERENCES shipments (id) ON DELETE RESTRICT,
	packing_id INTEGER NOT NULL REFERENCES packings (id) ON DELETE RESTRICT,
	packs INTEGER NOT NULL,
	price_minor INTEGER,                                   -- hundredths of the farm's currency; NULL: not given
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE complaints (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	partner_id INTEGER REFERENCES partners (id) ON DELETE RESTRICT, -- NULL: not given
	packing_id INTEGER REFERENCES packings (id) ON DELETE RESTRICT, -- NULL: not given
	what TEXT NOT NULL,
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE holds (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	of_code TEXT NOT NULL,
	why TEXT NOT NULL,
	released_at INTEGER,                                   -- Unix seconds, UTC; NULL: it holds
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE chores_done (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	chore_id INTEGER NOT NULL REFERENCES chores (id) ON DELETE RESTRICT,
	answer TEXT,                                           -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE alarms (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	place_id INTEGER REFERENCES places (id) ON DELETE RESTRICT, -- NULL: not given
	quantity TEXT NOT NULL,
	value REAL,                                            -- in the unit of quantity; NULL: silence
	raised_at INTEGER NOT NULL,                            -- Unix seconds, UTC
	seen_by_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- NULL: nobody yet
	action TEXT,                                           -- NULL: not given
	cleared_at INTEGER,                                    -- Unix seconds, UTC; NULL: it lasts
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE labour (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	work TEXT NOT NULL,
	minutes INTEGER NOT NULL,                              -- min
	place_id INTEGER REFERENCES places (id) ON DELETE RESTRICT, -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE reviews (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	reviewed_day INTEGER NOT NULL,                         -- days since 1970-01-01
	remark TEXT,                                           -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE handovers (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	what TEXT NOT NULL,
	place_id INTEGER REFERENCES places (id) ON DELETE RESTRICT, -- NULL: not given
	read_by_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- NULL: not given
	read_at INTEGER,                                       -- Unix seconds, UTC; NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

CREATE TABLE photos (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	of_kind TEXT NOT NULL,
	of_key TEXT NOT NULL,                                  -- UUID, canonical text
	media_type TEXT,                                       -- NULL: not given
	at INTEGER,                                            -- when it happened, Unix seconds, UTC; NULL: by day alone
	day INTEGER NOT NULL,                                  -- the farm's day, days since 1970-01-01
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	incident_id INTEGER REFERENCES incidents (id) ON DELETE RESTRICT, -- NULL: none
	note TEXT,                                             -- NULL: none
	tablet_at INTEGER,                                     -- at by the tablet's own clock, Unix seconds; NULL: no tablet clock
	unsure INTEGER,                                        -- 1: the clock could not be trusted; NULL or 0: it could
	look TEXT,                                             -- to look at: codes of what was odd, single spaces; NULL: nothing
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;

-- What was changed later: corrections, completions, strikes, restores, set-up edits.
CREATE TABLE changes (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	of_kind TEXT NOT NULL,
	of_key TEXT NOT NULL,                                  -- UUID, canonical text
	changed_at INTEGER NOT NULL,                           -- Unix seconds, UTC
	what TEXT NOT NULL,                                    -- one of the kind's words
	act TEXT,                                              -- shared by what was struck or restored together; NULL: alone
	why TEXT,                                              -- NULL: no reason given
	staff_id INTEGER REFERENCES staff (id) ON DELETE RESTRICT, -- who; NULL: not known
	tablet TEXT,                                           -- letter of the browser; NULL: not known
	version_before INTEGER NOT NULL,
	before TEXT                                            -- JSON object of the fields that changed; NULL: none
) STRICT;

-- Readings of probes.  No key, no version, no changes; the primary key is the order they are read in.
CREATE TABLE readings (
	probe_id INTEGER NOT NULL REFERENCES probes (id) ON DELETE RESTRICT,
	at INTEGER NOT NULL,                            -- Unix seconds, UTC
	value REAL NOT NULL,                            -- in the probe's unit
	PRIMARY KEY (probe_id, at)
) STRICT, WITHOUT ROWID;

-- For charts: sums of readings that stand, by hour and by farm day.
CREATE TABLE readings_hourly (
	probe_id INTEGER NOT NULL REFERENCES probes (id) ON DELETE RESTRICT,
	hour INTEGER NOT NULL,                          -- hours since 1970-01-01T00:00Z
	readings INTEGER NOT NULL,                      -- how many
	sum REAL NOT NULL,                              -- in the probe's unit, as low and high
	low REAL NOT NULL,
	high REAL NOT NULL,
	PRIMARY KEY (probe_id, hour)
) STRICT, WITHOUT ROWID;

CREATE TABLE readings_daily (
	probe_id INTEGER NOT NULL REFERENCES probes (id) ON DELETE RESTRICT,
	day INTEGER NOT NULL,                           -- the farm's day, days since 1970-01-01
	readings INTEGER NOT NULL,                      -- how many
	sum REAL NOT NULL,                              -- in the probe's unit, as low and high
	low REAL NOT NULL,
	high REAL NOT NULL,
	PRIMARY KEY (probe_id, day)
) STRICT, WITHOUT ROWID;

-- Kept by the service, never exported.

-- Hashes of passwords and PINs; the dictionary's staff has no such field.
CREATE TABLE staff_secrets (
	staff_id INTEGER PRIMARY KEY REFERENCES staff (id) ON DELETE RESTRICT,
	secret_hash TEXT NOT NULL,                      -- argon2id, in libsodium's text form
	set_at INTEGER NOT NULL                         -- Unix seconds, UTC
) STRICT;

-- Browsers, each with the letter that its labels bear.
CREATE TABLE tablets (
	id INTEGER PRIMARY KEY,
	letter TEXT NOT NULL UNIQUE,                    -- A to Z, then AA
	token_hash BLOB UNIQUE,                         -- SHA-256 of the browser's token; NULL: not enrolled
	first_seen_at INTEGER NOT NULL,                 -- Unix seconds, UTC
	last_seen_at INTEGER                            -- Unix seconds, UTC; NULL: not since
) STRICT;

-- One line an import.
CREATE TABLE imports (
	id INTEGER PRIMARY KEY,
	imported_at INTEGER NOT NULL,                   -- Unix seconds, UTC
	source TEXT NOT NULL,                           -- folder or screen, as told
	files INTEGER NOT NULL,
	rows_read INTEGER NOT NULL,
	rows_added INTEGER NOT NULL
) STRICT;

-- A name is used once within its kind, case ignored, among rows that stand.
CREATE UNIQUE INDEX staff_by_name ON staff (name COLLATE NOCASE) WHERE struck_at IS NULL;
CREATE UNIQUE INDEX partners_by_name ON partners (name COLLATE NOCASE) WHERE struck_at IS NULL;
CREATE UNIQUE INDEX species_by_name ON species (name COLLATE NOCASE) WHERE struck_at IS NULL;
CREATE UNIQUE INDEX feeds_by_name ON feeds (name COLLATE NOCASE) WHERE struck_at IS NULL;
CREATE UNIQUE INDEX crops_by_name ON crops (name COLLATE NOCASE) WHERE struck_at IS NULL;
CREATE UNIQUE INDEX varieties_by_name ON varieties (name COLLATE NOCASE) WHERE struck_at IS NULL;
CREATE UNIQUE INDEX trays_by_name ON trays (name COLLATE NOCASE) WHERE struck_at IS NULL;
CREATE UNIQUE INDEX products_by_name ON products (name COLLATE NOCASE) WHERE struck_at IS NULL;
CREATE UNIQUE INDEX materials_by_name ON materials (name COLLATE NOCASE) WHERE struck_at IS NULL;
CREATE UNIQUE INDEX chores_by_name ON chores (title COLLATE NOCASE) WHERE struck_at IS NULL;

-- Lists stand in the order of (instant, id), export in that of (instant, key).
CREATE INDEX incidents_by_instant ON incidents (instant);
CREATE INDEX crop_lots_by_instant ON crop_lots (instant);
CREATE INDEX fish_moves_by_instant ON fish_moves (instant);
CREATE INDEX fish_counts_by_instant ON fish_counts (instant);
CREATE INDEX fish_deaths_by_instant ON fish_deaths (instant);
CREATE INDEX weighings_by_instant ON weighings (instant);
CREATE INDEX feedings_by_instant ON feedings (instant);
CREATE INDEX crop_moves_by_instant ON crop_moves (instant);
CREATE INDEX crop_counts_by_instant ON crop_counts (instant);
CREATE INDEX crop_losses_by_instant ON crop_losses (instant);
CREATE INDEX harvests_by_instant ON harvests (instant);
CREATE INDEX stocktakes_by_instant ON stocktakes (instant);
CREATE INDEX water_tests_by_instant ON water_tests (instant);
CREATE INDEX doses_by_instant ON doses (instant);
CREATE INDEX water_moves_by_instant ON water_moves (instant);
CREATE INDEX solids_by_instant ON solids (instant);
CREATE INDEX treatments_by_instant ON treatments (instant);
CREATE INDEX scoutings_by_instant ON scoutings (instant);
CREATE INDEX climate_notes_by_instant ON climate_notes (instant);
CREATE INDEX packings_by_instant ON packings (instant);
CREATE INDEX discards_by_instant ON discards (instant);
CREATE INDEX orders_by_instant ON orders (instant);
CREATE INDEX order_changes_by_instant ON order_changes (instant);
CREATE INDEX shipments_by_instant ON shipments (instant);
CREATE INDEX complaints_by_instant ON complaints (instant);
CREATE INDEX holds_by_instant ON holds (instant);
CREATE INDEX chores_done_by_instant ON chores_done (instant);
CREATE INDEX alarms_by_instant ON alarms (instant);
CREATE INDEX labour_by_instant ON labour (instant);
CREATE INDEX reviews_by_instant ON reviews (instant);
CREATE INDEX handovers_by_instant ON handovers (instant);
CREATE INDEX photos_by_instant ON photos (instant);
CREATE INDEX changes_by_row ON changes (of_kind, of_key);
CREATE INDEX changes_by_time ON changes (changed_at);
CREATE INDEX changes_by_act ON changes (act) WHERE act IS NOT NULL;
CREATE INDEX set_up_changes_by_row ON set_up_changes (of_kind, of_key, from_day);
CREATE INDEX photos_by_row ON photos (of_kind, of_key);

-- What belongs to a head or is looked up by it.
CREATE INDEX packing_lines_by_packing ON packing_lines (packing_id);
CREATE INDEX packing_lines_by_harvest ON packing_lines (harvest_id);
CREATE INDEX order_lines_by_order ON order_lines (order_id);
CREATE INDEX order_changes_by_order ON order_changes (order_id);
CREATE INDEX shipment_lines_by_shipment ON shipment_lines (shipment_id);
CREATE INDEX shipment_lines_by_packing ON shipment_lines (packing_id);
CREATE INDEX species_limits_by_species ON species_limits (species_id);
CREATE INDEX ration_steps_by_species ON ration_steps (species_id);
CREATE INDEX feeding_plans_by_tank ON feeding_plans (tank_id, from_day);
CREATE INDEX prices_by_product ON prices (product_id, from_day);
CREATE INDEX places_by_parent ON places (parent_id);

-- The ledger: what one tank, bed or lot went through.  Feed is summed from the index alone.
CREATE INDEX feedings_by_tank ON feedings (tank_id, day, amount_g, uneaten_g, struck_at)
	WHERE struck_at IS NULL;
CREATE INDEX feedings_by_tank_time ON feedings (tank_id, instant);
CREATE INDEX fish_moves_by_lot ON fish_moves (fish_lot_id);
CREATE INDEX fish_moves_by_into_lot ON fish_moves (into_lot_id) WHERE into_lot_id IS NOT NULL;
CREATE INDEX fish_moves_by_from_tank ON fish_moves (from_tank_id) WHERE from_tank_id IS NOT NULL;
CREATE INDEX fish_moves_by_to_tank ON fish_moves (to_tank_id) WHERE to_tank_id IS NOT NULL;
CREATE INDEX fish_counts_by_lot ON fish_counts (fish_lot_id);
CREATE INDEX fish_counts_by_tank ON fish_counts (tank_id);
CREATE INDEX fish_deaths_by_tank ON fish_deaths (tank_id, instant);
CREATE INDEX fish_deaths_by_lot ON fish_deaths (fish_lot_id) WHERE fish_lot_id IS NOT NULL;
CREATE INDEX weighings_by_lot ON weighings (fish_lot_id);
CREATE INDEX weighings_by_tank ON weighings (tank_id, instant);
CREATE INDEX harvests_by_fish_lot ON harvests (fish_lot_id) WHERE fish_lot_id IS NOT NULL;
CREATE INDEX harvests_by_crop_lot ON harvests (crop_lot_id) WHERE crop_lot_id IS NOT NULL;
CREATE INDEX harvests_by_tank ON harvests (tank_id) WHERE tank_id IS NOT NULL;
CREATE INDEX harvests_by_bed ON harvests (bed_id) WHERE bed_id IS NOT NULL;
CREATE INDEX harvests_by_day ON harvests (day);
CREATE INDEX crop_lots_by_bed ON crop_lots (bed_id);
CREATE INDEX crop_lots_by_variety ON crop_lots (variety_id);
CREATE INDEX crop_moves_by_lot ON crop_moves (crop_lot_id);
CREATE INDEX crop_moves_by_from_bed ON crop_moves (from_bed_id);
CREATE INDEX crop_moves_by_to_bed ON crop_moves (to_bed_id);
CREATE INDEX crop_counts_by_lot ON crop_counts (crop_lot_id);
CREATE INDEX crop_counts_by_bed ON crop_counts (bed_id);
CREATE INDEX crop_losses_by_lot ON crop_losses (crop_lot_id);
CREATE INDEX crop_losses_by_bed ON crop_losses (bed_id);

-- Water, doses, care.
CREATE INDEX water_tests_by_day ON water_tests (place_id, day);
CREATE INDEX water_tests_by_instant_of_place ON water_tests (place_id, instant);
CREATE INDEX doses_by_loop ON doses (loop_id, instant);
CREATE INDEX chores_done_by_chore ON chores_done (chore_id, instant);
CREATE INDEX holds_by_code ON holds (of_code COLLATE NOCASE);

-- The farm's row is there from the start, with a key that all farms' files share.
INSERT INTO farm (id, key, version, name, time_zone)
VALUES (1, x'00000000000080008000000000000001', 1, 'Farm', 'UTC');
INSERT INTO keys (key, kind, row_id, fingerprint)
VALUES (x'00000000000080008000000000000001', 'farm', 1, zeroblob(32));
