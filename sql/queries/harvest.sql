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
SELECT id, code, sort = 'tanks', NULL FROM places;

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

-- Packings of these instants of which packs are left at the end of them, with what their lines took from harvests.
-- Report in-store.
-- name: packings_left
SELECT p.id, p.code, p.day, p.packs, pr.code, pr.name, pl.code,
       coalesce(s.packs, 0) + coalesce(d.packs, 0) AS gone, l.pieces, l.weight_g
  FROM packings AS p INDEXED BY packings_by_instant JOIN products AS pr ON pr.id = p.product_id
  LEFT JOIN places AS pl ON pl.id = p.place_id
  LEFT JOIN (SELECT sl.packing_id AS packing, sum(sl.packs) AS packs
               FROM shipments AS sh INDEXED BY shipments_by_instant
               CROSS JOIN shipment_lines AS sl INDEXED BY shipment_lines_by_shipment ON sl.shipment_id = sh.id
              WHERE sh.instant BETWEEN :from AND :to AND sh.struck_at IS NULL AND sl.struck_at IS NULL
              GROUP BY 1) AS s ON s.packing = p.id
  LEFT JOIN (SELECT packing_id AS packing, sum(quantity) AS packs FROM discards INDEXED BY discards_by_instant
              WHERE instant BETWEEN :from AND :to AND packing_id IS NOT NULL AND struck_at IS NULL
              GROUP BY 1) AS d ON d.packing = p.id
  LEFT JOIN (SELECT pl2.packing_id AS packing, sum(pl2.pieces) AS pieces, sum(pl2.weight_g) AS weight_g
               FROM packings AS p2 INDEXED BY packings_by_instant
               CROSS JOIN packing_lines AS pl2 INDEXED BY packing_lines_by_packing ON pl2.packing_id = p2.id
              WHERE p2.instant BETWEEN :from AND :to AND pl2.struck_at IS NULL
              GROUP BY 1) AS l ON l.packing = p.id
 WHERE p.instant BETWEEN :from AND :to AND p.struck_at IS NULL AND p.packs > gone
 ORDER BY p.instant, p.key;

-- Harvests of these instants that are not packed whole, with what their packing lines and discards took: pieces where
-- the harvest was counted, else grams.
-- name: harvests_left
SELECT h.id, h.code, h.day, coalesce(v.name, sp.name), coalesce(c.code, f.code), pl.code, h.pieces, h.weight_g,
       l.pieces, l.weight_g, coalesce(d.quantity, 0)
  FROM harvests AS h INDEXED BY harvests_by_instant
  LEFT JOIN crop_lots AS c ON c.id = h.crop_lot_id LEFT JOIN varieties AS v ON v.id = c.variety_id
  LEFT JOIN fish_lots AS f ON f.id = h.fish_lot_id LEFT JOIN species AS sp ON sp.id = f.species_id
  LEFT JOIN places AS pl ON pl.id = h.cooled_place_id
  LEFT JOIN (SELECT pl2.harvest_id AS harvest, sum(pl2.pieces) AS pieces, sum(pl2.weight_g) AS weight_g
               FROM packings AS p INDEXED BY packings_by_instant
               CROSS JOIN packing_lines AS pl2 INDEXED BY packing_lines_by_packing ON pl2.packing_id = p.id
              WHERE p.instant BETWEEN :from AND :to AND p.struck_at IS NULL AND pl2.struck_at IS NULL
              GROUP BY 1) AS l ON l.harvest = h.id
  LEFT JOIN (SELECT harvest_id AS harvest, sum(quantity) AS quantity FROM discards INDEXED BY discards_by_instant
              WHERE instant BETWEEN :from AND :to AND harvest_id IS NOT NULL AND struck_at IS NULL
              GROUP BY 1) AS d ON d.harvest = h.id
 WHERE h.instant BETWEEN :from AND :to AND h.struck_at IS NULL
 ORDER BY h.instant, h.key;

-- The oldest open hold on a harvest (or what is in a packing), or on what it came from: its lot, the seed of its lot.
-- harvest, packing: 0 for none.
-- name: hold_behind
WITH made (id) AS (SELECT :harvest UNION SELECT harvest_id FROM packing_lines INDEXED BY packing_lines_by_packing
                    WHERE packing_id = :packing AND struck_at IS NULL),
     held_of (code) AS (SELECT code FROM packings WHERE id = :packing
     UNION SELECT h.code FROM made JOIN harvests AS h ON h.id = made.id
     UNION SELECT f.code FROM made JOIN harvests AS h ON h.id = made.id JOIN fish_lots AS f ON f.id = h.fish_lot_id
     UNION SELECT c.code FROM made JOIN harvests AS h ON h.id = made.id JOIN crop_lots AS c ON c.id = h.crop_lot_id
     UNION SELECT s.code FROM made JOIN harvests AS h ON h.id = made.id JOIN crop_lots AS c ON c.id = h.crop_lot_id
             JOIN seed_lots AS s ON s.id = c.seed_lot_id)
SELECT h.of_code, h.why FROM held_of CROSS JOIN holds AS h INDEXED BY holds_by_code ON h.of_code = held_of.code COLLATE NOCASE
 WHERE h.struck_at IS NULL AND h.released_at IS NULL
 ORDER BY h.instant, h.key LIMIT 1;

-- Report held.
-- name: beds_in_use
SELECT p.id, p.code FROM beds AS b JOIN places AS p ON p.id = b.id WHERE coalesce(p.retired_on > :day, 1) ORDER BY p.code;

-- Codes under an open hold: the code, why, what it is of; sowings follow their seed.
-- name: codes_on_hold
WITH standing AS (SELECT of_code, why FROM holds WHERE struck_at IS NULL AND released_at IS NULL)
SELECT of_code, why, of_code FROM standing
UNION SELECT c.code, h.why, h.of_code FROM standing AS h JOIN seed_lots AS s ON s.code = h.of_code COLLATE NOCASE
  JOIN crop_lots AS c ON c.seed_lot_id = s.id
 ORDER BY 1, 2;
