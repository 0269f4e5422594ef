/*
 * The SQLite file: open, migrate, statements, transactions.  One struct store is one connection and
 * is used by one thread at a time.  Only this folder includes sqlite3.h.
 *
 * One connection in the process is opened with STORE_WRITE; all commits and all checkpoints go
 * through it (an upstream fault of SQLite 3.40.1 cannot be reached so).  Readers are query-only and
 * never checkpoint.
 */
#ifndef WEIRBOOK_STORE_STORE_H
#define WEIRBOOK_STORE_STORE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"
#include "store/queries.h" /* generated from sql/queries: enum query */

struct store;
struct stmt; /* a prepared statement, borrowed from its store until stmt_done */

enum store_mode {
	STORE_WRITE, /* the writer: creates and migrates a missing or older file */
	STORE_READ   /* a reader: query_only; the file must exist and be current */
};

/*
 * Opens path (":memory:" for tests, STORE_WRITE only).  WAL, synchronous FULL, foreign_keys,
 * trusted_schema off, cell_size_check, no mmap, no automatic checkpoint, temp_store memory.
 * STORE_WRITE runs pending migrations in one BEGIN IMMEDIATE, which must pass foreign_key_check.
 * An existing file is never replaced: ERR_UNAVAILABLE with codes file_damaged, file_newer (made by
 * a newer program), file_unreadable.
 */
enum err_code store_open(const char *path, enum store_mode mode, struct store **out,
			 struct err *err);
void store_close(struct store *st);

/* Grows by one with each commit that changed something; outlives restarts. */
int64_t store_version(struct store *st);
/* Whether a row of kinds[index] was written since the last store_begin; so it stays after the
 * commit. */
bool store_touched(const struct store *st, size_t index);
/* The same for readings of probes and what is kept of them; they leave the record's version as it
 * is. */
int64_t store_readings_version(struct store *st);
int store_schema_version(void); /* number of the newest migration built in */

/* BEGIN IMMEDIATE / BEGIN for a reader's snapshot; COMMIT (bumps the version when something
 * changed). */
enum err_code store_begin(struct store *st, struct err *err);
enum err_code store_commit(struct store *st, struct err *err);
void store_rollback(struct store *st);
/* Savepoints inside a transaction, nested at most 4 deep. */
enum err_code store_savepoint(struct store *st, struct err *err);
enum err_code store_release(struct store *st, struct err *err);
void store_undo(struct store *st); /* back to the newest savepoint, which ends */
/* What is written between these two, in a transaction, counts as readings: no savepoint begins or
 * ends there. */
void store_readings_begin(struct store *st);
void store_readings_end(struct store *st);
/* Writer only, outside a transaction.  Passive when small. */
void store_checkpoint(struct store *st);
/* Pages in the log as of this connection's last commit; 0 right after a checkpoint. */
int store_log_pages(const struct store *st);
/* integrity_check (or quick_check) and foreign_key_check: calls found for each finding. */
enum err_code store_check(struct store *st, bool quick, void (*found)(const char *text, void *with),
			  void *with, struct err *err);
/* A consistent copy by VACUUM INTO path.new, synced and renamed to path, which must not exist. */
enum err_code store_copy(struct store *st, const char *path, struct err *err);

/* Named statements.  A statement must be done before it is asked for again (asserted). */
enum err_code store_query(struct store *st, enum query q, struct stmt **out, struct err *err);
void stmt_bind_int(struct stmt *s, const char *name, int64_t v); /* name as in ":tank_id" */
void stmt_bind_real(struct stmt *s, const char *name, double v); /* NAN binds NULL */
void stmt_bind_text(struct stmt *s, const char *name,
		    const char *v); /* NULL binds NULL; borrowed */
void stmt_bind_blob(struct stmt *s, const char *name, const void *v, size_t n);
void stmt_bind_null(struct stmt *s, const char *name);
/* NULL when v is what stands for one that is not known. */
void stmt_bind_known(struct stmt *s, const char *name, int64_t v, int64_t unknown);
/* ERR_NONE: a row stands.  ERR_NOT_FOUND: no row is left (adds no item).  Else an error. */
enum err_code stmt_row(struct stmt *s, struct err *err);
/* Runs to the end; rows are dropped.  May be bound and run again at once. */
enum err_code stmt_run(struct stmt *s, struct err *err);
bool stmt_is_null(struct stmt *s, int column);
int64_t stmt_int(struct stmt *s, int column);                     /* 0 for NULL */
int64_t stmt_int_or(struct stmt *s, int column, int64_t unknown); /* unknown for NULL */
double stmt_real(struct stmt *s, int column);                     /* NAN for NULL */
const char *stmt_text(struct stmt *s, int column); /* NULL for NULL; until the next step */
/* A text that lasts: owned by the arena; NULL for NULL. */
const char *stmt_text_kept(struct stmt *s, int column, struct arena *arena);
const void *stmt_blob(struct stmt *s, int column, size_t *n);
/* Resets and unbinds; NULL is fine. */
void stmt_done(struct stmt *s);
/* Bind and run in one go for statements without a result: pairs of ":name", int64_t value,
 * NULL-ended. */
enum err_code store_run_ints(struct store *st, enum query q, struct err *err, ...);
int64_t store_changes(struct store *st); /* rows changed by the last statement */

#endif
