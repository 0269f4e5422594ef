/*
 * The tables keys and codes, which hold every key and every label code of all kinds once: finding a row by
 * either, and keeping both in step with the rows that record.c writes.
 */
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
		rc = store_damaged(err);
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
		rc = store_damaged(err);
	stmt_done(s);
	return rc;
}

static enum err_code taken_key(struct store *st, const struct record *r, struct err *err)
{
	struct key_row holder;
	enum err_code code =
		err_set(err, ERR_CONFLICT, "key", "taken_key", "The key is that of another entry.");

	if (!store_find_key(st, &r->key, &holder, NULL))
		err_arg(err, "kind", "%s", holder.kind->name);
	return code;
}

static enum err_code taken_code(struct store *st, const struct record *r, const char *code,
				struct err *err)
{
	const struct kind *holder = NULL;
	int64_t id = 0;
	const struct kind_shape *shape = store_shape(st, r->kind);
	enum err_code rc =
		err_set(err, ERR_CONFLICT, shape->fields[shape->code]->name, "taken_code",
			"The code \"%.100s\" is taken: choose another.", code);

	if (!store_find_code(st, code, &holder, &id, NULL)) {
		err_arg(err, "kind", "%s", holder->name);
		err_arg(err, "other", "%s", code);
	}
	return rc;
}

/* Runs an insert whose primary key may be taken, which is then not put in err. */
static enum err_code run_unless_taken(struct store *st, struct stmt *s, bool *taken,
				      struct err *err)
{
	enum err_code rc = store_ready(st, err);

	if (rc)
		return rc;
	int result = sqlite3_step(s->handle);
	*taken = result == SQLITE_CONSTRAINT_PRIMARYKEY || result == SQLITE_CONSTRAINT_UNIQUE;
	return *taken ? ERR_NONE : store_fault(st, result, err);
}

enum err_code keys_add(struct store *st, const struct record *r, const uint8_t fingerprint[32],
		       struct err *err)
{
	struct stmt *s = NULL;
	bool taken = false;
	enum err_code rc = store_query(st, Q_ADD_KEY, &s, err);

	if (rc)
		return rc;
	stmt_bind_blob(s, ":key", r->key.byte, sizeof(r->key.byte));
	stmt_bind_text(s, ":kind", r->kind->name);
	stmt_bind_int(s, ":row_id", r->id);
	stmt_bind_blob(s, ":fingerprint", fingerprint, 32);
	rc = run_unless_taken(st, s, &taken, err);
	stmt_done(s);
	return taken ? taken_key(st, r, err) : rc;
}

static enum err_code add_code(struct store *st, const struct record *r, const char *code,
			      struct err *err)
{
	struct stmt *s = NULL;
	bool taken = false;
	enum err_code rc = store_query(st, Q_ADD_CODE, &s, err);

	if (rc)
		return rc;
	stmt_bind_text(s, ":code", code);
	stmt_bind_text(s, ":kind", r->kind->name);
	stmt_bind_int(s, ":row_id", r->id);
	rc = run_unless_taken(st, s, &taken, err);
	stmt_done(s);
	return taken ? taken_code(st, r, code, err) : rc;
}

static enum err_code drop_code(struct store *st, const char *code, struct err *err)
{
	struct stmt *s = NULL;
	enum err_code rc = store_query(st, Q_DROP_CODE, &s, err);

	if (rc)
		return rc;
	stmt_bind_text(s, ":code", code);
	rc = stmt_run(s, err);
	stmt_done(s);
	return rc;
}

/* The line keeps its kind and row: a tank's code that is mended through places stays the tank's. */
static enum err_code rename_code(struct store *st, const struct record *r, const char *now,
				 const char *wanted, struct err *err)
{
	struct stmt *s = NULL;
	bool taken = false;
	enum err_code rc = store_query(st, Q_RENAME_CODE, &s, err);

	if (rc)
		return rc;
	stmt_bind_text(s, ":now", now);
	stmt_bind_text(s, ":wanted", wanted);
	rc = run_unless_taken(st, s, &taken, err);
	stmt_done(s);
	return taken ? taken_code(st, r, wanted, err) : rc;
}

/* The record's code, or NULL when its kind has none or none is given. */
static const char *code_of(struct store *st, const struct record *r)
{
	const size_t i = store_shape(st, r->kind)->code;

	return i != SIZE_MAX && r->values[i].type == VALUE_TEXT ? r->values[i].text : NULL;
}

enum err_code codes_add(struct store *st, const struct record *r, struct err *err)
{
	const char *code = code_of(st, r);

	return code ? add_code(st, r, code, err) : ERR_NONE;
}

enum err_code codes_follow(struct store *st, const struct record *r, struct err *err)
{
	const char *wanted = code_of(st, r);
	struct record *before = NULL;
	struct arena arena;
	enum err_code rc;

	if (store_shape(st, r->kind)->code == SIZE_MAX)
		return ERR_NONE;
	arena_init(&arena);
	rc = store_get(st, r->kind, r->id, &arena, &before, err);
	if (rc)
		goto out;
	const char *now = code_of(st, before);
	if (now && wanted && strcmp(now, wanted) != 0)
		rc = rename_code(st, r, now, wanted, err);
	else if (now && !wanted)
		rc = drop_code(st, now, err);
	else if (!now && wanted)
		rc = add_code(st, r, wanted, err);
out:
	arena_release(&arena);
	return rc;
}
