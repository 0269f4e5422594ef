/* See read_ids.h. */
#include "book/read_ids.h"

enum err_code read_ids(struct book *b, enum query query, const char *name, int64_t value,
		       struct arena *arena, struct id_set *out, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), query, &q, err);

	if (rc)
		goto out;
	if (name)
		stmt_bind_int(q, name, value);
	while (!(rc = stmt_row(q, err)))
		if (!stmt_is_null(q, 0))
			id_set_add(out, stmt_int(q, 0), arena);
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}
