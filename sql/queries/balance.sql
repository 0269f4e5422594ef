-- The balance of the two crops in each loop: server/book/loop_days, report_loading, report_nitrogen, base_diary.

-- Loops in use on a day, on the walk.  The volume as of that day.
-- name: loops_in_use
SELECT l.id, p.code, p.name,
       coalesce((SELECT CAST(value AS REAL) FROM set_up_changes c
                  WHERE c.of_kind = 'loops' AND c.field = 'water_volume_l' AND c.from_day <= :day
                    AND c.struck_at IS NULL
                    AND c.of_key = lower(substr(hex(p.key), 1, 8) || '-' || substr(hex(p.key), 9, 4) || '-'
                        || substr(hex(p.key), 13, 4) || '-' || substr(hex(p.key), 17, 4) || '-' || substr(hex(p.key), 21))
                  ORDER BY c.from_day DESC, c.id DESC LIMIT 1), l.water_volume_l),
       l.makeup_l_day, l.feed_ratio_min_g_m2_day, l.feed_ratio_max_g_m2_day
  FROM loops l JOIN places p ON p.id = l.id
 WHERE p.struck_at IS NULL AND (p.retired_on IS NULL OR p.retired_on > :day)
 ORDER BY coalesce(p.walk_order, 1000000), p.code;

-- Filters of a loop on a day: media area and rate (NULL: not given).
-- name: filters_of_loop
SELECT u.media_area_m2, u.nitrification_g_m2_day
  FROM units u JOIN places p ON p.id = u.id
 WHERE u.loop_id = :loop_id AND u.media_area_m2 IS NOT NULL AND p.struck_at IS NULL
   AND (p.retired_on IS NULL OR p.retired_on > :day);

-- Every tank there was and the loop it began in.
-- name: tanks_with_loop
SELECT id, loop_id FROM tanks;

-- Feed of a tank by day and feed, in milligrams.
-- name: tank_feed_by_feed
SELECT day, feed_id, count(*), sum(CAST(round(amount_g * 1000) AS INTEGER)),
       sum(CAST(round(coalesce(uneaten_g, 0) * 1000) AS INTEGER))
  FROM feedings INDEXED BY feedings_by_tank
 WHERE tank_id = :tank_id AND day BETWEEN :from AND :to AND struck_at IS NULL GROUP BY day, feed_id;

-- Protein of every feed, from the start (from_day NULL) and as it changed, oldest first.
-- name: feed_proteins
SELECT f.id, NULL, f.protein_pct, 0 FROM feeds f
UNION ALL
SELECT f.id, c.from_day, CAST(c.value AS REAL), c.id FROM set_up_changes c JOIN feeds f
    ON c.of_key = lower(substr(hex(f.key), 1, 8) || '-' || substr(hex(f.key), 9, 4) || '-'
       || substr(hex(f.key), 13, 4) || '-' || substr(hex(f.key), 17, 4) || '-' || substr(hex(f.key), 21))
 WHERE c.of_kind = 'feeds' AND c.field = 'protein_pct' AND c.struck_at IS NULL
 ORDER BY 2, 4;

-- name: beds_with_loop
SELECT id, loop_id FROM beds ORDER BY id;

-- Water tests at any place of a loop that say what the balance rests on.  Columns as newest_water_tests.
-- name: loop_tests_between
SELECT w.instant, w.below, w.above, w.as_ion, w.id, w.temperature_c, w.ph, w.do_mg_l, w.tan_mg_l, w.nitrite_n_mg_l,
       w.nitrate_n_mg_l, w.alkalinity_mg_l
  FROM (SELECT id FROM tanks WHERE loop_id = :loop_id UNION ALL SELECT id FROM units WHERE loop_id = :loop_id
        UNION ALL SELECT id FROM beds WHERE loop_id = :loop_id UNION ALL SELECT :loop_id) p
 CROSS JOIN water_tests w INDEXED BY water_tests_by_instant_of_place ON w.place_id = p.id
 WHERE w.instant BETWEEN :from AND :to AND w.struck_at IS NULL
   AND (w.nitrate_n_mg_l IS NOT NULL OR w.alkalinity_mg_l IS NOT NULL OR w.ph IS NOT NULL)
 ORDER BY w.instant, w.key;

-- Doses that raise alkalinity, oldest first.
-- name: base_doses
SELECT d.instant, d.day, d.amount_g, m.formula, m.purity_pct, m.name, d.id
  FROM doses d INDEXED BY doses_by_loop JOIN materials m ON m.id = d.material_id
 WHERE d.loop_id = :loop_id AND d.instant BETWEEN :from AND :to AND d.struck_at IS NULL
   AND m.purpose IN ('alkalinity', 'calcium', 'potassium')
 ORDER BY d.instant, d.key;

-- Bases that the farm keeps.
-- name: base_materials
SELECT name, formula, purity_pct FROM materials
 WHERE purpose IN ('alkalinity', 'calcium', 'potassium') AND formula IS NOT NULL AND struck_at IS NULL
   AND (retired_on IS NULL OR retired_on > :day) ORDER BY name;

-- The highest lower limit of alkalinity of any species in use.
-- name: alkalinity_floor
SELECT max(l.low) FROM species_limits l
 WHERE l.quantity = 'alkalinity_mg_l' AND l.struck_at IS NULL AND (l.retired_on IS NULL OR l.retired_on > :day);

-- Crops taken off the beds of each loop, by crop: weighed in milligrams; pieces without a weight by the variety's head.
-- name: crop_mass_by_loop
SELECT b.loop_id, k.name, k.dry_matter_pct, k.nitrogen_pct_dry, count(*),
       sum(CAST(round(coalesce(h.weight_g, h.pieces * v.head_weight_g, 0) * 1000) AS INTEGER)),
       sum(CAST(round(coalesce(h.culled_g, h.culled_pieces * v.head_weight_g, 0) * 1000) AS INTEGER)),
       sum(h.weight_g IS NULL), sum(h.weight_g IS NULL AND h.pieces * v.head_weight_g IS NULL)
  FROM harvests h INDEXED BY harvests_for_totals JOIN crop_lots c ON c.id = h.crop_lot_id
  JOIN varieties v ON v.id = c.variety_id JOIN crops k ON k.id = v.crop_id JOIN beds b ON b.id = h.bed_id
 WHERE h.struck_at IS NULL AND h.day BETWEEN :from AND :to GROUP BY b.loop_id, k.id ORDER BY b.loop_id, k.name;

-- The same of one loop by day, for what its plants take.
-- name: crop_mass_of_loop_by_day
SELECT h.day, k.dry_matter_pct, k.nitrogen_pct_dry,
       sum(CAST(round((coalesce(h.weight_g, h.pieces * v.head_weight_g, 0) + coalesce(h.culled_g, h.culled_pieces * v.head_weight_g, 0)) * 1000) AS INTEGER))
  FROM harvests h INDEXED BY harvests_for_totals JOIN crop_lots c ON c.id = h.crop_lot_id
  JOIN varieties v ON v.id = c.variety_id JOIN crops k ON k.id = v.crop_id JOIN beds b ON b.id = h.bed_id
 WHERE h.struck_at IS NULL AND h.day BETWEEN :from AND :to AND b.loop_id = :loop_id GROUP BY h.day, k.id ORDER BY h.day;

-- Solids that left each loop (what goes to the mineralizer stays in it), emptying by emptying: litres x percent in
-- thousandths; NULL: without a percentage.
-- name: solids_by_loop
SELECT u.loop_id, s.id, CAST(round(s.volume_l * s.solids_pct * 1000) AS INTEGER)
  FROM solids s INDEXED BY solids_by_instant JOIN units u ON u.id = s.unit_id
 WHERE s.instant >= :begin AND s.instant < :end AND s.struck_at IS NULL
   AND s.went_to IS NOT 'mineralizer' ORDER BY s.instant, s.key;

-- Water that came and went, oldest first.
-- name: water_moves_of_loop
SELECT instant, makeup_l, discharge_l, id FROM water_moves INDEXED BY water_moves_by_instant
 WHERE loop_id = :loop_id AND instant >= :begin AND instant < :end AND struck_at IS NULL
   AND (makeup_l IS NOT NULL OR discharge_l IS NOT NULL) ORDER BY instant, key;
