/* Transactions, savepoints, the record's version, checkpoints. */
#include <assert.h>
#include <stdio.h>

#include "store/internal.h"

enum {
	LOG_SMALL_PAGES = 4096, /* 16 MiB: above, the log is cut back, readers permitting */
	CUT_BACK_WAIT_MS = 200,
	BUSY_WAIT_MS = 5000
};

static enum err_code run(struct store *st, const char *sql, struct err *err)
{
	return store_fault(st, sqlite3_exec(st->db, sql, NULL, NULL, NULL), err);
}

static int64_t read_version(struct store *st)
{
	struct stmt *s = NULL;
	int64_t version = 0;

	if (!store_query(st, Q_READ_RECORD_VERSION, &s, NULL) && !stmt_row(s, NULL))
		version = stmt_int(s, 0);
	stmt_done(s);
	return version;
}

int64_t store_version(struct store *st)
{
	return st->in_transaction ? st->version : read_version(st);
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
	rc = run(st, st->mode == STORE_WRITE ? "BEGIN IMMEDIATE" : "BEGIN", err);
	if (rc)
		return rc;
	st->in_transaction = true;
	st->lost = false;
	st->savepoints = 0;
	st->undone = 0;
	st->begin_changes = sqlite3_total_changes64(st->db);
	st->version = read_version(st); /* a reader's snapshot begins here */
	return ERR_NONE;
}

static bool changed(struct store *st)
{
	return sqlite3_total_changes64(st->db) - st->begin_changes - st->undone > 0;
}

enum err_code store_commit(struct store *st, struct err *err)
{
	enum err_code rc = store_ready(st, err);

	assert(st->in_transaction && st->savepoints == 0);
	if (!rc && st->mode == STORE_WRITE && changed(st))
		rc = store_run_ints(st, Q_GROW_RECORD_VERSION, err, NULL);
	if (!rc)
		rc = run(st, "COMMIT", err);
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
		sqlite3_exec(st->db, "ROLLBACK", NULL, NULL, NULL);
	transaction_over(st);
	labels_forget(st);
}

enum err_code store_savepoint(struct store *st, struct err *err)
{
	static const char *const texts[SAVEPOINTS_MAX] = { "SAVEPOINT s0", "SAVEPOINT s1",
							   "SAVEPOINT s2", "SAVEPOINT s3" };
	enum err_code rc = store_ready(st, err);

	assert(st->in_transaction && st->savepoints < SAVEPOINTS_MAX);
	if (!rc)
		rc = run(st, texts[st->savepoints], err);
	if (rc)
		return rc;
	st->marks[st->savepoints].changes = sqlite3_total_changes64(st->db);
	st->marks[st->savepoints].undone = st->undone;
	st->savepoints++;
	return ERR_NONE;
}

enum err_code store_release(struct store *st, struct err *err)
{
	static const char *const texts[SAVEPOINTS_MAX] = { "RELEASE s0", "RELEASE s1", "RELEASE s2",
							   "RELEASE s3" };
	enum err_code rc;

	assert(st->savepoints > 0);
	st->savepoints--;
	rc = store_ready(st, err);
	return rc ? rc : run(st, texts[st->savepoints], err);
}

void store_undo(struct store *st)
{
	static const char *const texts[SAVEPOINTS_MAX] = { "ROLLBACK TO s0; RELEASE s0",
							   "ROLLBACK TO s1; RELEASE s1",
							   "ROLLBACK TO s2; RELEASE s2",
							   "ROLLBACK TO s3; RELEASE s3" };

	assert(st->savepoints > 0);
	st->savepoints--;
	labels_forget(st);
	if (sqlite3_get_autocommit(st->db)) {
		st->lost = true;
		return;
	}
	/* where this fails, part of a refused entry would stay: then nothing of the transaction may */
	if (run(st, texts[st->savepoints], NULL) != ERR_NONE)
		st->lost = true;
	st->undone = st->marks[st->savepoints].undone + sqlite3_total_changes64(st->db) -
		     st->marks[st->savepoints].changes;
}

enum err_code store_defer_references(struct store *st, struct err *err)
{
	assert(st->in_transaction);
	return run(st, "PRAGMA defer_foreign_keys = ON", err);
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
