/* See tank_facts.h. */
#include "book/tank_facts.h"

enum err_code tank_facts_load(struct book *b, int64_t tank_id, int64_t day, struct arena *arena,
			      struct tank_facts *out, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_TANK_FACTS, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":tank_id", tank_id);
	stmt_bind_int(q, ":day", day);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	*out = (struct tank_facts){
		.code = arena_strdup(arena, stmt_text(q, 0)),
		.volume_l = stmt_real(q, 1),
		.density_limit_kg_m3 = stmt_real(q, 2),
		.loop_id = stmt_int(q, 3),
		.loop = arena_strdup(arena, stmt_text(q, 4)),
	};
out:
	stmt_done(q);
	return rc;
}

enum err_code loop_changes_load(struct book *b, struct arena *arena, struct loop_change **out,
				size_t *n, struct err *err)
{
	struct loop_change *all = NULL;
	struct stmt *q = NULL;
	size_t found = 0, room = 0;
	enum err_code rc = store_query(book_store(b), Q_TANKS_MOVED_LOOP, &q, err);

	while (!rc && !(rc = stmt_row(q, err))) {
		all = arena_grow(arena, all, found, &room, sizeof(*all));
		all[found++] = (struct loop_change){ .tank_id = stmt_int(q, 0),
						     .base_loop_id = stmt_int(q, 1),
						     .from_day = stmt_int(q, 2),
						     .loop_id = stmt_int(q, 3) };
	}
	stmt_done(q);
	if (rc != ERR_NOT_FOUND)
		return rc;
	*out = all;
	*n = found;
	return ERR_NONE;
}

enum err_code tank_walk_order(struct book *b, const struct id_set *tanks, struct arena *arena,
			      size_t *order, struct err *err)
{
	struct stmt *q = NULL;
	size_t n = 0;
	enum err_code rc = store_query(book_store(b), Q_TANKS_ALL, &q, err);
	bool *met = arena_array(arena, tanks->n + 1, sizeof(*met));

	if (rc)
		goto out;
	while (!(rc = stmt_row(q, err))) {
		const int at = id_set_find(tanks, stmt_int(q, 0));
		if (at < 0)
			continue;
		order[n++] = (size_t)at;
		met[at] = true;
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
	for (size_t i = 0; i < tanks->n; i++) /* tanks that were struck out come last */
		if (!met[i])
			order[n++] = i;
out:
	stmt_done(q);
	return rc;
}
