-- 0004: when a crop lot's first entry stands, so that a map of the beds of years ago reads only the lots of
-- its time; and crop lots by variety with their codes, for harvest totals.  Derived as in 0002.

ALTER TABLE crop_ends ADD COLUMN began_at INTEGER; -- instant of its first entry, Unix seconds, UTC; counts only
                                                   -- where ended_at is given
DROP INDEX crop_ends_by_end;
CREATE INDEX crop_ends_by_end ON crop_ends (ended_at, began_at);
UPDATE crop_ends SET ended_at = NULL;

DROP INDEX crop_lots_by_variety;
CREATE INDEX crop_lots_by_variety ON crop_lots (variety_id, code);
