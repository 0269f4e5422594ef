-- Water: newest readings, limits, plans (server/book/water.c, ration.c).

-- The newest tests of a place up to an instant, with every quantity in the order of enum quantity (water.h).
-- name: newest_water_tests
SELECT instant, below, above, as_ion, id, temperature_c, ph, do_mg_l, tan_mg_l, nitrite_n_mg_l, nitrate_n_mg_l, alkalinity_mg_l,
       hardness_mg_l, chloride_mg_l, ec_ms_cm, iron_mg_l, calcium_mg_l, potassium_mg_l, phosphate_p_mg_l,
       magnesium_mg_l, co2_mg_l, salinity_g_kg, turbidity_ntu
  FROM water_tests
 WHERE place_id = :place_id AND instant <= :at AND struck_at IS NULL ORDER BY instant DESC, key DESC LIMIT :most;

-- The same between two instants, both included, oldest first.
-- name: water_tests_between
SELECT instant, below, above, as_ion, id, temperature_c, ph, do_mg_l, tan_mg_l, nitrite_n_mg_l, nitrate_n_mg_l, alkalinity_mg_l,
       hardness_mg_l, chloride_mg_l, ec_ms_cm, iron_mg_l, calcium_mg_l, potassium_mg_l, phosphate_p_mg_l,
       magnesium_mg_l, co2_mg_l, salinity_g_kg, turbidity_ntu
  FROM water_tests INDEXED BY water_tests_by_instant_of_place
 WHERE place_id = :place_id AND instant BETWEEN :from AND :to AND struck_at IS NULL ORDER BY instant, key;

-- The newest salinity of a place between two instants, g/kg.
-- name: newest_salinity
SELECT salinity_g_kg, instant FROM water_tests INDEXED BY water_tests_by_instant_of_place
 WHERE place_id = :place_id AND instant BETWEEN :from AND :to AND salinity_g_kg IS NOT NULL AND struck_at IS NULL
 ORDER BY instant DESC, key DESC LIMIT 1;

-- The mean of the tests in a place's loop: its tanks, sumps and its own.
-- name: loop_temperature
WITH l (id) AS (SELECT coalesce((SELECT loop_id FROM tanks WHERE id = :place_id),
                                (SELECT loop_id FROM units WHERE id = :place_id),
                                (SELECT loop_id FROM beds WHERE id = :place_id),
                                (SELECT id FROM loops WHERE id = :place_id)))
SELECT avg(w.temperature_c), max(w.instant)
  FROM l CROSS JOIN (SELECT id, loop_id FROM tanks UNION ALL SELECT id, loop_id FROM units WHERE role = 'sump'
                     UNION ALL SELECT id, id FROM loops) p ON p.loop_id = l.id
  CROSS JOIN water_tests w INDEXED BY water_tests_by_instant_of_place ON w.place_id = p.id
 WHERE w.instant BETWEEN :from AND :to AND w.temperature_c IS NOT NULL AND w.struck_at IS NULL;

-- m; NULL: not given.
-- name: farm_altitude
SELECT altitude_m FROM farm;

-- Probes in use at a place on a day.
-- name: probes_of_place
SELECT id, code, quantity, low, high, silent_after_min, received_at FROM probes
 WHERE place_id = :place_id AND struck_at IS NULL AND (retired_on IS NULL OR retired_on > :day) ORDER BY id;

-- Limits that hold for a species on a day.
-- name: limits_of_species
SELECT l.quantity, l.low_stop, l.low, l.high, l.high_stop, l.source, s.name
  FROM species_limits l JOIN species s ON s.id = l.species_id
 WHERE l.species_id = :species_id AND l.struck_at IS NULL AND (l.retired_on IS NULL OR l.retired_on > :day)
 ORDER BY l.id;

-- The newest set of ration steps that holds on a day.
-- name: steps_of_species
SELECT weight_from_g, temperature_c, pct_body_weight_day FROM ration_steps s
 WHERE species_id = :species_id AND struck_at IS NULL AND (retired_on IS NULL OR retired_on > :day)
   AND coalesce(from_day, 0) = (SELECT max(coalesce(from_day, 0)) FROM ration_steps
                                 WHERE species_id = :species_id AND struck_at IS NULL
                                   AND coalesce(from_day, 0) <= :day);

-- The plan that a tank is fed by on a day.
-- name: plan_of_tank
SELECT p.feed_id, f.name, p.times, p.shares, p.fixed_pct, p.fixed_g, p.held_because, t.role
  FROM feeding_plans p JOIN feeds f ON f.id = p.feed_id JOIN tanks t ON t.id = p.tank_id
 WHERE p.tank_id = :tank_id AND p.from_day <= :day AND p.struck_at IS NULL
   AND (p.retired_on IS NULL OR p.retired_on > :day)
 ORDER BY p.from_day DESC, p.received_at DESC, p.key DESC LIMIT 1;

-- Slots of a tank that were fed on a farm day.
-- name: slots_fed
SELECT slot, instant, amount_g, key, feed_id FROM feedings INDEXED BY feedings_by_tank
 WHERE tank_id = :tank_id AND day = :day AND slot IS NOT NULL AND struck_at IS NULL ORDER BY instant;

-- Places in use on a day that were ever tested or have a probe, with their loop, on the walk.
-- name: places_with_water
SELECT p.id, p.code, coalesce(t.loop_id, u.loop_id, b.loop_id, l.id)
  FROM places p LEFT JOIN tanks t ON t.id = p.id LEFT JOIN units u ON u.id = p.id
  LEFT JOIN beds b ON b.id = p.id LEFT JOIN loops l ON l.id = p.id
 WHERE p.struck_at IS NULL AND (p.retired_on IS NULL OR p.retired_on > :day)
   AND (EXISTS (SELECT 1 FROM water_tests w WHERE w.place_id = p.id)
        OR (p.sort <> 'zones' AND EXISTS (SELECT 1 FROM probes r WHERE r.place_id = p.id AND r.struck_at IS NULL)))
 ORDER BY coalesce(p.walk_order, 1000000), p.code;

-- Tanks whose fish live in a place's water: the tank itself, else those of its loop.
-- name: tanks_of_place_water
SELECT id FROM tanks WHERE id = :place_id
 UNION ALL
SELECT id FROM tanks WHERE loop_id = coalesce((SELECT loop_id FROM units WHERE id = :place_id),
       (SELECT loop_id FROM beds WHERE id = :place_id), (SELECT id FROM loops WHERE id = :place_id));
