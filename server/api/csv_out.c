/*
 * GET /api/{kind}.csv: rows of a kind as exchange CSV, the form that import takes back: key, the kind's
 * fields, version; references by code, name or key; no id.  One snapshot, streamed through a spool.
 */
#include <inttypes.h>

#include "api/acts.h"
#include "api/cache.h"
#include "api/handlers.h"
#include "api/list.h"
#include "api/response.h"
#include "api/spool.h"
#include "base/csv.h"

/* What people typed may look like a formula to a spreadsheet. */
static bool is_free_text(const struct field *f)
{
	return f->kind == KIND_TEXT || f->kind == KIND_NAME;
}

static const char *cell_text(struct store *st, const struct field *f, const struct value *v,
			     struct arena *arena)
{
	const char *text;

	if (f->kind == KIND_REFERENCE && v->type == VALUE_INT) {
		text = store_label(st, kind_find(f->refers_to), v->i);
		return text ? csv_guard(arena, text) : "";
	}
	text = field_write(f, v, arena);
	return is_free_text(f) ? csv_guard(arena, text) : text;
}

static void write_head(struct strbuf *out, const struct kind *k)
{
	char column[64];

	csv_write_cell(out, "key", ',', true);
	for (size_t i = 0; i < kind_field_count(k); i++)
		csv_write_cell(out, field_column(kind_field(k, i), column), ',', false);
	csv_write_cell(out, "version", ',', false);
	csv_write_end(out);
}

static void write_row(struct strbuf *out, struct store *st, const struct record *r,
		      struct arena *arena)
{
	char key[UUID_TEXT_MAX];

	uuid_write(key, &r->key);
	csv_write_cell(out, key, ',', true);
	for (size_t i = 0; i < kind_field_count(r->kind); i++)
		csv_write_cell(out, cell_text(st, kind_field(r->kind, i), &r->values[i], arena),
			       ',', false);
	csv_write_cell(out, arena_printf(arena, "%" PRId64, r->version), ',', false);
	csv_write_end(out);
}

static enum err_code write_rows(struct store *st, const struct list_query *q, struct spool *s,
				struct err *err)
{
	struct record_list *rows = NULL; /* owned */
	const struct record *r;
	struct arena arena; /* of one row */
	enum err_code rc = record_list_open(st, q, &rows, err);

	if (rc)
		return rc;
	arena_init(&arena);
	write_head(&s->text, q->kind);
	while (!rc && !(rc = record_list_next(rows, &r, err))) {
		arena_reset(&arena);
		write_row(&s->text, st, r, &arena);
		rc = spool_flush(s, err);
	}
	arena_release(&arena);
	record_list_close(rows);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc; /* the end */
}

/* Labels are read beside the rows: all in one snapshot. */
static enum err_code spool_kind(struct request *req, struct response *res,
				const struct list_query *q, struct err *err)
{
	struct store *st = book_store(req->book);
	struct spool spool;
	enum err_code rc = store_begin(st, err);

	if (rc)
		return rc;
	spool_init(&spool);
	rc = write_rows(st, q, &spool, err);
	store_rollback(st);
	if (!rc)
		rc = spool_finish(&spool, res, err);
	spool_release(&spool);
	return rc;
}

enum err_code get_list_csv(struct request *req, struct response *res, struct err *err)
{
	const struct kind *k;
	struct list_query q;
	const char *etag;
	enum err_code rc = find_kind(req->params[0], &k, err);

	if (!rc)
		rc = list_query_read(req, k, false, &q, err);
	if (rc)
		return rc;
	etag = etag_of_record(req, false);
	if (answered_unchanged(req, res, etag))
		return ERR_NONE;
	rc = spool_kind(req, res, &q, err);
	if (rc)
		return rc;
	res->content_type = "text/csv; charset=utf-8; header=present";
	res->file_name = arena_printf(req->arena, "%s.csv", k->name);
	res->etag = etag;
	return ERR_NONE;
}
