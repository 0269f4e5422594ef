-- 0009: how many days each crop lot took to its first harvest, so that a forecast reads one short index and not ten
-- years of entries.  Derived as in 0002: they count only where ended_at is given.

ALTER TABLE crop_ends ADD COLUMN variety_id INTEGER;    -- of the lot
ALTER TABLE crop_ends ADD COLUMN sown_day INTEGER;      -- farm day; NULL: no sowing stands
ALTER TABLE crop_ends ADD COLUMN first_cut_at INTEGER;  -- instant of its first harvest; NULL: none
ALTER TABLE crop_ends ADD COLUMN days_sown INTEGER;     -- from sowing to the first harvest
ALTER TABLE crop_ends ADD COLUMN days_nursery INTEGER;  -- from coming to a nursery; NULL: it never did
ALTER TABLE crop_ends ADD COLUMN days_raft INTEGER;     -- on rafts, of the plants first cut; NULL: not on rafts
UPDATE crop_ends SET ended_at = NULL;
CREATE INDEX crop_ends_by_variety ON crop_ends (variety_id, first_cut_at, crop_lot_id, sown_day, days_sown,
	days_nursery, days_raft) WHERE ended_at IS NOT NULL AND first_cut_at IS NOT NULL;

-- What a bed is for says which days are counted from where.
CREATE TRIGGER crop_bed_changed AFTER UPDATE ON beds WHEN NEW.role IS NOT OLD.role BEGIN
	UPDATE crop_ends SET ended_at = NULL;
END;
