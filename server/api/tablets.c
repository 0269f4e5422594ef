/* POST /api/tablets: a new browser's letter, which stands in the label codes that it makes. */
#include "api/handlers.h"
#include "api/json_in.h"
#include "api/response.h"
#include "store/store.h"

/* Three letters at most: label codes stay short, and nobody fills the table. */
enum { TABLETS_MAX = 26 + 26 * 26 + 26 * 26 * 26 };

/* A to Z, then AA, AB ...: n from 1. */
static const char *letter_of(int64_t n, struct arena *arena)
{
	char text[16];
	size_t at = sizeof(text) - 1;

	text[at] = '\0';
	for (; n > 0; n = (n - 1) / 26)
		text[--at] = (char)('A' + (n - 1) % 26);
	return arena_strdup(arena, text + at);
}

static enum err_code newest_tablet(struct store *st, int64_t *id, struct err *err)
{
	struct stmt *s = NULL;
	enum err_code rc = store_query(st, Q_NEWEST_TABLET, &s, err);

	if (!rc)
		rc = stmt_row(s, err);
	if (!rc)
		*id = stmt_int(s, 0);
	stmt_done(s);
	return rc;
}

static enum err_code add_tablet(struct store *st, int64_t id, const char *letter, int64_t now,
				struct err *err)
{
	struct stmt *s = NULL;
	enum err_code rc = store_query(st, Q_ADD_TABLET, &s, err);

	if (!rc) {
		stmt_bind_int(s, ":id", id);
		stmt_bind_text(s, ":letter", letter);
		stmt_bind_int(s, ":now", now);
		rc = stmt_run(s, err);
	}
	stmt_done(s);
	return rc;
}

enum err_code post_tablet(struct request *req, struct response *res, struct err *err)
{
	struct store *st = book_store(req->book);
	const char *letter;
	struct json_out j;
	int64_t id = 0;
	enum err_code rc = json_in_nothing(req->body, req->body_length, err);

	if (!rc)
		rc = newest_tablet(st, &id, err);
	if (rc)
		return rc;
	if (id >= TABLETS_MAX)
		return err_set(err, ERR_TOO_MANY, "", "too_many_tablets",
			       "All letters for tablets are given out.");
	letter = letter_of(id + 1, req->arena);
	rc = add_tablet(st, id + 1, letter, req->now, err);
	if (rc)
		return rc;
	j = response_json(res, 201);
	json_out_open(&j, '{');
	json_out_name(&j, "letter");
	json_out_text(&j, letter);
	json_out_close(&j, '}');
	return ERR_NONE;
}
