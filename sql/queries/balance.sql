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
