-- What the API asks beside rows of the dictionary: the letters of browsers, and how far a farm has begun.

-- The number of the newest letter; 0 before the first.
-- name: newest_tablet
SELECT COALESCE(MAX(id), 0) FROM tablets;

-- name: add_tablet
INSERT INTO tablets (id, letter, first_seen_at) VALUES (:id, :letter, :now);

-- Whether the farm is more than begun.
-- name: has_tanks_or_beds
SELECT EXISTS (SELECT 1 FROM places WHERE sort IN ('tanks', 'beds') AND struck_at IS NULL);
