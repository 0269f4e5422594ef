/*
 * Writing requests in one transaction: what has queued up together costs one commit, and each request has a
 * savepoint of its own, so that one that is refused takes nothing from the others.
 */
#include "api/writes.h"
#include "api/app.h"
#include "api/events.h"
#include "api/request.h"
#include "base/log.h"

/* An answer that told of something kept, when it is not known whether it was. */
static void answer_not_confirmed(struct response *res)
{
	struct err err;

	err_clear(&err);
	err_set(&err, ERR_UNAVAILABLE, "", "not_confirmed",
		"The disk did not confirm that the entry is kept. Send it again with the same "
		"key.");
	response_problem(res, &err);
}

static void answer_all_unavailable(struct response **ress, size_t n, const struct err *err)
{
	for (size_t i = 0; i < n; i++)
		response_problem(ress[i], err);
}

/*
 * A transaction that never came to its COMMIT, or whose COMMIT found no room for its log, is undone and
 * known to be: nothing of it can come back.  After an I/O error it may, once the file is recovered.
 */
static bool is_undone_for_sure(const struct err *err)
{
	return err_has(err, "disk_full") || err_has(err, "undone") || err_has(err, "busy") ||
	       err_has(err, "read_only");
}

/* One request in its savepoint. */
static void answer_in_savepoint(struct book *writer, struct request *req, struct response *res)
{
	struct store *st = book_store(writer);
	struct err err;

	err_clear(&err);
	req->book = writer;
	if (store_savepoint(st, &err)) {
		response_problem(res, &err);
		return;
	}
	if (answer_one(req, res))
		store_undo(st);
	else if (store_release(st, &err))
		response_problem(res, &err);
}

bool api_answer_writes(struct book *writer, struct request **reqs, struct response **ress, size_t n)
{
	struct store *st = book_store(writer);
	struct err err;

	err_clear(&err);
	if (n == 0)
		return true;
	if (store_begin(st, &err)) {
		answer_all_unavailable(ress, n, &err);
		return true;
	}
	for (size_t i = 0; i < n; i++)
		answer_in_savepoint(writer, reqs[i], ress[i]);
	if (store_commit(st, &err)) {
		log_line("commit failed: %s", err.n_items ? err.items[0].message : "");
		store_rollback(st);
		for (size_t i = 0; i < n; i++) {
			if (ress[i]->status >= 400)
				continue;
			if (is_undone_for_sure(&err))
				response_problem(ress[i], &err);
			else
				answer_not_confirmed(ress[i]);
		}
		return is_undone_for_sure(&err);
	}
	events_note(reqs[0]->app, st);
	return true;
}
