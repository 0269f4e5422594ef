-- What the store itself asks: keys, codes, the record's version.

-- Versions: of the record, and of readings alone.
-- name: read_record_version
SELECT record_version FROM meta WHERE id = 1;

-- name: grow_record_version
UPDATE meta SET record_version = record_version + 1 WHERE id = 1;

-- name: read_readings_version
SELECT readings_version FROM meta WHERE id = 1;

-- name: grow_readings_version
UPDATE meta SET readings_version = readings_version + 1 WHERE id = 1;

-- So that a clock that runs backwards is noticed.
-- name: read_last_received_at
SELECT last_received_at FROM meta WHERE id = 1;

-- name: note_received_at
UPDATE meta SET last_received_at = :received_at
 WHERE id = 1 AND (last_received_at IS NULL OR last_received_at < :received_at);

-- Keys and codes of all kinds: one line each, for good.
-- name: add_key
INSERT INTO keys (key, kind, row_id, fingerprint) VALUES (:key, :kind, :row_id, :fingerprint);

-- name: find_key
SELECT kind, row_id, fingerprint FROM keys WHERE key = :key;

-- name: add_code
INSERT INTO codes (code, kind, row_id) VALUES (:code, :kind, :row_id);

-- name: find_code
SELECT kind, row_id FROM codes WHERE code = :code;

-- name: rename_code
UPDATE codes SET code = :wanted WHERE code = :now;

-- name: drop_code
DELETE FROM codes WHERE code = :code;

-- Transactions and savepoints, prepared once: parsing them costs as much as a small insert.

-- name: begin_write
BEGIN IMMEDIATE;

-- name: begin_read
BEGIN;

-- name: commit_all
COMMIT;

-- name: rollback_all
ROLLBACK;

-- name: savepoint_0
SAVEPOINT s0;

-- name: release_0
RELEASE s0;

-- name: undo_0
ROLLBACK TO s0;

-- name: savepoint_1
SAVEPOINT s1;

-- name: release_1
RELEASE s1;

-- name: undo_1
ROLLBACK TO s1;

-- name: savepoint_2
SAVEPOINT s2;

-- name: release_2
RELEASE s2;

-- name: undo_2
ROLLBACK TO s2;

-- name: savepoint_3
SAVEPOINT s3;

-- name: release_3
RELEASE s3;

-- name: undo_3
ROLLBACK TO s3;
