-- Air and light under glass (server/book/report_climate.c).

-- name: climate_zones
SELECT z.id, p.code, z.glazing_transmission, z.lamp_ppfd, z.lamp_on, z.lamp_off,
       z.temperature_low_c, z.temperature_high_c, z.humidity_low_pct, z.humidity_high_pct
  FROM zones z JOIN places p ON p.id = z.id
 WHERE p.struck_at IS NULL AND (p.retired_on IS NULL OR p.retired_on > :from)
 ORDER BY coalesce(p.walk_order, 1000000), p.code;

-- name: climate_notes_between
SELECT temperature_c, humidity_pct FROM climate_notes INDEXED BY climate_notes_by_instant
 WHERE instant >= :begin AND instant < :end AND zone_id = :zone AND struck_at IS NULL;

-- name: farm_latitude
SELECT latitude_deg FROM farm;

-- The zone of a bed, and the light that a variety in it wants.
-- name: light_wanted_in_bed
SELECT b.zone_id, (SELECT v.dli_mol_m2_day FROM varieties v WHERE v.name = :variety AND v.struck_at IS NULL)
  FROM beds b JOIN places p ON p.id = b.id WHERE p.code = :bed;
