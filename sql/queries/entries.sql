-- What the rules of the book ask when an entry comes in.

-- name: farm_settings
SELECT time_zone, day_begins_hour FROM farm WHERE id = 1;

-- What stood in the fields that the change after this version touched, as JSON.
-- name: change_of_version
SELECT before FROM changes
 WHERE of_kind = :of_kind AND of_key = :of_key AND version_before = :version
 ORDER BY id DESC LIMIT 1;

-- The act by which a row was struck out last.
-- name: last_strike
SELECT act FROM changes
 WHERE of_kind = :of_kind AND of_key = :of_key AND what = 'strike'
 ORDER BY version_before DESC LIMIT 1;

-- Keys of the rows of a kind-spanning act, in the order in which they were struck.
-- name: struck_by_act
SELECT of_key FROM changes WHERE act = :act AND what = 'strike' ORDER BY id;

-- The change of a dated field that begins on this very day.
-- name: set_up_change_of
SELECT id FROM set_up_changes
 WHERE of_kind = :of_kind AND of_key = :of_key AND field = :field AND from_day = :from_day
   AND struck_at IS NULL
 ORDER BY id DESC LIMIT 1;

-- name: place_retired_on
SELECT retired_on, code FROM places WHERE id = :id;

-- When a lot first stood in a tank: it arrived, was moved in, merged in, or counted there.
-- self_move, self_count: rows that do not count, 0 for none.
-- name: lot_first_in_tank
SELECT MIN(instant) FROM (
	SELECT instant FROM fish_moves INDEXED BY fish_moves_by_lot
	 WHERE fish_lot_id = :lot AND to_tank_id = :place AND into_lot_id IS NULL
	   AND struck_at IS NULL AND id <> :self_move
	UNION ALL
	SELECT instant FROM fish_moves
	 WHERE into_lot_id = :lot AND coalesce(to_tank_id, from_tank_id) = :place
	   AND struck_at IS NULL AND id <> :self_move
	UNION ALL
	SELECT instant FROM fish_counts INDEXED BY fish_counts_by_lot
	 WHERE fish_lot_id = :lot AND tank_id = :place AND counted > 0
	   AND struck_at IS NULL AND id <> :self_count);

-- The same of a crop lot and a bed.
-- name: lot_first_in_bed
SELECT MIN(instant) FROM (
	SELECT instant FROM crop_lots WHERE id = :lot AND bed_id = :place AND struck_at IS NULL
	UNION ALL
	SELECT instant FROM crop_moves INDEXED BY crop_moves_by_lot
	 WHERE crop_lot_id = :lot AND to_bed_id = :place AND struck_at IS NULL AND id <> :self_move
	UNION ALL
	SELECT instant FROM crop_counts INDEXED BY crop_counts_by_lot
	 WHERE crop_lot_id = :lot AND bed_id = :place AND counted > 0
	   AND struck_at IS NULL AND id <> :self_count);

-- Another feeding that has taken the slot.
-- name: slot_holder
SELECT instant, amount_g, staff_id FROM feedings INDEXED BY feedings_by_tank
 WHERE tank_id = :tank AND day = :day AND slot = :slot AND feed_id = :feed
   AND struck_at IS NULL AND id <> :self
 ORDER BY instant, key LIMIT 1;

-- Grams fed to a tank on a farm day, without one feeding.
-- name: fed_on_day
SELECT coalesce(sum(amount_g), 0.0) FROM feedings
 WHERE tank_id = :tank AND day = :day AND struck_at IS NULL AND id <> :self;

-- The nearest other dose of the same purpose.
-- name: dose_of_purpose
SELECT d.instant, d.amount_g, m.name FROM doses AS d JOIN materials AS m ON m.id = d.material_id
 WHERE d.loop_id = :loop AND d.instant > :after AND d.instant < :before
   AND d.struck_at IS NULL AND d.id <> :self
   AND m.purpose = (SELECT purpose FROM materials WHERE id = :material)
 ORDER BY abs(d.instant - :instant), d.key LIMIT 1;

-- Whether a lot is cut once or again.
-- name: crop_lot_cut
SELECT c.cut FROM crop_lots AS l JOIN varieties AS v ON v.id = l.variety_id
  JOIN crops AS c ON c.id = v.crop_id WHERE l.id = :lot;

-- Every step of the fish of one tank in the ledger's order; a tank fills before it empties.  change: fish
-- that come or leave (1 where only a weight is known); set_to: a count; lot NULL: split over the lots.
-- name: tank_steps
SELECT lot, change, set_to, empties, day, by_day_death FROM (
	SELECT instant, 2 AS rank, key, fish_lot_id AS lot, 0 AS change, counted AS set_to,
	       0 AS empties, day, 0 AS by_day_death
	  FROM fish_counts WHERE tank_id = :tank AND struck_at IS NULL
	UNION ALL
	SELECT instant, CASE WHEN from_tank_id IS NULL THEN 1 ELSE 3 END, key,
	       coalesce(into_lot_id, fish_lot_id), fish, NULL, 0, day, 0
	  FROM fish_moves WHERE to_tank_id = :tank AND struck_at IS NULL
	UNION ALL
	SELECT instant, 3, key, into_lot_id, fish, NULL, 0, day, 0
	  FROM fish_moves WHERE from_tank_id = :tank AND to_tank_id IS NULL
	   AND into_lot_id IS NOT NULL AND struck_at IS NULL
	UNION ALL
	SELECT instant, 4, key, fish_lot_id, -fish, NULL, coalesce(empties, 0), day, 0
	  FROM fish_moves WHERE from_tank_id = :tank AND struck_at IS NULL
	UNION ALL
	SELECT instant, 7, key, fish_lot_id, -coalesce(fish, 1), NULL, 0, day, at IS NULL
	  FROM fish_deaths WHERE tank_id = :tank AND struck_at IS NULL
	UNION ALL
	SELECT instant, 8, key, fish_lot_id, -(coalesce(pieces, 1) + coalesce(culled_pieces, 0)),
	       NULL, coalesce(empties, 0), day, 0
	  FROM harvests WHERE tank_id = :tank AND struck_at IS NULL)
 ORDER BY instant, rank, key;

-- Treatments of fish or of their water whose withdrawal runs on some of these days, the longest first.
-- name: treatments_of_fish
SELECT coalesce(fish_lot_id, 0), coalesce(tank_id, 0), coalesce(loop_id, 0), medicine, first_day, last_day,
       withdrawal_days, last_day + coalesce(withdrawal_days, :unknown_days) AS ends_day
  FROM treatments
 WHERE struck_at IS NULL AND bed_id IS NULL AND first_day <= :to
   AND last_day + coalesce(withdrawal_days, :unknown_days) > :from
 ORDER BY ends_day DESC, key;

-- A treatment whose withdrawal a harvest of plants on this day falls into, the longest first.  Plants stand in
-- the water of every tank of their loop.
-- name: withdrawal_of_plants
SELECT medicine, last_day, withdrawal_days FROM treatments
 WHERE struck_at IS NULL AND first_day <= :day
   AND (bed_id = :place OR loop_id = (SELECT loop_id FROM beds WHERE id = :place)
        OR tank_id IN (SELECT t.id FROM tanks AS t JOIN beds AS b ON b.loop_id = t.loop_id
                        WHERE b.id = :place))
   AND :day < last_day + coalesce(withdrawal_days, :unknown_days)
 ORDER BY last_day + coalesce(withdrawal_days, :unknown_days) DESC, key LIMIT 1;

-- name: bed_loop
SELECT coalesce(loop_id, 0) FROM beds WHERE id = :bed;

-- The oldest hold that is open on a code.
-- name: hold_of_code
SELECT why FROM holds
 WHERE of_code = :code COLLATE NOCASE AND struck_at IS NULL AND released_at IS NULL
 ORDER BY instant, key LIMIT 1;

-- A hold on a code for this very reason, also one that was released.
-- name: hold_with_reason
SELECT id FROM holds WHERE of_code = :code COLLATE NOCASE AND why = :why AND struck_at IS NULL LIMIT 1;

-- Harvests of some days, those of plants too or of fish alone.
-- name: harvests_of_days
SELECT id FROM harvests INDEXED BY harvests_by_day
 WHERE day BETWEEN :from AND :to AND struck_at IS NULL AND (:plants OR fish_lot_id IS NOT NULL)
 ORDER BY day, instant, key;

-- The code of the seed that a sowing came from.
-- name: seed_lot_of_crop
SELECT s.code FROM crop_lots AS c JOIN seed_lots AS s ON s.id = c.seed_lot_id WHERE c.id = :lot;
