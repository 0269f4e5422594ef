/* SQLite's results in our words.  Finding that SQLite has undone a transaction by itself is here too. */
#include <string.h>

#include "store/internal.h"

static const struct {
	int primary;
	const char *code;
	const char *message;
} faults[] = {
	{ .primary = SQLITE_FULL,
	  .code = "disk_full",
	  .message = "The disk is full: free some space, then try again." },
	{ .primary = SQLITE_IOERR,
	  .code = "io_error",
	  .message =
		  "The disk could not be read or written: look at the disk, then start the service "
		  "again." },
	{ .primary = SQLITE_READONLY,
	  .code = "read_only",
	  .message = "The record can only be read: make its file writable." },
	{ .primary = SQLITE_PERM,
	  .code = "read_only",
	  .message = "The record can only be read: make its file writable." },
	{ .primary = SQLITE_BUSY,
	  .code = "busy",
	  .message = "The record is in use by another program: try again in a moment." },
	{ .primary = SQLITE_LOCKED,
	  .code = "busy",
	  .message = "The record is in use: try again in a moment." },
	{ .primary = SQLITE_NOMEM,
	  .code = "no_memory",
	  .message = "There is not enough memory: try again in a moment." },
	{ .primary = SQLITE_CORRUPT,
	  .code = "file_damaged",
	  .message = "The record's file is damaged: bring back the last good copy." },
	{ .primary = SQLITE_NOTADB,
	  .code = "file_unreadable",
	  .message = "The file is not a record of this program." },
	{ .primary = SQLITE_CANTOPEN,
	  .code = "file_unreadable",
	  .message = "The record's file cannot be opened: check its name and its permissions." },
};

static enum err_code constraint_fault(sqlite3 *db, int rc, struct err *err)
{
	switch (rc) {
	case SQLITE_CONSTRAINT_UNIQUE:
	case SQLITE_CONSTRAINT_PRIMARYKEY:
	case SQLITE_CONSTRAINT_ROWID:
		return err_set(err, ERR_CONFLICT, "", "taken", "There is such a row already.");
	case SQLITE_CONSTRAINT_FOREIGNKEY:
	case SQLITE_CONSTRAINT_TRIGGER: /* what RESTRICT reports */
		return err_set(err, ERR_CONFLICT, "", "unknown_reference",
			       "A reference leads to a row that does not exist.");
	default:
		return err_set(err, ERR_INTERNAL, "", "not_kept",
			       "The row does not fit its table: %s.", sqlite3_errmsg(db));
	}
}

enum err_code fault_of(sqlite3 *db, int rc, struct err *err)
{
	const int primary = rc & 0xff;

	if (rc == SQLITE_OK || rc == SQLITE_ROW || rc == SQLITE_DONE)
		return ERR_NONE;
	if (primary == SQLITE_CONSTRAINT)
		return constraint_fault(db, rc, err);
	for (size_t i = 0; i < sizeof(faults) / sizeof(faults[0]); i++)
		if (faults[i].primary == primary)
			return err_set(err, ERR_UNAVAILABLE, "", faults[i].code, "%s",
				       faults[i].message);
	return err_set(err, ERR_INTERNAL, "", "store_fault", "The record answered %d: %s.", rc,
		       db ? sqlite3_errmsg(db) : sqlite3_errstr(rc));
}

enum err_code store_fault(struct store *st, int rc, struct err *err)
{
	return fault_of(st->db, rc, err);
}

enum err_code store_damaged(struct err *err)
{
	return fault_of(NULL, SQLITE_CORRUPT, err);
}

enum err_code store_ready(struct store *st, struct err *err)
{
	/* FULL, IOERR, BUSY and NOMEM may undo the whole transaction: what follows would commit by itself */
	if (!st->lost && !(st->in_transaction && sqlite3_get_autocommit(st->db)))
		return ERR_NONE;
	st->lost = true;
	return err_set(err, ERR_UNAVAILABLE, "", "undone",
		       "The entry was not kept, because one before it failed: send it again.");
}
