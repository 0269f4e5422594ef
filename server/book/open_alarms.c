/* See open_alarms.h. */
#include "book/open_alarms.h"

#include <string.h>

#include "book/inside.h"

bool alarm_is_stop(const char *level)
{
	return level && strncmp(level, "stop_", 5) == 0;
}

static struct open_alarm read_alarm(struct stmt *q, struct arena *arena)
{
	return (struct open_alarm){
		.id = stmt_int(q, 0),
		.place_id = stmt_int(q, 1),
		.quantity = arena_strdup(arena, stmt_text(q, 2)),
		.level = stmt_text_kept(q, 3, arena),
		.probe_id = stmt_int(q, 4),
		.raised_at = stmt_int(q, 5),
		.value = stmt_real(q, 6),
		.seen_by_id = stmt_int(q, 7),
		.action = stmt_text_kept(q, 8, arena),
	};
}

enum err_code open_alarms_load(struct book *b, struct arena *arena, struct open_alarm **out,
			       size_t *n, struct err *err)
{
	struct stmt *q = NULL;
	struct open_alarm *all = NULL;
	size_t found = 0, room = 0;
	enum err_code rc = store_query(b->store, Q_ALARMS_OPEN, &q, err);

	while (!rc && !(rc = stmt_row(q, err))) {
		all = arena_grow(arena, all, found, &room, sizeof(*all));
		all[found++] = read_alarm(q, arena);
	}
	stmt_done(q);
	if (rc != ERR_NOT_FOUND)
		return rc;
	for (size_t i = 0; i < found; i++)
		if (all[i].place_id)
			all[i].place = book_label(b, "places", all[i].place_id, arena);
	*out = all;
	*n = found;
	return ERR_NONE;
}
