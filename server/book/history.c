/* Lines in `changes`.  What an entry was before stands there as a JSON object of the fields that
 * changed, references by key, so that it means the same in another file.  Reading it back is
 * before.c's. */
#include "book/history.h"

#include "base/json_out.h"
#include "book/before.h"
#include "book/inside.h"
#include "model/kinds.h"
#include "store/record.h"

static const char *const act_words[HISTORY__MAX] = {
	[HISTORY_CORRECT] = "correct", [HISTORY_COMPLETE] = "complete", [HISTORY_STRIKE] = "strike",
	[HISTORY_RESTORE] = "restore", [HISTORY_SET_UP] = "set_up",
};

static void set_uuid(struct record *line, const char *field, const struct uuid *u,
		     struct arena *arena)
{
	record_set_text(line, field, book_key_text(arena, u));
}

static void set_hand(struct record *line, const struct hand *hand)
{
	record_set_int(line, "changed_at", hand->now);
	if (hand->why && hand->why[0])
		record_set_text(line, "why", hand->why);
	if (hand->staff_id)
		record_set_int(line, "staff_id", hand->staff_id);
	if (hand->tablet)
		record_set_text(line, "tablet", hand->tablet);
}

enum err_code history_note(struct book *b, const struct record *before, const struct record *after,
			   enum history_act act, const struct uuid *act_id, const struct hand *hand,
			   struct err *err)
{
	static const uint8_t no_fingerprint[32] = { 0 };
	struct arena arena;
	struct strbuf json;
	enum err_code rc;

	arena_init(&arena);
	strbuf_init(&json);

	struct record *line = record_new(&changes_kind, &arena);

	rc = before_write(b, before, after, &arena, &json, err);
	if (rc)
		goto out;
	line->key = uuid_v7(hand->now * 1000);
	line->version = 1;
	record_set_text(line, "of_kind", before->kind->name);
	set_uuid(line, "of_key", &before->key, &arena);
	record_set_text(line, "what", act_words[act]);
	if (act_id)
		set_uuid(line, "act", act_id, &arena);
	record_set_int(line, "version_before", before->version);
	record_set_text(line, "before", json.text);
	set_hand(line, hand);
	rc = store_insert(b->store, line, no_fingerprint, err);
out:
	strbuf_release(&json);
	arena_release(&arena);
	return rc;
}

/* Binds which row the lines are of; text must outlive the statement's run. */
static void bind_row(struct stmt *q, const struct record *r, char text[UUID_TEXT_MAX])
{
	uuid_write(text, &r->key);
	stmt_bind_text(q, ":of_kind", r->kind->name);
	stmt_bind_text(q, ":of_key", text);
}

/* What stands in the line that made a row's present version.  Owned by the arena. */
static enum err_code read_before(struct book *b, const struct record *r, struct arena *arena,
				 const char **json, struct err *err)
{
	char key[UUID_TEXT_MAX];
	struct stmt *q = NULL;
	const char *text = NULL;
	enum err_code rc = store_query(b->store, Q_CHANGE_OF_VERSION, &q, err);

	if (rc)
		goto out;
	bind_row(q, r, key);
	stmt_bind_int(q, ":version", r->version - 1);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	text = stmt_text(q, 0);
	*json = arena_strdup(arena, text ? text : "{}");
out:
	stmt_done(q);
	return rc;
}

enum err_code history_step_back(struct book *b, struct record *r, struct arena *arena,
				struct err *err)
{
	const char *json = NULL;
	enum err_code rc = read_before(b, r, arena, &json, err);

	if (!rc)
		rc = before_read(b, json, r, arena, err);
	if (!rc)
		r->version--;
	return rc;
}

enum err_code history_last_strike(struct book *b, const struct record *r, struct uuid *act,
				  struct err *err)
{
	char key[UUID_TEXT_MAX];
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_LAST_STRIKE, &q, err);

	if (rc)
		goto out;
	bind_row(q, r, key);
	rc = stmt_row(q, err);
	if (!rc && (stmt_is_null(q, 0) || !uuid_read(stmt_text(q, 0), act)))
		rc = ERR_NOT_FOUND;
out:
	stmt_done(q);
	return rc;
}

/* Keys of the rows first, since looking a key up needs statements of its own. */
static enum err_code keys_struck_by(struct book *b, const struct uuid *act, struct arena *arena,
				    struct uuid **keys, size_t *n, struct err *err)
{
	char text[UUID_TEXT_MAX];
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(b->store, Q_STRUCK_BY_ACT, &q, err);

	*keys = NULL;
	*n = 0;
	if (rc)
		goto out;
	uuid_write(text, act);
	stmt_bind_text(q, ":act", text);
	while (!(rc = stmt_row(q, err))) {
		*keys = arena_grow(arena, *keys, *n, &room, sizeof(**keys));
		if (uuid_read(stmt_text(q, 0), &(*keys)[*n]))
			(*n)++;
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

enum err_code history_struck_by(struct book *b, const struct uuid *act, struct arena *arena,
				struct struck_row **out, size_t *n, struct err *err)
{
	struct uuid *keys;
	size_t n_keys;
	enum err_code rc = keys_struck_by(b, act, arena, &keys, &n_keys, err);

	if (rc)
		return rc;
	struct struck_row *rows = arena_array(arena, n_keys + 1, sizeof(*rows));
	size_t found = 0;

	for (size_t i = 0; i < n_keys; i++) {
		struct key_row row;

		rc = store_find_key(b->store, &keys[i], &row, err);
		if (rc == ERR_NOT_FOUND)
			continue;
		if (rc)
			return rc;
		rows[found++] = (struct struck_row){ .kind = row.kind, .id = row.id };
	}
	*out = rows;
	*n = found;
	return ERR_NONE;
}
