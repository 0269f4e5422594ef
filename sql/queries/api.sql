-- What the API asks beside rows of the dictionary: the letters of browsers.

-- The number of the newest letter; 0 before the first.
-- name: newest_tablet
SELECT COALESCE(MAX(id), 0) FROM tablets;

-- name: add_tablet
INSERT INTO tablets (id, letter, first_seen_at) VALUES (:id, :letter, :now);
