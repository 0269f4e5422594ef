/* Transactions, savepoints, the record's version, checkpoints. */
#include <assert.h>
#include <stdio.h>
#include <string.h>

#include "store/internal.h"

enum {
	LOG_SMALL_PAGES = 4096, /* 16 MiB: above, the log is cut back, readers permitting */
	CUT_BACK_WAIT_MS = 200
};

static const struct {
	enum query make, release, undo;
} savepoints[SAVEPOINTS_MAX] = {
	{ .make = Q_SAVEPOINT_0, .release = Q_RELEASE_0, .undo = Q_UNDO_0 },
	{ .make = Q_SAVEPOINT_1, .release = Q_RELEASE_1, .undo = Q_UNDO_1 },
	{ .make = Q_SAVEPOINT_2, .release = Q_RELEASE_2, .undo = Q_UNDO_2 },
	{ .make = Q_SAVEPOINT_3, .release = Q_RELEASE_3, .undo = Q_UNDO_3 },
};

/* Runs a statement of transaction control, whether SQLite has kept the transaction or not. */
static enum err_code run(struct store *st, enum query q, struct err *err)
{
	struct stmt *s = NULL;
	enum err_code rc = store_query(st, q, &s, err);

	if (!rc)
		rc = store_fault(st, sqlite3_step(s->handle), err);
	stmt_done(s);
	return rc;
}

/* A version, by the query that reads it; 0, which no record has, when the file cannot be read. */
static int64_t read_version(struct store *st, enum query q)
{
	struct stmt *s = NULL;
	int64_t version = 0;

	if (!store_query(st, q, &s, NULL) && !stmt_row(s, NULL))
		version = stmt_int(s, 0);
	stmt_done(s);
	return version;
}

int64_t store_readings_version(struct store *st)
{
	return read_version(st, Q_READ_READINGS_VERSION);
}

int64_t store_version(struct store *st)
{
	return st->in_transaction ? st->version : read_version(st, Q_READ_RECORD_VERSION);
}

bool store_touched(const struct store *st, size_t index)
{
	return st->touched[index];
}

static void transaction_over(struct store *st)
{
	st->in_transaction = false;
	st->lost = false;
	st->savepoints = 0;
}

enum err_code store_begin(struct store *st, struct err *err)
{
	enum err_code rc;

	assert(!st->in_transaction);
	rc = run(st, st->mode == STORE_WRITE ? Q_BEGIN_WRITE : Q_BEGIN_READ, err);
	if (rc)
		return rc;
	st->in_transaction = true;
	st->lost = false;
	st->savepoints = 0;
	st->undone = 0;
	memset(st->touched, 0, kind_count() * sizeof(*st->touched));
	st->readings_changes = 0;
	st->begin_changes = sqlite3_total_changes64(st->db);
	st->version = read_version(st, Q_READ_RECORD_VERSION); /* a reader's snapshot begins here */
	return ERR_NONE;
}

static bool record_changed(struct store *st)
{
	return sqlite3_total_changes64(st->db) - st->begin_changes - st->undone -
		       st->readings_changes >
	       0;
}

void store_readings_begin(struct store *st)
{
	assert(st->in_transaction && !st->in_readings);
	st->in_readings = true;
	st->readings_mark = sqlite3_total_changes64(st->db);
}

void store_readings_end(struct store *st)
{
	assert(st->in_readings);
	st->in_readings = false;
	st->readings_changes += sqlite3_total_changes64(st->db) - st->readings_mark;
}

enum err_code store_commit(struct store *st, struct err *err)
{
	enum err_code rc = store_ready(st, err);

	assert(st->in_transaction && st->savepoints == 0);
	const bool record = st->mode == STORE_WRITE && record_changed(st);
	if (!rc && record)
		rc = store_run_ints(st, Q_GROW_RECORD_VERSION, err, NULL);
	if (!rc && st->readings_changes > 0)
		rc = store_run_ints(st, Q_GROW_READINGS_VERSION, err, NULL);
	if (!rc)
		rc = run(st, Q_COMMIT_ALL, err);
	if (rc) {
		store_rollback(st);
		return rc;
	}
	transaction_over(st);
	return ERR_NONE;
}

void store_rollback(struct store *st)
{
	if (!st->in_transaction)
		return;
	if (!sqlite3_get_autocommit(st->db))
		run(st, Q_ROLLBACK_ALL, NULL);
	transaction_over(st);
	labels_forget(st);
}

enum err_code store_savepoint(struct store *st, struct err *err)
{
	enum err_code rc = store_ready(st, err);

	assert(st->in_transaction && !st->in_readings && st->savepoints < SAVEPOINTS_MAX);
	if (!rc)
		rc = run(st, savepoints[st->savepoints].make, err);
	if (rc)
		return rc;
	st->marks[st->savepoints].changes = sqlite3_total_changes64(st->db);
	st->marks[st->savepoints].undone = st->undone;
	st->marks[st->savepoints].readings_changes = st->readings_changes;
	st->savepoints++;
	return ERR_NONE;
}

enum err_code store_release(struct store *st, struct err *err)
{
	enum err_code rc;

	assert(st->savepoints > 0);
	st->savepoints--;
	rc = store_ready(st, err);
	return rc ? rc : run(st, savepoints[st->savepoints].release, err);
}

void store_undo(struct store *st)
{
	assert(st->savepoints > 0);
	st->savepoints--;
	labels_forget(st);
	if (sqlite3_get_autocommit(st->db)) {
		st->lost = true;
		return;
	}
	/* where this fails, part of a refused entry would stay: then nothing of the transaction may */
	if (run(st, savepoints[st->savepoints].undo, NULL) != ERR_NONE ||
	    run(st, savepoints[st->savepoints].release, NULL) != ERR_NONE)
		st->lost = true;
	st->undone = st->marks[st->savepoints].undone + sqlite3_total_changes64(st->db) -
		     st->marks[st->savepoints].changes;
	st->readings_changes = st->marks[st->savepoints].readings_changes;
}

void store_checkpoint(struct store *st)
{
	assert(st->mode == STORE_WRITE && !st->in_transaction);
	if (st->wal_pages == 0)
		return;
	if (st->wal_pages < LOG_SMALL_PAGES) {
		sqlite3_wal_checkpoint_v2(st->db, NULL, SQLITE_CHECKPOINT_PASSIVE, NULL, NULL);
	} else {
		sqlite3_busy_timeout(st->db, CUT_BACK_WAIT_MS);
		sqlite3_wal_checkpoint_v2(st->db, NULL, SQLITE_CHECKPOINT_TRUNCATE, NULL, NULL);
		sqlite3_busy_timeout(st->db, BUSY_WAIT_MS);
	}
	st->wal_pages = 0;
}

int store_log_pages(const struct store *st)
{
	return st->wal_pages;
}
