/*
 * Records of any kind, one row at a time.  The only file that composes SQL text, from the const field
 * tables: names in SQL come from these tables alone, values are always bound.  list.c adds conditions to
 * the text that begins here; a row's lines in keys and codes are keys.c's.
 *
 * Parameters of insert and update: 1 id, 2 key, 3 version, 4 instant, 5 the table's name (places.sort),
 * 6 + i field i.
 */
#include <assert.h>
#include <string.h>

#include "base/strbuf.h"
#include "model/kinds.h"
#include "store/internal.h"
#include "store/record.h"

enum { P_ID = 1, P_KEY, P_VERSION, P_INSTANT, P_SORT, P_FIELDS };
/* Columns of every select: id, key, version, instant, then the fields. */
enum { C_ID, C_KEY, C_VERSION, C_INSTANT, C_FIELDS };

enum part { PART_MAIN, PART_OWN };

/* A kind of place other than places itself: a row in places, and one in a table of its own. */
static bool is_split(const struct kind *k)
{
	return k->is_place && k != &places_kind;
}

static const char *main_table(const struct kind *k)
{
	return k->is_place ? places_kind.table : k->table;
}

/* Is field i in the main table?  In the other part of a split kind are its own fields. */
static bool in_main(const struct kind *k, size_t i)
{
	return !is_split(k) || i >= k->n_fields || k->fields[i].in_place;
}

static bool in_part(const struct kind *k, size_t i, enum part part)
{
	return in_main(k, i) == (part == PART_MAIN);
}

static bool is_sort(const struct kind *k, const struct field *f)
{
	return k->is_place && strcmp(f->name, "sort") == 0;
}

static void work_out_shape(struct kind_shape *shape, const struct kind *k, struct arena *arena)
{
	const size_t n = kind_field_count(k);

	shape->n_fields = n;
	shape->fields = arena_array(arena, n, sizeof(*shape->fields));
	shape->types = arena_array(arena, n, sizeof(*shape->types));
	shape->code = shape->name = SIZE_MAX;
	for (size_t i = 0; i < n; i++) {
		const struct field *f = kind_field(k, i);

		shape->fields[i] = f;
		shape->types[i] = field_value_type(f);
		if (f->kind == KIND_CODE)
			shape->code = i;
		if (f->kind == KIND_NAME)
			shape->name = i;
	}
	shape->has_row = k != &readings_kind;
	shape->has_instant = shape->has_day = k->class == CLASS_ENTRY && !k->is_line;
	shape->has_struck = k->class != CLASS_SYSTEM;
	if (shape->has_instant)
		shape->instant_sql = "a.instant";
	else if (k == &changes_kind)
		shape->instant_sql = "a.changed_at";
	else if (k == &readings_kind)
		shape->instant_sql = "a.at";
}

void store_kinds_open(struct store *st)
{
	const size_t n = kind_count();

	arena_init(&st->fixed);
	arena_init(&st->label_texts);
	st->shapes = arena_array(&st->fixed, n, sizeof(*st->shapes));
	st->kinds = arena_array(&st->fixed, n, sizeof(*st->kinds));
	st->labels = arena_array(&st->fixed, n, sizeof(*st->labels));
	st->touched = arena_array(&st->fixed, n, sizeof(*st->touched));
	for (size_t i = 0; i < n; i++)
		work_out_shape(&st->shapes[i], kinds[i], &st->fixed);
}

void store_kinds_close(struct store *st)
{
	for (size_t i = 0; i < kind_count(); i++) {
		struct kind_statements *s = &st->kinds[i];

		sqlite3_finalize(s->insert);
		sqlite3_finalize(s->insert_own);
		sqlite3_finalize(s->update);
		sqlite3_finalize(s->update_own);
		sqlite3_finalize(s->get);
		sqlite3_finalize(s->find_name);
		sqlite3_finalize(s->label);
	}
	labels_forget(st);
	arena_release(&st->label_texts);
	arena_release(&st->fixed);
}

const struct kind_shape *store_shape(struct store *st, const struct kind *k)
{
	return &st->shapes[kind_index(k)];
}

static struct kind_statements *store_kind(struct store *st, const struct kind *k)
{
	return &st->kinds[kind_index(k)];
}

void sql_column(struct strbuf *sql, const struct kind *k, const struct field *f)
{
	/* common fields and those in_place stand in the main table, whose alias is a */
	const bool own =
		is_split(k) && f >= k->fields && f < k->fields + k->n_fields && !f->in_place;

	strbuf_adds(sql, own ? "b.\"" : "a.\"");
	strbuf_adds(sql, f->name);
	strbuf_addc(sql, '"');
}

void sql_from(struct strbuf *sql, const struct kind *k)
{
	if (is_split(k))
		strbuf_addf(sql, " FROM %s AS b JOIN places AS a ON a.id = b.id", k->table);
	else
		strbuf_addf(sql, " FROM %s AS a", k->table);
}

void sql_select(struct strbuf *sql, const struct kind *k, const struct kind_shape *shape)
{
	strbuf_adds(sql, shape->has_row ? "SELECT a.id, a.key, a.version, "
					: "SELECT a.probe_id, NULL, 1, ");
	strbuf_adds(sql, shape->instant_sql ? shape->instant_sql : "0");
	for (size_t i = 0; i < shape->n_fields; i++) {
		strbuf_adds(sql, ", ");
		sql_column(sql, k, shape->fields[i]);
	}
	sql_from(sql, k);
}

static void compose_insert(struct strbuf *sql, const struct kind *k, const struct kind_shape *shape,
			   enum part part)
{
	strbuf_addf(sql, "INSERT INTO %s (", part == PART_OWN ? k->table : main_table(k));
	if (shape->has_row)
		strbuf_adds(sql, part == PART_OWN ? "id" : "id, key, version");
	if (shape->has_instant)
		strbuf_adds(sql, ", instant");
	if (part == PART_MAIN && is_split(k))
		strbuf_adds(sql, ", sort");
	for (size_t i = 0; i < shape->n_fields; i++)
		if (in_part(k, i, part))
			strbuf_addf(sql, "%s\"%s\"", i > 0 || shape->has_row ? ", " : "",
				    shape->fields[i]->name);
	strbuf_adds(sql, ") VALUES (");
	if (shape->has_row)
		strbuf_adds(sql, part == PART_OWN ? "?1" : "?1, ?2, ?3");
	if (shape->has_instant)
		strbuf_adds(sql, ", ?4");
	if (part == PART_MAIN && is_split(k))
		strbuf_adds(sql, ", ?5");
	for (size_t i = 0; i < shape->n_fields; i++)
		if (in_part(k, i, part))
			strbuf_addf(sql, "%s?%zu", i > 0 || shape->has_row ? ", " : "",
				    is_sort(k, shape->fields[i]) ? P_SORT : P_FIELDS + i);
	strbuf_addc(sql, ')');
}

static void compose_update(struct strbuf *sql, const struct kind *k, const struct kind_shape *shape,
			   enum part part)
{
	const char *comma = "";

	strbuf_addf(sql, "UPDATE %s SET ", part == PART_OWN ? k->table : main_table(k));
	if (part == PART_MAIN) {
		strbuf_adds(sql, "version = ?3");
		comma = ", ";
	}
	if (shape->has_instant)
		strbuf_adds(sql, ", instant = ?4");
	for (size_t i = 0; i < shape->n_fields; i++) {
		if (!in_part(k, i, part) || is_sort(k, shape->fields[i]))
			continue;
		strbuf_addf(sql, "%s\"%s\" = ?%zu", comma, shape->fields[i]->name, P_FIELDS + i);
		comma = ", ";
	}
	strbuf_adds(sql, " WHERE id = ?1");
}

/* The statement in *slot, composed on first use. */
static enum err_code statement(struct store *st, const struct kind *k, sqlite3_stmt **slot,
			       void (*compose)(struct strbuf *, const struct kind *,
					       const struct kind_shape *, enum part),
			       enum part part, struct err *err)
{
	struct strbuf sql;
	enum err_code rc;

	if (*slot)
		return ERR_NONE;
	strbuf_init(&sql);
	compose(&sql, k, store_shape(st, k), part);
	rc = store_prepare(st, sql.text, sql.length, slot, err);
	strbuf_release(&sql);
	return rc;
}

static void bind_value(sqlite3_stmt *s, int i, const struct value *v)
{
	switch (v->type) {
	case VALUE_INT:
		sqlite3_bind_int64(s, i, v->i);
		break;
	case VALUE_REAL:
		sqlite3_bind_double(s, i, v->r);
		break;
	case VALUE_TEXT:
		sqlite3_bind_text(s, i, v->text, -1, SQLITE_STATIC);
		break;
	case VALUE_NONE:
		sqlite3_bind_null(s, i);
		break;
	}
}

static void bind_record(sqlite3_stmt *s, const struct record *r, const struct kind_shape *shape,
			enum part part)
{
	if (r->id)
		sqlite3_bind_int64(s, P_ID, r->id);
	if (part == PART_MAIN) {
		/* parameters that a text leaves out answer SQLITE_RANGE, which is no fault */
		sqlite3_bind_blob(s, P_KEY, r->key.byte, sizeof(r->key.byte), SQLITE_STATIC);
		sqlite3_bind_int64(s, P_VERSION, r->version);
		sqlite3_bind_int64(s, P_INSTANT, r->instant);
		sqlite3_bind_text(s, P_SORT, r->kind->table, -1, SQLITE_STATIC);
	}
	for (size_t i = 0; i < shape->n_fields; i++)
		if (in_part(r->kind, i, part))
			bind_value(s, P_FIELDS + (int)i, &r->values[i]);
}

/* Runs a statement that gives no row, and leaves it ready for the next time. */
static int run_bound(sqlite3_stmt *s)
{
	int rc = sqlite3_step(s);

	sqlite3_reset(s);
	sqlite3_clear_bindings(s);
	return rc;
}

/* A unique index over a name is the only one that a row's own table has. */
static enum err_code row_fault(struct store *st, const struct record *r, int rc, struct err *err)
{
	const struct kind_shape *shape = store_shape(st, r->kind);

	if (rc != SQLITE_CONSTRAINT_UNIQUE || shape->name == SIZE_MAX)
		return store_fault(st, rc, err);
	const char *name = r->values[shape->name].text;
	enum err_code code = err_set(err, ERR_CONFLICT, shape->fields[shape->name]->name,
				     "taken_name", "There is \"%.100s\" already.", name);
	err_arg(err, "kind", "%s", r->kind->name);
	err_arg(err, "other", "%s", name);
	return code;
}

static enum err_code insert_own(struct store *st, const struct record *r, struct err *err)
{
	struct kind_statements *s = store_kind(st, r->kind);
	enum err_code rc = statement(st, r->kind, &s->insert_own, compose_insert, PART_OWN, err);

	if (rc)
		return rc;
	bind_record(s->insert_own, r, store_shape(st, r->kind), PART_OWN);
	return store_fault(st, run_bound(s->insert_own), err);
}

enum err_code store_insert(struct store *st, struct record *r, const uint8_t fingerprint[32],
			   struct err *err)
{
	const struct kind_shape *shape = store_shape(st, r->kind);
	struct kind_statements *s = store_kind(st, r->kind);
	enum err_code rc = store_ready(st, err);

	if (!rc)
		rc = statement(st, r->kind, &s->insert, compose_insert, PART_MAIN, err);
	if (rc)
		return rc;
	st->touched[kind_index(r->kind)] = true;
	bind_record(s->insert, r, shape, PART_MAIN);
	rc = row_fault(st, r, run_bound(s->insert), err);
	if (rc || !shape->has_row)
		return rc;
	if (!r->id)
		r->id = sqlite3_last_insert_rowid(st->db);
	if (is_split(r->kind))
		rc = insert_own(st, r, err);
	if (!rc)
		rc = keys_add(st, r, fingerprint, err);
	if (!rc)
		rc = codes_add(st, r, err);
	return rc;
}

static enum err_code update_part(struct store *st, const struct record *r, sqlite3_stmt **slot,
				 enum part part, struct err *err)
{
	enum err_code rc = statement(st, r->kind, slot, compose_update, part, err);

	if (rc)
		return rc;
	bind_record(*slot, r, store_shape(st, r->kind), part);
	return row_fault(st, r, run_bound(*slot), err);
}

static enum err_code no_such_row(const struct kind *k, int64_t id, struct err *err)
{
	return err_set(err, ERR_NOT_FOUND, "", "not_found", "There is no row %lld in %s.",
		       (long long)id, k->name);
}

enum err_code store_update(struct store *st, const struct record *r, struct err *err)
{
	struct kind_statements *s = store_kind(st, r->kind);
	enum err_code rc = store_ready(st, err);

	assert(store_shape(st, r->kind)->has_row);
	if (!rc)
		rc = codes_follow(st, r, err);
	if (!rc)
		rc = update_part(st, r, &s->update, PART_MAIN, err);
	if (!rc && sqlite3_changes64(st->db) == 0)
		rc = no_such_row(r->kind, r->id, err);
	if (!rc && is_split(r->kind))
		rc = update_part(st, r, &s->update_own, PART_OWN, err);
	st->touched[kind_index(r->kind)] = true;
	labels_forget_kind(st, r->kind);
	return rc;
}

void row_read(sqlite3_stmt *s, const struct kind_shape *shape, struct record *r)
{
	r->id = sqlite3_column_int64(s, C_ID);
	const void *key = sqlite3_column_blob(s, C_KEY);
	if (key && sqlite3_column_bytes(s, C_KEY) == (int)sizeof(r->key.byte))
		memcpy(r->key.byte, key, sizeof(r->key.byte));
	r->version = sqlite3_column_int64(s, C_VERSION);
	r->instant = sqlite3_column_int64(s, C_INSTANT);
	for (size_t i = 0; i < shape->n_fields; i++) {
		struct value *v = &r->values[i];
		/* one look at the column; the connection belongs to one thread, so its values need no
		 * protection */
		sqlite3_value *column = sqlite3_column_value(s, C_FIELDS + (int)i);

		v->type = sqlite3_value_type(column) == SQLITE_NULL ? VALUE_NONE : shape->types[i];
		if (v->type == VALUE_INT)
			v->i = sqlite3_value_int64(column);
		else if (v->type == VALUE_REAL)
			v->r = sqlite3_value_double(column);
		else if (v->type == VALUE_TEXT)
			v->text = (const char *)sqlite3_value_text(column);
	}
}

static void compose_get(struct strbuf *sql, const struct kind *k, const struct kind_shape *shape,
			enum part part)
{
	(void)part;
	sql_select(sql, k, shape);
	strbuf_adds(sql, " WHERE a.id = ?1");
}

enum err_code store_get(struct store *st, const struct kind *k, int64_t id, struct arena *arena,
			struct record **out, struct err *err)
{
	struct kind_statements *s = store_kind(st, k);
	const struct kind_shape *shape = store_shape(st, k);
	enum err_code rc = statement(st, k, &s->get, compose_get, PART_MAIN, err);
	struct record *r;
	int result;

	assert(shape->has_row);
	if (rc)
		return rc;
	sqlite3_bind_int64(s->get, 1, id);
	result = sqlite3_step(s->get);
	if (result != SQLITE_ROW) {
		rc = store_fault(st, result, err);
		if (!rc)
			rc = no_such_row(k, id, err);
		goto out;
	}
	r = record_new(k, arena);
	row_read(s->get, shape, r);
	for (size_t i = 0; i < shape->n_fields; i++)
		if (r->values[i].type == VALUE_TEXT)
			r->values[i].text = arena_strdup(arena, r->values[i].text);
	*out = r;
out:
	sqlite3_reset(s->get);
	return rc;
}

static void compose_find_name(struct strbuf *sql, const struct kind *k,
			      const struct kind_shape *shape, enum part part)
{
	(void)part;
	/* written as the unique index has it, so that the index serves */
	strbuf_addf(sql, "SELECT id FROM %s WHERE \"%s\" = ?1 COLLATE NOCASE AND struck_at IS NULL",
		    k->table, shape->fields[shape->name]->name);
}

enum err_code store_find_name(struct store *st, const struct kind *k, const char *name, int64_t *id,
			      struct err *err)
{
	struct kind_statements *s = store_kind(st, k);
	enum err_code rc;
	int result;

	if (store_shape(st, k)->name == SIZE_MAX)
		return ERR_NOT_FOUND;
	rc = statement(st, k, &s->find_name, compose_find_name, PART_MAIN, err);
	if (rc)
		return rc;
	sqlite3_bind_text(s->find_name, 1, name, -1, SQLITE_STATIC);
	result = sqlite3_step(s->find_name);
	rc = store_fault(st, result, err);
	if (result == SQLITE_ROW)
		*id = sqlite3_column_int64(s->find_name, 0);
	else if (!rc)
		rc = ERR_NOT_FOUND;
	sqlite3_reset(s->find_name);
	sqlite3_clear_bindings(s->find_name);
	return rc;
}

static void compose_label(struct strbuf *sql, const struct kind *k, const struct kind_shape *shape,
			  enum part part)
{
	(void)part;
	strbuf_adds(sql, "SELECT ");
	strbuf_adds(sql, shape->code == SIZE_MAX ? "NULL" : "code");
	/* the name of a struck row may be another's by now */
	if (shape->name == SIZE_MAX)
		strbuf_adds(sql, ", NULL");
	else
		strbuf_addf(sql, ", CASE WHEN struck_at IS NULL THEN \"%s\" END",
			    shape->fields[shape->name]->name);
	strbuf_addf(sql, ", key FROM %s WHERE id = ?1", main_table(k));
}

enum err_code store_label_statement(struct store *st, const struct kind *k, sqlite3_stmt **out,
				    struct err *err)
{
	struct kind_statements *s = store_kind(st, k);
	enum err_code rc = statement(st, k, &s->label, compose_label, PART_MAIN, err);

	*out = s->label;
	return rc;
}
