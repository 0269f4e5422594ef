/*
 * GET /api/{kind}.csv: rows of a kind as exchange CSV, the form that import takes back: key, the kind's
 * fields, version; references by code, name or key; no id.  One snapshot, streamed through a spool.
 */
#include "api/acts.h"
#include "api/cache.h"
#include "api/handlers.h"
#include "api/list.h"
#include "api/response.h"
#include "api/spool.h"
#include "book/exchange.h"

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
	exchange_write_head(&s->text, q->kind);
	while (!rc && !(rc = record_list_next(rows, &r, err))) {
		arena_reset(&arena);
		if (exchange_own_row(r))
			exchange_write_row(&s->text, st, r, &arena);
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
