/* GET /api/readings.csv: readings as exchange CSV, of one probe or of all, streamed through a spool. */
#include "api/cache.h"
#include "api/handlers.h"
#include "api/query.h"
#include "api/readings_query.h"
#include "api/spool.h"
#include "book/readings_csv.h"

static enum err_code flush(void *with, struct err *err)
{
	return spool_flush(with, err);
}

static enum err_code spool_readings(struct request *req, struct response *res,
				    const struct readings_query *q, struct err *err)
{
	struct readings_wanted w = { .probe_id = q->has_probe ? q->probe.id : 0,
				     .begin = INT64_MIN,
				     .end = INT64_MAX };
	struct store *st = book_store(req->book);
	struct spool spool;
	enum err_code rc = store_begin(st, err);

	if (rc)
		return rc;
	if (q->from_day != INT64_MIN)
		w.begin = book_day_start(req->book, q->from_day);
	if (q->to_day != INT64_MAX)
		w.end = book_day_start(req->book, q->to_day + 1);
	spool_init(&spool);
	rc = readings_csv_write(req->book, &w, &spool.text, flush, &spool, err);
	store_rollback(st);
	if (!rc)
		rc = spool_finish(&spool, res, err);
	spool_release(&spool);
	return rc;
}

enum err_code get_readings_csv(struct request *req, struct response *res, struct err *err)
{
	static const char *const known[] = { "probe", "probe_id", "from", "to", NULL };
	struct readings_query q;
	const char *etag = etag_of_readings(req);
	enum err_code rc = query_check(req, known, NULL, err);

	if (!rc)
		rc = readings_query_read(req, &q, err);
	if (rc)
		return rc;
	if (answered_unchanged(req, res, etag))
		return ERR_NONE;
	rc = spool_readings(req, res, &q, err);
	if (rc)
		return rc;
	res->content_type = "text/csv; charset=utf-8; header=present";
	res->file_name = "readings.csv";
	res->etag = etag;
	return ERR_NONE;
}
