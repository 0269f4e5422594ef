-- Readings of probes: raw rows, and their hours and days (server/book/readings.c).

-- Nothing changes when the same value comes again.
-- name: reading_put
INSERT INTO readings (probe_id, at, value) VALUES (:probe_id, :at, :value)
 ON CONFLICT (probe_id, at) DO UPDATE SET value = excluded.value WHERE value <> excluded.value;

-- end is not included, here and below.
-- name: readings_between
SELECT at, value FROM readings WHERE probe_id = :probe_id AND at >= :begin AND at < :end ORDER BY at;

-- The newest one that stands: a wrong stretch is gone over.
-- name: reading_newest
SELECT r.at, r.value FROM readings r WHERE r.probe_id = :probe_id AND r.at <= :at
   AND NOT EXISTS (SELECT 1 FROM probe_faults f INDEXED BY probe_faults_by_probe
                    WHERE f.probe_id = r.probe_id AND f.struck_at IS NULL
                      AND r.at >= f.began_at AND (f.ended_at IS NULL OR r.at <= f.ended_at))
 ORDER BY r.at DESC LIMIT 1;

-- name: reading_first
SELECT min(at) FROM readings WHERE probe_id = :probe_id;

-- name: reading_last
SELECT max(at) FROM readings WHERE probe_id = :probe_id;

-- Hours of a probe that have a reading; wrong stretches are left out when they are made.
-- name: reading_hours
SELECT hour, readings, sum, low, high FROM readings_hourly
 WHERE probe_id = :probe_id AND hour >= :begin AND hour < :end ORDER BY hour;

-- name: reading_hours_drop
DELETE FROM readings_hourly WHERE probe_id = :probe_id AND hour >= :begin AND hour < :end;

-- name: reading_hours_count
SELECT count(*) FROM readings_hourly WHERE probe_id = :probe_id;

-- name: reading_hour_add
INSERT INTO readings_hourly (probe_id, hour, readings, sum, low, high)
VALUES (:probe_id, :at, :readings, :sum, :low, :high);

-- name: reading_days
SELECT day, readings, sum, low, high FROM readings_daily
 WHERE probe_id = :probe_id AND day >= :begin AND day < :end ORDER BY day;

-- name: reading_days_drop
DELETE FROM readings_daily WHERE probe_id = :probe_id AND day >= :begin AND day < :end;

-- name: reading_days_count
SELECT count(*) FROM readings_daily WHERE probe_id = :probe_id;

-- name: reading_day_add
INSERT INTO readings_daily (probe_id, day, readings, sum, low, high)
VALUES (:probe_id, :at, :readings, :sum, :low, :high);

-- Stretches in which a probe told wrong, both ends included.
-- name: probe_faults_of
SELECT began_at, ended_at FROM probe_faults INDEXED BY probe_faults_by_probe
 WHERE probe_id = :probe_id AND struck_at IS NULL ORDER BY began_at, id;

-- A probe, where it hangs, and whether it was struck out.
-- name: probe_facts
SELECT p.code, p.quantity, p.unit, p.low, p.high, p.silent_after_min, l.code, p.struck_at
  FROM probes p JOIN places l ON l.id = p.place_id WHERE p.id = :id;

-- In the order of export, which no id decides; struck ones too.
-- name: probes_all
SELECT id FROM probes ORDER BY code, key;

-- name: probes_in_use
SELECT p.id FROM probes p WHERE p.struck_at IS NULL AND (p.retired_on IS NULL OR p.retired_on > :day) ORDER BY p.code;
