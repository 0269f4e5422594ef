-- 0002: which crop lots can still stand, so that a map of the beds reads those alone.  Derived: may be emptied
-- of its ended_at at any time; the writer fills it again (server/book/crop_ledger).

CREATE TABLE crop_ends (
	crop_lot_id INTEGER PRIMARY KEY REFERENCES crop_lots (id) ON DELETE CASCADE,
	ended_at INTEGER            -- instant at which its last plant left, Unix seconds, UTC; 2^63 - 1: some
	                            -- stand; NULL: not worked out since its entries changed
) STRICT;
CREATE INDEX crop_ends_by_end ON crop_ends (ended_at);
INSERT INTO crop_ends (crop_lot_id) SELECT id FROM crop_lots;

-- Whatever changes an entry about a lot makes its end unknown, so that no figure can rest on a stale one.
CREATE TRIGGER crop_lots_made AFTER INSERT ON crop_lots BEGIN
	INSERT INTO crop_ends (crop_lot_id) VALUES (NEW.id);
END;
CREATE TRIGGER crop_lots_changed AFTER UPDATE ON crop_lots BEGIN
	UPDATE crop_ends SET ended_at = NULL WHERE crop_lot_id = NEW.id;
END;
CREATE TRIGGER crop_moves_made AFTER INSERT ON crop_moves BEGIN
	UPDATE crop_ends SET ended_at = NULL WHERE crop_lot_id = NEW.crop_lot_id;
END;
CREATE TRIGGER crop_moves_changed AFTER UPDATE ON crop_moves BEGIN
	UPDATE crop_ends SET ended_at = NULL WHERE crop_lot_id IN (OLD.crop_lot_id, NEW.crop_lot_id);
END;
CREATE TRIGGER crop_counts_made AFTER INSERT ON crop_counts BEGIN
	UPDATE crop_ends SET ended_at = NULL WHERE crop_lot_id = NEW.crop_lot_id;
END;
CREATE TRIGGER crop_counts_changed AFTER UPDATE ON crop_counts BEGIN
	UPDATE crop_ends SET ended_at = NULL WHERE crop_lot_id IN (OLD.crop_lot_id, NEW.crop_lot_id);
END;
CREATE TRIGGER crop_losses_made AFTER INSERT ON crop_losses BEGIN
	UPDATE crop_ends SET ended_at = NULL WHERE crop_lot_id = NEW.crop_lot_id;
END;
CREATE TRIGGER crop_losses_changed AFTER UPDATE ON crop_losses BEGIN
	UPDATE crop_ends SET ended_at = NULL WHERE crop_lot_id IN (OLD.crop_lot_id, NEW.crop_lot_id);
END;
CREATE TRIGGER crop_harvests_made AFTER INSERT ON harvests WHEN NEW.crop_lot_id IS NOT NULL BEGIN
	UPDATE crop_ends SET ended_at = NULL WHERE crop_lot_id = NEW.crop_lot_id;
END;
CREATE TRIGGER crop_harvests_changed AFTER UPDATE ON harvests
 WHEN NEW.crop_lot_id IS NOT NULL OR OLD.crop_lot_id IS NOT NULL BEGIN
	UPDATE crop_ends SET ended_at = NULL WHERE crop_lot_id IN (OLD.crop_lot_id, NEW.crop_lot_id);
END;

-- So does set-up that says how many plants an entry means.
CREATE TRIGGER crop_germination_changed AFTER UPDATE ON seed_lots
 WHEN NEW.germination_pct IS NOT OLD.germination_pct BEGIN
	UPDATE crop_ends SET ended_at = NULL
	 WHERE crop_lot_id IN (SELECT id FROM crop_lots WHERE seed_lot_id = NEW.id);
END;
CREATE TRIGGER crop_of_variety_changed AFTER UPDATE ON varieties WHEN NEW.crop_id IS NOT OLD.crop_id BEGIN
	UPDATE crop_ends SET ended_at = NULL
	 WHERE crop_lot_id IN (SELECT id FROM crop_lots WHERE variety_id = NEW.id);
END;
CREATE TRIGGER crop_cut_changed AFTER UPDATE ON crops WHEN NEW.cut IS NOT OLD.cut BEGIN
	UPDATE crop_ends SET ended_at = NULL
	 WHERE crop_lot_id IN (SELECT c.id FROM crop_lots c JOIN varieties v ON v.id = c.variety_id
	                        WHERE v.crop_id = NEW.id);
END;

-- Harvest totals are summed from this index alone.
CREATE INDEX harvests_for_totals ON harvests (day, crop_lot_id, fish_lot_id, bed_id, tank_id, grade,
	pieces, weight_g, culled_pieces, culled_g, instant) WHERE struck_at IS NULL;
