-- 0008: alarms that the service raises, and the places that wait to be looked at.

ALTER TABLE alarms ADD COLUMN level TEXT;              -- one of the kind's words; NULL: a person noted it
ALTER TABLE alarms ADD COLUMN probe_id INTEGER REFERENCES probes (id) ON DELETE RESTRICT; -- that is silent; NULL: none
CREATE INDEX alarms_by_place ON alarms (place_id, raised_at);
CREATE INDEX alarms_open ON alarms (raised_at) WHERE cleared_at IS NULL AND struck_at IS NULL;

-- Derived: may be emptied at any time; then every place that has readings is to be marked again.
CREATE TABLE alarm_watch (
	place_id INTEGER PRIMARY KEY REFERENCES places (id) ON DELETE RESTRICT,
	since INTEGER,                                  -- entries from this instant on changed, Unix seconds; NULL: none
	due_at INTEGER                                  -- the clock alone may raise something then; NULL: never
) STRICT;
CREATE INDEX alarm_watch_by_due ON alarm_watch (due_at);
INSERT INTO alarm_watch (place_id, since) SELECT DISTINCT place_id, 0 FROM water_tests;

ALTER TABLE species ADD COLUMN oxygen_uptake_mg_kg_h REAL; -- mg that 1 kg takes in an hour; NULL: not given
