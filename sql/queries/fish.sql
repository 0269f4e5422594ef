-- Fish: the entries that the ledger replays, and what it keeps (server/book/fish_*.c).

-- Entries of a lot, in no order: id, key, instant, day, by day alone, then what each kind says.
-- name: fish_moves_of_lot
SELECT id, key, instant, day, at IS NULL, from_tank_id, to_tank_id, fish, weight_g, reason, into_lot_id, empties
  FROM fish_moves WHERE fish_lot_id = :lot_id AND struck_at IS NULL;

-- name: fish_counts_of_lot
SELECT id, key, instant, day, at IS NULL, tank_id, counted
  FROM fish_counts WHERE fish_lot_id = :lot_id AND struck_at IS NULL;

-- name: fish_deaths_of_lot
SELECT id, key, instant, day, at IS NULL, tank_id, fish, weight_g
  FROM fish_deaths WHERE fish_lot_id = :lot_id AND struck_at IS NULL;

-- Deaths in a tank that name no lot: they are split by number over the lots there.
-- name: fish_deaths_of_no_lot
SELECT id, key, instant, day, at IS NULL, tank_id, fish, weight_g
  FROM fish_deaths
 WHERE tank_id = :tank_id AND instant >= :begin AND fish_lot_id IS NULL AND struck_at IS NULL;

-- name: weighings_of_lot
SELECT id, key, instant, day, at IS NULL, tank_id, fish, weight_g, nets, weights_g
  FROM weighings WHERE fish_lot_id = :lot_id AND struck_at IS NULL;

-- name: weighing_newest
SELECT day, fish, weight_g, nets, weights_g, id FROM weighings
 WHERE tank_id = :tank_id AND fish_lot_id = :lot_id AND instant <= :at AND struck_at IS NULL
 ORDER BY instant DESC, key DESC LIMIT 1;

-- name: fish_harvests_of_lot
SELECT id, key, instant, day, at IS NULL, tank_id, pieces, weight_g, culled_pieces, culled_g, weight_basis, empties
  FROM harvests WHERE fish_lot_id = :lot_id AND struck_at IS NULL;

-- A lot and what its species says of growth.
-- name: fish_lot_facts
SELECT l.id, l.code, l.mean_weight_g, s.id, s.name, s.temperature_optimum_c, s.tgc_prior, s.tgc_prior_sd,
       s.market_weight_g, s.conversion_floor
  FROM fish_lots l JOIN species s ON s.id = l.species_id WHERE l.id = :lot_id;

-- When a lot is first told of; NULL: never.
-- name: fish_first_instant
SELECT min(instant) FROM (
	SELECT min(instant) AS instant FROM fish_moves WHERE fish_lot_id = :lot_id AND struck_at IS NULL
	UNION ALL SELECT min(instant) FROM fish_moves WHERE into_lot_id = :lot_id AND struck_at IS NULL
	UNION ALL SELECT min(instant) FROM fish_counts WHERE fish_lot_id = :lot_id AND struck_at IS NULL
	UNION ALL SELECT min(instant) FROM weighings WHERE fish_lot_id = :lot_id AND struck_at IS NULL
	UNION ALL SELECT min(instant) FROM fish_deaths WHERE fish_lot_id = :lot_id AND struck_at IS NULL
	UNION ALL SELECT min(instant) FROM harvests WHERE fish_lot_id = :lot_id AND struck_at IS NULL);

-- Every tank that an entry of the lot names.
-- name: fish_tanks_of_lot
SELECT to_tank_id FROM fish_moves WHERE fish_lot_id = :lot_id AND to_tank_id IS NOT NULL AND struck_at IS NULL
 UNION SELECT from_tank_id FROM fish_moves WHERE fish_lot_id = :lot_id AND from_tank_id IS NOT NULL AND struck_at IS NULL
 UNION SELECT coalesce(to_tank_id, from_tank_id) FROM fish_moves WHERE into_lot_id = :lot_id AND struck_at IS NULL
 UNION SELECT tank_id FROM fish_counts WHERE fish_lot_id = :lot_id AND struck_at IS NULL
 UNION SELECT tank_id FROM fish_deaths WHERE fish_lot_id = :lot_id AND struck_at IS NULL
 UNION SELECT tank_id FROM harvests WHERE fish_lot_id = :lot_id AND struck_at IS NULL
 UNION SELECT tank_id FROM weighings WHERE fish_lot_id = :lot_id AND struck_at IS NULL;

-- Lots that the lot went into, or that came into it.
-- name: fish_merged_with
SELECT into_lot_id FROM fish_moves WHERE fish_lot_id = :lot_id AND into_lot_id IS NOT NULL AND struck_at IS NULL
 UNION SELECT fish_lot_id FROM fish_moves WHERE into_lot_id = :lot_id AND struck_at IS NULL;

-- name: fish_cells_of_lot
SELECT tank_id, first_instant, last_instant, fish FROM fish_cells WHERE lot_id = :lot_id;

-- Lots that were in a tank between two instants.
-- name: fish_lots_meeting
SELECT lot_id FROM fish_cells
 WHERE tank_id = :tank_id AND first_instant <= :end AND (fish > 0 OR last_instant >= :begin);

-- Lots and tanks with fish between two instants.
-- name: fish_cells_between
SELECT lot_id, tank_id FROM fish_cells
 WHERE first_instant <= :end AND (fish > 0 OR last_instant >= :begin) ORDER BY lot_id, tank_id;

-- name: fish_rows_of_cell
SELECT instant, day, kind, entry_id, other_lot_id, other_tank_id, effect, fish, mass_g, estimated, fish_after,
       mean_g, model, k, basis, weighed_at, stretch
  FROM fish_rows WHERE lot_id = :lot_id AND tank_id = :tank_id ORDER BY seq;

-- name: fish_stretches_of_lot
SELECT number, starts_at, ends_at, model, k, x, start_se, end_se, k_se, k_lean, start_unknown,
       picked_se, picked_x
  FROM fish_stretches WHERE lot_id = :lot_id ORDER BY number;

-- name: fish_row_add
INSERT INTO fish_rows VALUES (:lot_id, :tank_id, :seq, :instant, :day, :kind, :entry_id, :other_lot_id,
       :other_tank_id, :effect, :fish, :mass_g, :estimated, :fish_after, :mean_g, :model, :k, :basis,
       :weighed_at, :stretch);

-- name: fish_stretch_add
INSERT INTO fish_stretches VALUES (:lot_id, :number, :starts_at, :ends_at, :model, :k, :x, :start_se, :end_se,
       :k_se, :k_lean, :start_unknown, :picked_se, :picked_x);

-- name: fish_cell_add
INSERT INTO fish_cells VALUES (:lot_id, :tank_id, :first_instant, :last_instant, :fish);

-- name: fish_rows_drop
DELETE FROM fish_rows WHERE lot_id = :lot_id;

-- name: fish_stretches_drop
DELETE FROM fish_stretches WHERE lot_id = :lot_id;

-- name: fish_cells_drop
DELETE FROM fish_cells WHERE lot_id = :lot_id;

-- name: fish_dirty_add
INSERT OR IGNORE INTO fish_dirty VALUES (:lot_id);

-- Marks the lots that were in a tank between two instants: what one of them did may change the others.
-- name: fish_dirty_add_meeting
INSERT OR IGNORE INTO fish_dirty
SELECT lot_id FROM fish_cells
 WHERE tank_id = :tank_id AND first_instant <= :end AND (fish > 0 OR last_instant >= :begin);

-- Marks the lots with a row in a tank at or after an instant.
-- name: fish_dirty_add_rows_after
INSERT OR IGNORE INTO fish_dirty SELECT lot_id FROM fish_cells WHERE tank_id = :tank_id AND last_instant >= :begin;

-- name: fish_dirty_add_species
INSERT OR IGNORE INTO fish_dirty SELECT id FROM fish_lots WHERE species_id = :species_id;

-- name: fish_dirty_add_all
INSERT OR IGNORE INTO fish_dirty SELECT id FROM fish_lots;

-- name: fish_dirty_drop
DELETE FROM fish_dirty WHERE lot_id = :lot_id;

-- name: fish_dirty_all
SELECT lot_id FROM fish_dirty;

-- The places whose temperatures count for a loop: its tanks as they stand now, its sumps, itself.
-- name: waters_of_place
SELECT t.id FROM tanks t WHERE t.loop_id = :loop_id
 UNION SELECT u.id FROM units u WHERE u.loop_id = :loop_id AND u.role = 'sump'
 UNION SELECT :loop_id;

-- Tanks that changed their loop on a day, oldest change first.
-- name: tanks_moved_loop
SELECT t.id, t.loop_id, c.from_day, lk.id FROM set_up_changes c
  JOIN places tk ON c.of_key = lower(substr(hex(tk.key), 1, 8) || '-' || substr(hex(tk.key), 9, 4) || '-'
               || substr(hex(tk.key), 13, 4) || '-' || substr(hex(tk.key), 17, 4) || '-' || substr(hex(tk.key), 21))
  JOIN tanks t ON t.id = tk.id
  JOIN places lk ON c.value = lower(substr(hex(lk.key), 1, 8) || '-' || substr(hex(lk.key), 9, 4) || '-'
               || substr(hex(lk.key), 13, 4) || '-' || substr(hex(lk.key), 17, 4) || '-' || substr(hex(lk.key), 21))
 WHERE c.of_kind = 'tanks' AND c.field = 'loop_id' AND c.struck_at IS NULL ORDER BY c.from_day, c.id;

-- A place's tanks: all that ever were in its loop where its temperature counts for the loop, else the tank itself.
-- name: tanks_of_same_water
WITH moved(tank_id, loop_id) AS (
	SELECT tk.id, lk.id FROM set_up_changes c
	  JOIN places tk ON c.of_key = lower(substr(hex(tk.key), 1, 8) || '-' || substr(hex(tk.key), 9, 4) || '-'
	               || substr(hex(tk.key), 13, 4) || '-' || substr(hex(tk.key), 17, 4) || '-' || substr(hex(tk.key), 21))
	  JOIN places lk ON c.value = lower(substr(hex(lk.key), 1, 8) || '-' || substr(hex(lk.key), 9, 4) || '-'
	               || substr(hex(lk.key), 13, 4) || '-' || substr(hex(lk.key), 17, 4) || '-' || substr(hex(lk.key), 21))
	 WHERE c.of_kind = 'tanks' AND c.field = 'loop_id' AND c.struck_at IS NULL),
waters(loop_id) AS (
	SELECT coalesce((SELECT loop_id FROM tanks WHERE id = :place_id),
	                (SELECT loop_id FROM units WHERE id = :place_id AND role = 'sump'),
	                (SELECT id FROM loops WHERE id = :place_id))
	 UNION SELECT loop_id FROM moved WHERE tank_id = :place_id)
SELECT id FROM tanks WHERE loop_id IN waters UNION SELECT tank_id FROM moved WHERE loop_id IN waters;

-- The loop for which a place's temperature counts; NULL: for none.
-- name: loop_of_place
SELECT coalesce((SELECT loop_id FROM tanks WHERE id = :place_id),
                (SELECT loop_id FROM units WHERE id = :place_id AND role = 'sump'),
                (SELECT id FROM loops WHERE id = :place_id));

-- name: place_temperatures
SELECT day, sum_mc, tests FROM place_day_temperature WHERE place_id = :place_id AND day BETWEEN :begin AND :end;

-- The nearest day with a temperature before and after another; NULL: none.
-- name: place_temperature_before
SELECT max(day) FROM place_day_temperature WHERE place_id = :place_id AND day < :day;

-- name: place_temperature_after
SELECT min(day) FROM place_day_temperature WHERE place_id = :place_id AND day > :day;

-- name: place_temperature_add
INSERT INTO place_day_temperature VALUES (:place_id, :day, :tests, :sum_mc)
    ON CONFLICT DO UPDATE SET tests = tests + :tests, sum_mc = sum_mc + :sum_mc;

-- Sums go back to nothing when their last test is struck: no row stands for none.
-- name: place_temperature_drop_empty
DELETE FROM place_day_temperature WHERE place_id = :place_id AND day = :day AND tests = 0;

-- name: tank_feed_add
INSERT INTO tank_day_feed VALUES (:tank_id, :day, :feedings, :feed_mg, :uneaten_mg)
    ON CONFLICT DO UPDATE SET feedings = feedings + :feedings, feed_mg = feed_mg + :feed_mg,
                              uneaten_mg = uneaten_mg + :uneaten_mg;

-- name: tank_feed_drop_empty
DELETE FROM tank_day_feed WHERE tank_id = :tank_id AND day = :day AND feedings = 0;

-- Feed of a tank by day, mg.
-- name: tank_feed_days
SELECT day, feed_mg, uneaten_mg, feedings FROM tank_day_feed
 WHERE tank_id = :tank_id AND day BETWEEN :begin AND :end ORDER BY day;

-- Meals whose appetite was noted, and those at which the fish ate slowly or not at all.
-- name: tank_appetite
SELECT day, count(*), sum(appetite IN ('slow', 'none')) FROM feedings INDEXED BY feedings_by_tank
 WHERE tank_id = :tank_id AND day BETWEEN :begin AND :end AND appetite IS NOT NULL AND struck_at IS NULL
 GROUP BY day;

-- How far oxygen falls after meals, mg/L: the mean of the hour before less the lowest of the meal's and the next two.
-- name: tank_oxygen_sags
SELECT f.day, avg(b.sum / b.readings -
                  (SELECT min(a.low) FROM readings_hourly a
                    WHERE a.probe_id = p.id AND a.hour BETWEEN f.instant / 3600 AND f.instant / 3600 + 2))
  FROM probes p
  JOIN feedings f INDEXED BY feedings_by_tank
    ON f.tank_id = p.place_id AND f.day BETWEEN :begin AND :end AND f.struck_at IS NULL AND f.at IS NOT NULL
  JOIN readings_hourly b ON b.probe_id = p.id AND b.hour = f.instant / 3600 - 1
 WHERE p.place_id = :tank_id AND p.quantity = 'do_mg_l' AND p.unit IN ('mg/L', 'mg/l') AND p.struck_at IS NULL
 GROUP BY f.day;

-- Dated fields as of :day: the newest set-up change at or before it, else the base value.
-- name: tank_facts
SELECT p.code,
       coalesce((SELECT CAST(value AS REAL) FROM set_up_changes c
                  WHERE c.of_kind = 'tanks' AND c.of_key = k.key_text AND c.field = 'volume_l'
                    AND c.from_day <= :day AND c.struck_at IS NULL ORDER BY c.from_day DESC, c.id DESC LIMIT 1),
                t.volume_l),
       coalesce((SELECT CAST(value AS REAL) FROM set_up_changes c
                  WHERE c.of_kind = 'tanks' AND c.of_key = k.key_text AND c.field = 'density_limit_kg_m3'
                    AND c.from_day <= :day AND c.struck_at IS NULL ORDER BY c.from_day DESC, c.id DESC LIMIT 1),
                t.density_limit_kg_m3),
       lp.id, lp.code
  FROM tanks t JOIN places p ON p.id = t.id
  JOIN (SELECT id, lower(substr(hex(key), 1, 8) || '-' || substr(hex(key), 9, 4) || '-' || substr(hex(key), 13, 4)
               || '-' || substr(hex(key), 17, 4) || '-' || substr(hex(key), 21)) AS key_text
          FROM places) k ON k.id = t.id
  JOIN places lp ON lp.id = coalesce(
       (SELECT lk.id FROM set_up_changes c JOIN places lk
            ON c.value = lower(substr(hex(lk.key), 1, 8) || '-' || substr(hex(lk.key), 9, 4) || '-'
               || substr(hex(lk.key), 13, 4) || '-' || substr(hex(lk.key), 17, 4) || '-' || substr(hex(lk.key), 21))
         WHERE c.of_kind = 'tanks' AND c.of_key = k.key_text AND c.field = 'loop_id'
           AND c.from_day <= :day AND c.struck_at IS NULL ORDER BY c.from_day DESC, c.id DESC LIMIT 1),
       t.loop_id)
 WHERE t.id = :tank_id;

-- Every tank, retired ones too, on the walk.
-- name: tanks_all
SELECT t.id FROM tanks t JOIN places p ON p.id = t.id WHERE p.struck_at IS NULL
 ORDER BY coalesce(p.walk_order, 1000000), p.code;

-- Tanks that were in use on a day or after it, on the walk.
-- name: tanks_in_use
SELECT t.id, p.code FROM tanks t JOIN places p ON p.id = t.id
 WHERE p.struck_at IS NULL AND (p.retired_on IS NULL OR p.retired_on > :from)
 ORDER BY coalesce(p.walk_order, 1000000), p.code;

-- A rebuild: what is derived goes, and the sums are made anew from the entries that stand.
-- name: rebuild_drop_fish_rows
DELETE FROM fish_rows;

-- name: rebuild_drop_fish_stretches
DELETE FROM fish_stretches;

-- name: rebuild_drop_fish_cells
DELETE FROM fish_cells;

-- name: rebuild_drop_feed
DELETE FROM tank_day_feed;

-- name: rebuild_drop_temperature
DELETE FROM place_day_temperature;

-- name: rebuild_feed
INSERT INTO tank_day_feed
SELECT tank_id, day, count(*), sum(CAST(round(amount_g * 1000) AS INTEGER)),
       sum(CAST(round(coalesce(uneaten_g, 0) * 1000) AS INTEGER))
  FROM feedings WHERE struck_at IS NULL GROUP BY tank_id, day;

-- name: rebuild_temperature
INSERT INTO place_day_temperature
SELECT place_id, day, count(*), sum(CAST(round(temperature_c * 1000) AS INTEGER))
  FROM water_tests WHERE temperature_c IS NOT NULL AND struck_at IS NULL GROUP BY place_id, day;

-- Feed of a tank in a part of a farm day: feedings, mg given, mg taken out again.
-- name: tank_feed_part_day
SELECT count(*), sum(CAST(round(amount_g * 1000) AS INTEGER)),
       sum(CAST(round(coalesce(uneaten_g, 0) * 1000) AS INTEGER))
  FROM feedings INDEXED BY feedings_by_tank
 WHERE tank_id = :tank_id AND day = :day AND instant >= :begin AND instant < :end AND struck_at IS NULL;

-- name: fish_lots_all
SELECT id FROM fish_lots;

-- Days whose kept feed is not the sum of the feedings, and the other way round.
-- name: check_feed
WITH entries AS (
	SELECT tank_id, day, count(*) AS feedings, sum(CAST(round(amount_g * 1000) AS INTEGER)) AS feed_mg,
	       sum(CAST(round(coalesce(uneaten_g, 0) * 1000) AS INTEGER)) AS uneaten_mg
	  FROM feedings WHERE struck_at IS NULL GROUP BY tank_id, day)
SELECT tank_id, day FROM (SELECT * FROM entries EXCEPT SELECT * FROM tank_day_feed)
 UNION SELECT tank_id, day FROM (SELECT * FROM tank_day_feed EXCEPT SELECT * FROM entries);

-- Days whose kept temperature is not the sum of the tests, and the other way round.
-- name: check_temperature
WITH entries AS (
	SELECT place_id, day, count(*) AS tests, sum(CAST(round(temperature_c * 1000) AS INTEGER)) AS sum_mc
	  FROM water_tests WHERE temperature_c IS NOT NULL AND struck_at IS NULL GROUP BY place_id, day)
SELECT place_id, day FROM (SELECT * FROM entries EXCEPT SELECT * FROM place_day_temperature)
 UNION SELECT place_id, day FROM (SELECT * FROM place_day_temperature EXCEPT SELECT * FROM entries);
