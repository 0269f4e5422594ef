/* Finding a row by its key or its code. */
#include <string.h>

#include "store/internal.h"
#include "store/record.h"

enum err_code store_find_key(struct store *st, const struct uuid *key, struct key_row *out,
			     struct err *err)
{
	struct stmt *s = NULL;
	enum err_code rc = store_query(st, Q_FIND_KEY, &s, err);
	const void *fingerprint;
	size_t n;

	if (rc)
		return rc;
	stmt_bind_blob(s, ":key", key->byte, sizeof(key->byte));
	rc = stmt_row(s, err);
	if (rc)
		goto out;
	out->kind = kind_find(stmt_text(s, 0));
	out->id = stmt_int(s, 1);
	fingerprint = stmt_blob(s, 2, &n);
	if (!out->kind || n != sizeof(out->fingerprint)) {
		rc = err_set(err, ERR_UNAVAILABLE, "", "file_damaged",
			     "The record's file is damaged: bring back the last good copy.");
		goto out;
	}
	memcpy(out->fingerprint, fingerprint, n);
out:
	stmt_done(s);
	return rc;
}

enum err_code store_find_code(struct store *st, const char *code, const struct kind **kind,
			      int64_t *id, struct err *err)
{
	struct stmt *s = NULL;
	enum err_code rc = store_query(st, Q_FIND_CODE, &s, err);

	if (rc)
		return rc;
	stmt_bind_text(s, ":code", code);
	rc = stmt_row(s, err);
	if (!rc) {
		*kind = kind_find(stmt_text(s, 0));
		*id = stmt_int(s, 1);
	}
	if (!rc && !*kind)
		rc = err_set(err, ERR_UNAVAILABLE, "", "file_damaged",
			     "The record's file is damaged: bring back the last good copy.");
	stmt_done(s);
	return rc;
}
