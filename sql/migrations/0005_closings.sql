-- 0005: a month that is closed, and what the book said of each tank then.

CREATE TABLE closings (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	month INTEGER NOT NULL,                                -- its first day, days since 1970-01-01
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
CREATE INDEX closings_by_instant ON closings (instant);
CREATE INDEX closings_by_month ON closings (month);

CREATE TABLE closing_lines (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	closing_id INTEGER NOT NULL REFERENCES closings (id) ON DELETE RESTRICT,
	tank_id INTEGER NOT NULL REFERENCES tanks (id) ON DELETE RESTRICT,
	feed_g REAL,                                           -- g given in the month; NULL: not known
	gain_g REAL,                                           -- g; NULL: a weight was not known
	fcr_economic REAL,                                     -- NULL: none, as there was no gain
	fcr_biological REAL,                                   -- NULL: none
	note TEXT,                                             -- NULL: none
	received_at INTEGER,                                   -- when the service took it, Unix seconds, UTC; NULL: not known
	struck_at INTEGER,                                     -- struck out, Unix seconds, UTC; NULL: it stands
	struck_why TEXT                                        -- NULL: it stands, or no reason given
) STRICT;
CREATE INDEX closing_lines_by_closing ON closing_lines (closing_id);
