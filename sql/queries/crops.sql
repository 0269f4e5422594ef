-- The ledger of plants: server/book/crop_ledger.

-- All entries about plants of one lot (:lot), or of every lot that can stand between :since and :until (:lot NULL),
-- in no order.
-- Columns: sort (enum crop_sort), id, key, instant, day, by day alone, lot, bed, to_bed, plants, cubes or
-- pieces, culled, rafts, raft_sites, at the foot, empties, germination count or cut again, germination_pct.
-- name: crop_events
WITH lot (id) AS MATERIALIZED (
	SELECT crop_lot_id FROM crop_ends WHERE :lot IS NULL AND ended_at IS NULL
	UNION ALL
	SELECT crop_lot_id FROM crop_ends WHERE :lot IS NULL AND ended_at > :since AND began_at <= :until
	UNION ALL
	SELECT :lot WHERE :lot IS NOT NULL)
SELECT 0, c.id, c.key, c.instant, c.day, c.at IS NULL, c.id, c.bed_id, NULL, NULL, c.cubes, NULL, NULL, NULL,
       0, 0, 0, s.germination_pct
  FROM lot CROSS JOIN crop_lots c ON c.id = lot.id LEFT JOIN seed_lots s ON s.id = c.seed_lot_id
 WHERE c.struck_at IS NULL
UNION ALL
SELECT 1, e.id, e.key, e.instant, e.day, e.at IS NULL, e.crop_lot_id, e.bed_id, NULL, e.counted, NULL, NULL,
       NULL, NULL, 0, 0, e.method IS 'germination', NULL
  FROM lot CROSS JOIN crop_counts e ON e.crop_lot_id = lot.id
 WHERE e.struck_at IS NULL
UNION ALL
SELECT 2, e.id, e.key, e.instant, e.day, e.at IS NULL, e.crop_lot_id, e.from_bed_id, e.to_bed_id, e.plants,
       NULL, NULL, e.rafts, e.raft_sites, e."end" IS 'foot', e.empties, 0, NULL
  FROM lot CROSS JOIN crop_moves e ON e.crop_lot_id = lot.id
 WHERE e.struck_at IS NULL
UNION ALL
SELECT 3, e.id, e.key, e.instant, e.day, e.at IS NULL, e.crop_lot_id, e.bed_id, NULL, e.plants, NULL, NULL,
       NULL, NULL, 0, 0, 0, NULL
  FROM lot CROSS JOIN crop_losses e ON e.crop_lot_id = lot.id
 WHERE e.struck_at IS NULL
UNION ALL
SELECT 4, e.id, e.key, e.instant, e.day, e.at IS NULL, e.crop_lot_id, e.bed_id, NULL, e.plants, e.pieces,
       e.culled_pieces, e.rafts, NULL, 0, e.empties, k.cut IS 'again', NULL
  FROM lot CROSS JOIN harvests e ON e.crop_lot_id = lot.id
  JOIN crop_lots c ON c.id = lot.id JOIN varieties v ON v.id = c.variety_id JOIN crops k ON k.id = v.crop_id
 WHERE e.struck_at IS NULL AND e.bed_id IS NOT NULL;

-- Every bed by id, struck or retired ones too: something may stand there.
-- name: crop_beds
SELECT b.id, p.code, b.role, p.walk_order, b.length_m, b.width_m, b.raft_length_m, b.raft_width_m,
       b.sites_per_raft
  FROM beds b JOIN places p ON p.id = b.id ORDER BY b.id;

-- What a crop lot is.
-- name: crop_lot_facts
SELECT c.code, v.name, v.days_germination, v.days_nursery, v.days_raft, v.days_hold, k.cut IS 'again', v.id
  FROM crop_lots c JOIN varieties v ON v.id = c.variety_id JOIN crops k ON k.id = v.crop_id
 WHERE c.id = :lot;

-- Lots whose end is not worked out.
-- name: crop_unsettled
SELECT crop_lot_id FROM crop_ends WHERE ended_at IS NULL LIMIT :limit;

-- name: crop_settle
UPDATE crop_ends SET began_at = :began_at, ended_at = :ended_at, sown_day = :sown_day, first_cut_at = :first_cut_at,
       days_sown = :days_sown, days_nursery = :days_nursery, days_raft = :days_raft,
       variety_id = (SELECT variety_id FROM crop_lots WHERE id = :lot)
 WHERE crop_lot_id = :lot;

-- For a rebuild: every lot is there, and nothing is worked out.
-- name: rebuild_drop_crop_ends
DELETE FROM crop_ends;

-- name: rebuild_crop_ends
INSERT INTO crop_ends (crop_lot_id) SELECT id FROM crop_lots;

-- The next lot whose end is worked out, for check and for rebuilding step by step.
-- name: crop_settled
SELECT crop_lot_id, began_at, ended_at, sown_day, first_cut_at, days_sown, days_nursery, days_raft
  FROM crop_ends WHERE ended_at IS NOT NULL AND crop_lot_id > :after
 ORDER BY crop_lot_id LIMIT 1;

-- Crop lots that crop_ends does not know, and the other way round: none.
-- name: crop_ends_amiss
SELECT count(*) FROM crop_lots c WHERE NOT EXISTS (SELECT 1 FROM crop_ends e WHERE e.crop_lot_id = c.id);

-- Days that lots of a variety took to their first harvest, of those harvested by :until.
-- Columns: lot, sown_day, from sowing, from the nursery, on rafts (NULL: does not apply).
-- name: crop_lots_took
SELECT crop_lot_id, sown_day, days_sown, days_nursery, days_raft FROM crop_ends INDEXED BY crop_ends_by_variety
 WHERE variety_id = :variety AND first_cut_at <= :until AND ended_at IS NOT NULL AND first_cut_at IS NOT NULL;

-- Varieties with their planned days, by name.
-- name: crop_varieties
SELECT v.id, v.name, v.days_germination, v.days_nursery, v.days_raft, v.days_hold
  FROM varieties v WHERE v.struck_at IS NULL ORDER BY v.name;

-- Losses of plants between two instants, both included: lot, bed, what the bed is for, plants.
-- name: crop_losses_between
SELECT l.crop_lot_id, l.bed_id, b.role, l.plants
  FROM crop_losses l INDEXED BY crop_losses_by_instant CROSS JOIN beds b ON b.id = l.bed_id
 WHERE l.instant BETWEEN :from AND :to AND l.struck_at IS NULL;

-- The same added up by what the bed is for and by cause (NULL: none given), most first; of one variety by its name, or of all.
-- name: crop_losses_by_cause
SELECT b.role, l.cause, count(*), sum(l.plants) AS lost
  FROM crop_losses l INDEXED BY crop_losses_by_instant CROSS JOIN beds b ON b.id = l.bed_id
  CROSS JOIN crop_lots c ON c.id = l.crop_lot_id CROSS JOIN varieties v ON v.id = c.variety_id
 WHERE l.instant BETWEEN :from AND :to AND l.struck_at IS NULL AND (:variety IS NULL OR v.name = :variety COLLATE NOCASE)
 GROUP BY b.role, l.cause ORDER BY lost DESC, b.role, l.cause;
