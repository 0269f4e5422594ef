-- Alarms (server/book/alarms.c, alarm_rows.c, report_alarms.c).

-- name: alarm_mark
INSERT INTO alarm_watch (place_id, since) VALUES (:place_id, :since)
    ON CONFLICT DO UPDATE SET since = min(coalesce(since, :since), :since);

-- Places in a tank's water that are no tanks: their limits are those of its fish, their temperature its tests'.
-- name: alarm_mark_water
UPDATE alarm_watch SET since = min(coalesce(since, :since), :since)
 WHERE place_id IN (SELECT u.id FROM units u JOIN tanks t ON t.loop_id = u.loop_id WHERE t.id = :place_id
                     UNION ALL SELECT d.id FROM beds d JOIN tanks t ON t.loop_id = d.loop_id WHERE t.id = :place_id
                     UNION ALL SELECT loop_id FROM tanks WHERE id = :place_id);

-- name: alarm_mark_all_due
UPDATE alarm_watch SET due_at = 0;

-- name: alarm_next
SELECT place_id, since FROM alarm_watch WHERE since IS NOT NULL
 UNION ALL
SELECT place_id, since FROM alarm_watch INDEXED BY alarm_watch_by_due WHERE due_at <= :now
 LIMIT 1;

-- name: alarm_seen_to
UPDATE alarm_watch SET since = NULL, due_at = :due_at WHERE place_id = :place_id;

-- name: alarms_of_place
SELECT id, quantity, level, probe_id, raised_at, cleared_at, struck_at, struck_why, value
  FROM alarms INDEXED BY alarms_by_place
 WHERE place_id = :place_id AND level IS NOT NULL AND (cleared_at IS NULL OR cleared_at >= :since)
 ORDER BY raised_at, key;

-- name: alarms_open
SELECT id, place_id, quantity, level, probe_id, raised_at, value, seen_by_id, action
  FROM alarms INDEXED BY alarms_open WHERE cleared_at IS NULL AND struck_at IS NULL ORDER BY raised_at, key;

-- name: probe_place
SELECT place_id FROM probes WHERE id = :probe_id;

-- name: species_uptake
SELECT oxygen_uptake_mg_kg_h FROM species WHERE id = :species_id;

-- name: alarm_details
SELECT a.key, s.name FROM alarms a LEFT JOIN staff s ON s.id = a.seen_by_id WHERE a.id = :id;
