-- 0006: errors that parts picked by size and left unweighed leave in those that stay.  Derived: all is computed
-- again.

ALTER TABLE fish_stretches ADD COLUMN picked_se REAL NOT NULL DEFAULT 0; -- on the growth scale
ALTER TABLE fish_stretches ADD COLUMN picked_x REAL;    -- growth span at the first of them; NULL: none known
INSERT OR IGNORE INTO fish_dirty SELECT id FROM fish_lots;
