-- 0003: what is computed from the entries and kept because it is expensive.  All of it may be dropped at any
-- time: `weirbook rebuild` makes it anew, `weirbook check` compares.  No foreign keys: it is no record.

-- Feed of each tank and farm day, in integer milligrams, so that no order of entries changes a digit.
CREATE TABLE tank_day_feed (
	tank_id INTEGER NOT NULL,
	day INTEGER NOT NULL,                           -- days since 1970-01-01
	feedings INTEGER NOT NULL,
	feed_mg INTEGER NOT NULL,                       -- given
	uneaten_mg INTEGER NOT NULL,                    -- of it, taken out again
	PRIMARY KEY (tank_id, day)
) STRICT, WITHOUT ROWID;

-- Water temperature of each place and farm day: the sum of its readings, in thousandths of a degree.
CREATE TABLE place_day_temperature (
	place_id INTEGER NOT NULL,
	day INTEGER NOT NULL,
	tests INTEGER NOT NULL,
	sum_mc INTEGER NOT NULL,
	PRIMARY KEY (place_id, day)
) STRICT, WITHOUT ROWID;

-- Fish lots whose solved rows below no longer hold.
CREATE TABLE fish_dirty (
	lot_id INTEGER PRIMARY KEY
) STRICT;

-- When a lot was in a tank.
CREATE TABLE fish_cells (
	lot_id INTEGER NOT NULL,
	tank_id INTEGER NOT NULL,
	first_instant INTEGER NOT NULL,                 -- Unix seconds, UTC
	last_instant INTEGER NOT NULL,                  -- of its last row
	fish INTEGER NOT NULL,                          -- after its last row; 0: it is gone
	PRIMARY KEY (lot_id, tank_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX fish_cells_by_tank ON fish_cells (tank_id, first_instant, last_instant, fish);

-- What each entry did to each lot in each tank (struct fish_row of server/book/fish_replay.h).
CREATE TABLE fish_rows (
	lot_id INTEGER NOT NULL,
	tank_id INTEGER NOT NULL,
	seq INTEGER NOT NULL,                           -- order within the lot and tank
	instant INTEGER NOT NULL,                       -- Unix seconds, UTC
	day INTEGER NOT NULL,
	kind TEXT NOT NULL,                             -- of the entry
	entry_id INTEGER NOT NULL,
	other_lot_id INTEGER,                           -- of a move; NULL: none
	other_tank_id INTEGER,
	effect INTEGER NOT NULL,                        -- enum fish_effect
	fish INTEGER NOT NULL,                          -- signed change
	mass_g REAL,                                    -- signed change; NULL: no weight is known
	estimated INTEGER NOT NULL,                     -- 1: mass_g was not measured
	fish_after INTEGER NOT NULL,
	mean_g REAL,                                    -- NULL: not known, or no fish
	model INTEGER NOT NULL,                         -- enum growth_model
	k REAL NOT NULL,
	basis INTEGER NOT NULL,                         -- enum fish_basis
	weighed_at INTEGER,                             -- NULL: never
	stretch INTEGER NOT NULL,                       -- number in fish_stretches; -1: none
	PRIMARY KEY (lot_id, tank_id, seq)
) STRICT, WITHOUT ROWID;

-- The time between two weighings of the whole (struct fish_stretch).
CREATE TABLE fish_stretches (
	lot_id INTEGER NOT NULL,
	number INTEGER NOT NULL,
	starts_at INTEGER NOT NULL,
	ends_at INTEGER,                                -- NULL: open
	model INTEGER NOT NULL,
	k REAL NOT NULL,
	x REAL,                                         -- NULL: temperature was never known
	start_se REAL NOT NULL,
	end_se REAL NOT NULL,
	k_se REAL NOT NULL,
	k_lean REAL NOT NULL,
	start_unknown INTEGER NOT NULL,
	PRIMARY KEY (lot_id, number)
) STRICT, WITHOUT ROWID;
