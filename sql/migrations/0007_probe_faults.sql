-- 0007: stretches in which a probe told wrong.

CREATE TABLE probe_faults (
	id INTEGER PRIMARY KEY,
	key BLOB NOT NULL CHECK (length(key) = 16),
	version INTEGER NOT NULL,
	instant INTEGER NOT NULL,                              -- where it stands in the ledger, Unix seconds, UTC
	probe_id INTEGER NOT NULL REFERENCES probes (id) ON DELETE RESTRICT,
	began_at INTEGER NOT NULL,                             -- Unix seconds, UTC
	ended_at INTEGER,                                      -- Unix seconds, UTC, included; NULL: it lasts
	cause TEXT,                                            -- NULL: not given
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
CREATE INDEX probe_faults_by_instant ON probe_faults (instant);
CREATE INDEX probe_faults_by_probe ON probe_faults (probe_id);
