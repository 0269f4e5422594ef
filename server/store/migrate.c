/* Migrations: all that are pending run in one transaction, or none does. */
#include "store/internal.h"

enum err_code store_pragma_int(sqlite3 *db, const char *sql, int64_t *out, struct err *err)
{
	sqlite3_stmt *s = NULL;
	int rc = sqlite3_prepare_v2(db, sql, -1, &s, NULL);

	if (rc == SQLITE_OK)
		rc = sqlite3_step(s);
	if (rc == SQLITE_ROW)
		*out = sqlite3_column_int64(s, 0);
	sqlite3_finalize(s);
	return fault_of(db, rc, err);
}

static enum err_code run(struct store *st, const char *sql, struct err *err)
{
	return fault_of(st->db, sqlite3_exec(st->db, sql, NULL, NULL, NULL), err);
}

/* Every reference must lead somewhere before the new schema is kept. */
static enum err_code references_hold(struct store *st, struct err *err)
{
	int64_t broken = 0;
	enum err_code rc = store_pragma_int(st->db, "SELECT count(*) FROM pragma_foreign_key_check",
					    &broken, err);

	if (!rc && broken > 0)
		rc = err_set(err, ERR_UNAVAILABLE, "", "file_damaged",
			     "%d references in the record lead nowhere: it was not brought up to "
			     "date.  Bring back the last good copy.",
			     (int)broken);
	return rc;
}

static enum err_code run_pending(struct store *st, int from, struct err *err)
{
	char text[64];
	enum err_code rc = ERR_NONE;

	for (int i = from; i < MIGRATIONS_MAX && !rc; i++)
		rc = run(st, migrations[i].text, err);
	if (rc)
		return rc;
	sqlite3_snprintf(sizeof(text), text, "PRAGMA user_version = %d", MIGRATIONS_MAX);
	rc = run(st, text, err);
	return rc ? rc : references_hold(st, err);
}

enum err_code store_migrate(struct store *st, int from, struct err *err)
{
	/* a table that is made anew must not be checked half-way: the check comes at the end */
	enum err_code rc = run(st, "PRAGMA foreign_keys = OFF; BEGIN IMMEDIATE", err);

	if (rc)
		return rc;
	rc = run_pending(st, from, err);
	if (!rc)
		rc = run(st, "COMMIT", err);
	if (rc && !sqlite3_get_autocommit(st->db))
		sqlite3_exec(st->db, "ROLLBACK", NULL, NULL, NULL);
	return rc;
}
