/* Named statements: prepared when first asked for, then kept for the life of the connection. */
#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "store/internal.h"

enum err_code store_prepare(struct store *st, const char *sql, size_t length, sqlite3_stmt **out,
			    struct err *err)
{
	/* with the NUL in the length SQLite makes no copy */
	int rc = sqlite3_prepare_v3(st->db, sql, (int)length + 1, SQLITE_PREPARE_PERSISTENT, out,
				    NULL);

	return store_fault(st, rc, err);
}

void store_stmt_init(struct store *st)
{
	for (int i = 0; i < QUERY__MAX; i++)
		st->stmts[i].store = st;
}

void store_stmt_close(struct store *st)
{
	for (int i = 0; i < QUERY__MAX; i++)
		sqlite3_finalize(st->stmts[i].handle);
}

enum err_code store_query(struct store *st, enum query q, struct stmt **out, struct err *err)
{
	struct stmt *s = &st->stmts[q];

	assert(!s->busy);
	if (!s->handle) {
		enum err_code rc =
			store_prepare(st, query_texts[q], strlen(query_texts[q]), &s->handle, err);
		if (rc)
			return rc;
	}
	s->busy = true;
	*out = s;
	return ERR_NONE;
}

static int parameter(struct stmt *s, const char *name)
{
	int i = sqlite3_bind_parameter_index(s->handle, name);

	assert(i > 0);
	return i;
}

void stmt_bind_int(struct stmt *s, const char *name, int64_t v)
{
	sqlite3_bind_int64(s->handle, parameter(s, name), v);
}

void stmt_bind_real(struct stmt *s, const char *name, double v)
{
	sqlite3_bind_double(s->handle, parameter(s, name), v); /* SQLite binds NaN as NULL */
}

void stmt_bind_text(struct stmt *s, const char *name, const char *v)
{
	sqlite3_bind_text(s->handle, parameter(s, name), v, -1, SQLITE_STATIC);
}

void stmt_bind_blob(struct stmt *s, const char *name, const void *v, size_t n)
{
	sqlite3_bind_blob64(s->handle, parameter(s, name), v, n, SQLITE_STATIC);
}

void stmt_bind_null(struct stmt *s, const char *name)
{
	sqlite3_bind_null(s->handle, parameter(s, name));
}

void stmt_bind_known(struct stmt *s, const char *name, int64_t v, int64_t unknown)
{
	if (v == unknown)
		stmt_bind_null(s, name);
	else
		stmt_bind_int(s, name, v);
}

/* A statement that writes must not run when its transaction is gone: it would commit by itself. */
static enum err_code step(struct stmt *s, int *rc, struct err *err)
{
	enum err_code code = ERR_NONE;

	if (!sqlite3_stmt_readonly(s->handle))
		code = store_ready(s->store, err);
	if (code)
		return code;
	*rc = sqlite3_step(s->handle);
	return store_fault(s->store, *rc, err);
}

enum err_code stmt_row(struct stmt *s, struct err *err)
{
	int rc = SQLITE_DONE;
	enum err_code code = step(s, &rc, err);

	if (code)
		return code;
	return rc == SQLITE_ROW ? ERR_NONE : ERR_NOT_FOUND;
}

enum err_code stmt_run(struct stmt *s, struct err *err)
{
	enum err_code rc;

	do
		rc = stmt_row(s, err);
	while (rc == ERR_NONE);
	/* A statement that has run takes no binding until it is reset. */
	sqlite3_reset(s->handle);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

bool stmt_is_null(struct stmt *s, int column)
{
	return sqlite3_column_type(s->handle, column) == SQLITE_NULL;
}

int64_t stmt_int(struct stmt *s, int column)
{
	return sqlite3_column_int64(s->handle, column);
}

int64_t stmt_int_or(struct stmt *s, int column, int64_t unknown)
{
	return stmt_is_null(s, column) ? unknown : stmt_int(s, column);
}

double stmt_real(struct stmt *s, int column)
{
	return stmt_is_null(s, column) ? (double)NAN : sqlite3_column_double(s->handle, column);
}

const char *stmt_text(struct stmt *s, int column)
{
	return (const char *)sqlite3_column_text(s->handle, column);
}

const char *stmt_text_kept(struct stmt *s, int column, struct arena *arena)
{
	const char *text = stmt_text(s, column);

	return text ? arena_strdup(arena, text) : NULL;
}

const void *stmt_blob(struct stmt *s, int column, size_t *n)
{
	const void *v = sqlite3_column_blob(s->handle, column);

	*n = (size_t)sqlite3_column_bytes(s->handle, column);
	return v;
}

void stmt_done(struct stmt *s)
{
	if (!s)
		return;
	sqlite3_reset(s->handle);
	sqlite3_clear_bindings(s->handle);
	s->busy = false;
}

enum err_code store_run_ints(struct store *st, enum query q, struct err *err, ...)
{
	struct stmt *s = NULL;
	enum err_code rc = store_query(st, q, &s, err);
	va_list args;

	if (rc)
		return rc;
	va_start(args, err);
	for (const char *name = va_arg(args, const char *); name; name = va_arg(args, const char *))
		stmt_bind_int(s, name, va_arg(args, int64_t));
	va_end(args);
	rc = stmt_run(s, err);
	stmt_done(s);
	return rc;
}

int64_t store_changes(struct store *st)
{
	return sqlite3_changes64(st->db);
}
