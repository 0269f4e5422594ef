/* Is the file whole, and does every reference lead somewhere? */
#include <stdio.h>

#include "store/internal.h"

static enum err_code check_pages(struct store *st, bool quick,
				 void (*found)(const char *text, void *with), void *with,
				 struct err *err)
{
	sqlite3_stmt *s = NULL;
	int rc = sqlite3_prepare_v2(st->db, quick ? "PRAGMA quick_check" : "PRAGMA integrity_check",
				    -1, &s, NULL);

	while (rc == SQLITE_OK || rc == SQLITE_ROW) {
		rc = sqlite3_step(s);
		if (rc != SQLITE_ROW)
			break;
		const char *text = (const char *)sqlite3_column_text(s, 0);
		if (text && sqlite3_stricmp(text, "ok") != 0)
			found(text, with);
	}
	sqlite3_finalize(s);
	if ((rc & 0xff) == SQLITE_CORRUPT || (rc & 0xff) == SQLITE_NOTADB) {
		found("the file is damaged so far that it cannot be checked to the end", with);
		return ERR_NONE;
	}
	return store_fault(st, rc, err);
}

static enum err_code check_references(struct store *st, void (*found)(const char *text, void *with),
				      void *with, struct err *err)
{
	sqlite3_stmt *s = NULL;
	int rc = sqlite3_prepare_v2(st->db, "PRAGMA foreign_key_check", -1, &s, NULL);
	char text[200];

	while (rc == SQLITE_OK || rc == SQLITE_ROW) {
		rc = sqlite3_step(s);
		if (rc != SQLITE_ROW)
			break;
		snprintf(text, sizeof(text), "%s, row %lld: a reference to %s leads nowhere",
			 (const char *)sqlite3_column_text(s, 0),
			 (long long)sqlite3_column_int64(s, 1),
			 (const char *)sqlite3_column_text(s, 2));
		found(text, with);
	}
	sqlite3_finalize(s);
	if ((rc & 0xff) == SQLITE_CORRUPT)
		return ERR_NONE; /* check_pages has said it */
	return store_fault(st, rc, err);
}

enum err_code store_check(struct store *st, bool quick, void (*found)(const char *text, void *with),
			  void *with, struct err *err)
{
	enum err_code rc = check_pages(st, quick, found, with, err);

	return rc ? rc : check_references(st, found, with, err);
}
