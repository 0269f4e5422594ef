-- Closed months: what the book said then, and what reached it since (server/book/closing.c, report_restated.c).

-- Closings that stand of months between two days, the newest of each month.
-- name: closings_between
SELECT id, month, coalesce(received_at, instant) AS closed_at
  FROM closings c
 WHERE month BETWEEN :from AND :to AND struck_at IS NULL
   AND NOT EXISTS (SELECT 1 FROM closings d WHERE d.month = c.month AND d.struck_at IS NULL
	AND (d.instant, d.id) > (c.instant, c.id))
 ORDER BY month DESC;

-- What the book said of each tank then.
-- name: closing_lines_of
SELECT tank_id, feed_g, gain_g, fcr_economic
  FROM closing_lines WHERE closing_id = :closing AND struck_at IS NULL ORDER BY id;

-- Entries of a tank in a month that came, or were corrected or struck, after an instant.
-- name: entries_touched_since
SELECT count(*), max(touched_at) FROM (
	SELECT max(coalesce(e.received_at, 0), coalesce((SELECT max(c.changed_at) FROM changes c
		WHERE c.of_kind = e.kind AND c.of_key = substr(h, 1, 8) || '-' || substr(h, 9, 4) || '-' || substr(h, 13, 4)
			|| '-' || substr(h, 17, 4) || '-' || substr(h, 21)), 0)) AS touched_at
	  FROM (
		SELECT 'feedings' AS kind, lower(hex(key)) AS h, received_at
		  FROM feedings INDEXED BY feedings_by_tank_time
		 WHERE tank_id = :tank AND instant >= :begin AND instant < :end
		UNION ALL SELECT 'weighings', lower(hex(key)), received_at
		  FROM weighings INDEXED BY weighings_by_tank
		 WHERE tank_id = :tank AND instant >= :begin AND instant < :end
		UNION ALL SELECT 'fish-deaths', lower(hex(key)), received_at
		  FROM fish_deaths INDEXED BY fish_deaths_by_tank
		 WHERE tank_id = :tank AND instant >= :begin AND instant < :end
		UNION ALL SELECT 'fish-counts', lower(hex(key)), received_at
		  FROM fish_counts WHERE tank_id = :tank AND instant >= :begin AND instant < :end
		UNION ALL SELECT 'fish-moves', lower(hex(key)), received_at
		  FROM fish_moves WHERE from_tank_id = :tank AND instant >= :begin AND instant < :end
		UNION ALL SELECT 'fish-moves', lower(hex(key)), received_at
		  FROM fish_moves WHERE to_tank_id = :tank AND instant >= :begin AND instant < :end
		UNION ALL SELECT 'harvests', lower(hex(key)), received_at
		  FROM harvests WHERE tank_id = :tank AND instant >= :begin AND instant < :end) e)
 WHERE touched_at > :closed_at;
