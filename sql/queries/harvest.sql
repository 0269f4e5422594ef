-- Harvest totals: server/book/report_harvest.

-- Every harvest that stands of these days; from the index harvests_for_totals alone.
-- name: harvest_rows
SELECT day, crop_lot_id, fish_lot_id, bed_id, tank_id, grade, pieces, weight_g, culled_pieces, culled_g, instant
  FROM harvests WHERE struck_at IS NULL AND day BETWEEN :from_day AND :to_day;

-- NULL: nothing was harvested.
-- name: harvest_first_day
SELECT min(day) FROM harvests WHERE struck_at IS NULL;

-- Names of what a total can be by: id, text, what it belongs to, grams of one piece.
-- name: harvest_crop_lots
SELECT id, code, variety_id, NULL FROM crop_lots;

-- name: harvest_varieties
SELECT id, name, crop_id, head_weight_g FROM varieties;

-- name: harvest_crops
SELECT id, name, NULL, NULL FROM crops;

-- name: harvest_fish_lots
SELECT id, code, species_id, NULL FROM fish_lots;

-- name: harvest_species
SELECT id, name, NULL, NULL FROM species;

-- name: harvest_places
SELECT id, code, NULL, NULL FROM places;

-- Packings that stand between two instants, with what their lines took from harvests (mg).  Report packed.
-- name: packed_rows
SELECT p.day, p.product_id, p.packs,
       (SELECT sum(l.pieces) FROM packing_lines l WHERE l.packing_id = p.id AND l.struck_at IS NULL),
       (SELECT sum(CAST(round(l.weight_g * 1000) AS INTEGER)) FROM packing_lines l
         WHERE l.packing_id = p.id AND l.struck_at IS NULL)
  FROM packings p WHERE p.struck_at IS NULL AND p.instant BETWEEN :from AND :to;

-- No row: nothing was packed.
-- name: packed_first_day
SELECT day FROM packings WHERE struck_at IS NULL ORDER BY instant LIMIT 1;

-- Names of products, in the shape of the names above.
-- name: packed_products
SELECT id, code, NULL, NULL FROM products;
