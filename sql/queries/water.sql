-- Water: newest readings, limits, plans (server/book/water.c, ration.c).

-- name: newest_water_tests
SELECT instant, below, above, temperature_c, ph, do_mg_l, tan_mg_l, nitrite_n_mg_l, nitrate_n_mg_l, alkalinity_mg_l,
       hardness_mg_l, chloride_mg_l, ec_ms_cm, iron_mg_l, calcium_mg_l, potassium_mg_l, phosphate_p_mg_l,
       magnesium_mg_l, co2_mg_l, salinity_g_kg, turbidity_ntu
  FROM water_tests
 WHERE place_id = :place_id AND instant <= :at AND struck_at IS NULL ORDER BY instant DESC LIMIT :most;

-- name: limits_of_species
SELECT quantity, low_stop, low, high, high_stop FROM species_limits
 WHERE species_id = :species_id AND struck_at IS NULL AND (retired_on IS NULL OR retired_on > :day);

-- name: steps_of_species
SELECT weight_from_g, temperature_c, pct_body_weight_day FROM ration_steps s
 WHERE species_id = :species_id AND struck_at IS NULL AND (retired_on IS NULL OR retired_on > :day)
   AND coalesce(from_day, 0) = (SELECT max(coalesce(from_day, 0)) FROM ration_steps
                                 WHERE species_id = :species_id AND struck_at IS NULL
                                   AND coalesce(from_day, 0) <= :day);

-- name: plan_of_tank
SELECT p.feed_id, f.name, p.times, p.shares, p.fixed_pct, p.fixed_g, p.held_because, t.role
  FROM feeding_plans p JOIN feeds f ON f.id = p.feed_id JOIN tanks t ON t.id = p.tank_id
 WHERE p.tank_id = :tank_id AND p.from_day <= :day AND p.struck_at IS NULL
   AND (p.retired_on IS NULL OR p.retired_on > :day)
 ORDER BY p.from_day DESC, p.id DESC LIMIT 1;

-- name: slots_fed
SELECT slot, instant, amount_g, key, feed_id FROM feedings INDEXED BY feedings_by_tank
 WHERE tank_id = :tank_id AND day = :day AND slot IS NOT NULL AND struck_at IS NULL ORDER BY instant;

-- name: places_with_water
SELECT p.id, p.code, p.sort, coalesce(t.loop_id, u.loop_id, b.loop_id, l.id)
  FROM places p LEFT JOIN tanks t ON t.id = p.id LEFT JOIN units u ON u.id = p.id
  LEFT JOIN beds b ON b.id = p.id LEFT JOIN loops l ON l.id = p.id
 WHERE p.struck_at IS NULL AND (p.retired_on IS NULL OR p.retired_on > :day)
   AND EXISTS (SELECT 1 FROM water_tests w WHERE w.place_id = p.id)
 ORDER BY coalesce(p.walk_order, 1000000), p.code;
