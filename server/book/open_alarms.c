/* See open_alarms.h. */
#include "book/open_alarms.h"

#include <string.h>

#include "book/inside.h"

bool alarm_is_stop(const char *level)
{
	return level && strncmp(level, "stop_", 5) == 0;
}

enum err_code open_alarms_load(struct book *b, struct arena *arena, struct open_alarm **out,
			       size_t *n, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(b->store, Q_ALARMS_OPEN, &q, err);

	*out = NULL;
	*n = 0;
	if (rc)
		goto out;
	while (!(rc = stmt_row(q, err))) {
		*out = arena_grow(arena, *out, *n, &room, sizeof(**out));
		(*out)[(*n)++] = (struct open_alarm){
			.id = stmt_int(q, 0),
			.place_id = stmt_int(q, 1),
			.quantity = arena_strdup(arena, stmt_text(q, 2)),
			.level = stmt_is_null(q, 3) ? NULL : arena_strdup(arena, stmt_text(q, 3)),
			.probe_id = stmt_int(q, 4),
			.raised_at = stmt_int(q, 5),
			.value = stmt_real(q, 6),
			.seen_by_id = stmt_int(q, 7),
			.action = stmt_is_null(q, 8) ? NULL : arena_strdup(arena, stmt_text(q, 8)),
		};
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	for (size_t i = 0; !rc && i < *n; i++)
		if ((*out)[i].place_id)
			(*out)[i].place = book_label(b, "places", (*out)[i].place_id, arena);
	return rc;
}
