/* Opening and closing a record's file.  What a file must be before anything is written to it stands here. */
#include <errno.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/strbuf.h"
#include "store/internal.h"

enum { CACHE_WRITE_KIB = 16384, CACHE_READ_KIB = 4096 };

int store_schema_version(void)
{
	return MIGRATIONS_MAX;
}

static int note_log(void *with, sqlite3 *db, const char *name, int pages)
{
	struct store *st = with;

	(void)db;
	(void)name;
	st->wal_pages = pages;
	return SQLITE_OK;
}

/* What holds for every connection, set before the file is read for the first time. */
static enum err_code set_up_connection(struct store *st, struct err *err)
{
	static const char text[] = "PRAGMA trusted_schema = OFF;"
				   "PRAGMA cell_size_check = ON;"
				   "PRAGMA mmap_size = 0;"
				   "PRAGMA temp_store = MEMORY;";
	sqlite3 *db = st->db;

	sqlite3_extended_result_codes(db, 1);
	sqlite3_busy_timeout(db, BUSY_WAIT_MS);
	sqlite3_db_config(db, SQLITE_DBCONFIG_DQS_DML, 0, NULL);
	sqlite3_db_config(db, SQLITE_DBCONFIG_DQS_DDL, 0, NULL);
	sqlite3_db_config(db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
	/* a file that is refused must not be checkpointed by the way */
	sqlite3_db_config(db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, NULL);
	sqlite3_wal_hook(db, note_log, st);
	return fault_of(db, sqlite3_exec(db, text, NULL, NULL, NULL), err);
}

/* Is it ours, whole as far as its header and schema tell, and not newer?  Reads only. */
static enum err_code judge_file(struct store *st, int *schema, struct err *err)
{
	int64_t number = 0, application = 0, tables = 0;
	enum err_code rc =
		store_pragma_int(st->db, "SELECT count(*) FROM sqlite_schema", &tables, err);

	if (!rc)
		rc = store_pragma_int(st->db, "PRAGMA user_version", &number, err);
	if (!rc)
		rc = store_pragma_int(st->db, "PRAGMA application_id", &application, err);
	if (rc)
		return rc;
	if (application != APPLICATION_ID)
		return err_set(err, ERR_UNAVAILABLE, "", "file_unreadable",
			       "The file is not a record of this program.");
	if (number < 1 || tables == 0)
		return store_damaged(err);
	if (number > MIGRATIONS_MAX)
		return err_set(
			err, ERR_UNAVAILABLE, "", "file_newer",
			"The record was written by a newer program (schema %d, this one knows "
			"%d): start the newer program, or bring back a copy made before.",
			(int)number, MIGRATIONS_MAX);
	*schema = (int)number;
	return ERR_NONE;
}

static enum err_code open_connection(struct store *st, const char *path, int flags, struct err *err)
{
	int rc = sqlite3_open_v2(path, &st->db, flags | SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX,
				 NULL);

	if (rc)
		return fault_of(st->db, rc, err);
	return set_up_connection(st, err);
}

/* The rest, once the file is found good. */
static enum err_code settle_connection(struct store *st, struct err *err)
{
	char text[160];

	sqlite3_snprintf(sizeof(text), text,
			 "PRAGMA cache_size = -%d; PRAGMA synchronous = FULL;"
			 "PRAGMA foreign_keys = ON; %s",
			 st->mode == STORE_WRITE ? CACHE_WRITE_KIB : CACHE_READ_KIB,
			 st->mode == STORE_WRITE ? "PRAGMA journal_mode = WAL;"
						 : "PRAGMA query_only = ON;");
	enum err_code rc = fault_of(st->db, sqlite3_exec(st->db, text, NULL, NULL, NULL), err);
	if (!rc)
		sqlite3_wal_hook(st->db, note_log, st);
	return rc;
}

/* A new file, empty or in memory: header and all migrations. */
static enum err_code fill_new(struct store *st, struct err *err)
{
	char text[64];

	sqlite3_snprintf(sizeof(text), text, "PRAGMA application_id = %d", APPLICATION_ID);
	enum err_code rc = fault_of(st->db, sqlite3_exec(st->db, text, NULL, NULL, NULL), err);
	return rc ? rc : store_migrate(st, 0, err);
}

/*
 * Makes a new file under path.new and renames it when it is whole, so that a file under path is never half
 * made: one that is empty was cut short by something else and is refused.
 */
static enum err_code create_file(const char *path, struct err *err)
{
	struct store part = { .mode = STORE_WRITE };
	struct strbuf new_path;
	enum err_code rc;

	strbuf_init(&new_path);
	strbuf_addf(&new_path, "%s.new", path);
	unlink(new_path.text);
	rc = open_connection(&part, new_path.text, SQLITE_OPEN_CREATE, err);
	if (!rc)
		rc = fill_new(&part, err);
	if (sqlite3_close(part.db) != SQLITE_OK && !rc)
		rc = err_set(err, ERR_INTERNAL, "", "store_fault", "The new file stays open.");
	if (!rc)
		rc = file_settle(new_path.text, path, err);
	else
		unlink(new_path.text);
	strbuf_release(&new_path);
	return rc;
}

static enum err_code open_file(struct store *st, const char *path, struct err *err)
{
	struct stat file;
	int schema = 0;
	enum err_code rc = ERR_NONE;

	if (stat(path, &file) != 0) {
		if (errno != ENOENT)
			return fault_of(NULL, SQLITE_CANTOPEN, err);
		if (st->mode == STORE_READ)
			return err_set(err, ERR_UNAVAILABLE, "", "file_missing",
				       "There is no record at %s.", path);
		rc = create_file(path, err);
	} else if (!S_ISREG(file.st_mode)) {
		return fault_of(NULL, SQLITE_CANTOPEN, err);
	} else if (file.st_size == 0) {
		return err_set(
			err, ERR_UNAVAILABLE, "", "file_damaged",
			"The record's file is empty: bring back the last good copy, or remove "
			"the file to begin a new record.");
	}
	if (!rc)
		rc = open_connection(st, path, 0, err);
	if (!rc)
		rc = judge_file(st, &schema, err);
	if (!rc && st->mode == STORE_READ && schema < MIGRATIONS_MAX)
		rc = err_set(err, ERR_UNAVAILABLE, "", "file_older",
			     "The record was written by an older program: start the service once, "
			     "which brings it up to date.");
	if (!rc && schema < MIGRATIONS_MAX)
		rc = store_migrate(st, schema, err);
	return rc ? rc : settle_connection(st, err);
}

/* SQLite's account of its memory costs a lock at each allocation: an eighth of the time of an insert. */
static void set_up_library(void)
{
	sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
}

enum err_code store_open(const char *path, enum store_mode mode, struct store **out,
			 struct err *err)
{
	static pthread_once_t once = PTHREAD_ONCE_INIT; /* the library is one for the process */
	struct store *st = xmalloc(sizeof(*st));
	enum err_code rc;

	pthread_once(&once, set_up_library);
	memset(st, 0, sizeof(*st));
	st->mode = mode;
	store_stmt_init(st);
	store_kinds_open(st);
	if (strcmp(path, ":memory:") == 0) {
		rc = open_connection(st, path, SQLITE_OPEN_CREATE | SQLITE_OPEN_MEMORY, err);
		if (!rc)
			rc = fill_new(st, err);
		if (!rc)
			rc = settle_connection(st, err);
	} else {
		rc = open_file(st, path, err);
	}
	if (rc) {
		st->mode = STORE_READ; /* closing must leave the file as it is */
		store_close(st);
		return rc;
	}
	*out = st;
	return ERR_NONE;
}

void store_close(struct store *st)
{
	if (!st)
		return;
	store_rollback(st);
	store_stmt_close(st);
	store_lists_close(st);
	store_kinds_close(st);
	if (st->db && st->mode == STORE_WRITE)
		sqlite3_db_config(st->db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 0, NULL);
	sqlite3_close(st->db);
	free(st);
}
