/* How a row is called where another refers to it.  Kept by id, since lists and exports ask again and again. */
#include <stdlib.h>
#include <string.h>

#include "base/uuid.h"
#include "store/internal.h"
#include "store/record.h"

enum { KEPT_IDS_MAX = 1 << 20, FIRST_ROOM = 64 };

void labels_forget(struct store *st)
{
	for (size_t i = 0; i < kind_count(); i++) {
		free(st->labels[i].by_id);
		st->labels[i].by_id = NULL;
		st->labels[i].room = 0;
	}
	arena_reset(&st->label_texts);
}

void labels_forget_kind(struct store *st, const struct kind *k)
{
	/* a place is called the same under two kinds */
	if (k->is_place) {
		labels_forget(st);
		return;
	}
	struct labels *labels = &st->labels[kind_index(k)];

	free(labels->by_id);
	labels->by_id = NULL;
	labels->room = 0;
}

static void make_room(struct labels *labels, size_t id)
{
	size_t room = labels->room ? labels->room : FIRST_ROOM;

	while (room <= id)
		room *= 2;
	labels->by_id = xrealloc(labels->by_id, room * sizeof(*labels->by_id));
	memset(labels->by_id + labels->room, 0, (room - labels->room) * sizeof(*labels->by_id));
	labels->room = room;
}

/* Reads the label; the text belongs to label_texts. */
static const char *look_up(struct store *st, const struct kind *k, int64_t id)
{
	sqlite3_stmt *s = NULL;
	const char *label = NULL;
	char key[UUID_TEXT_MAX];
	struct uuid u;

	if (store_label_statement(st, k, &s, NULL))
		return NULL;
	sqlite3_bind_int64(s, 1, id);
	if (sqlite3_step(s) == SQLITE_ROW) {
		for (int c = 0; c < 2 && !label; c++)
			label = (const char *)sqlite3_column_text(s, c);
		if (!label && sqlite3_column_bytes(s, 2) == (int)sizeof(u.byte)) {
			memcpy(u.byte, sqlite3_column_blob(s, 2), sizeof(u.byte));
			uuid_write(key, &u);
			label = key;
		}
		if (label)
			label = arena_strdup(&st->label_texts, label);
	}
	sqlite3_reset(s);
	return label;
}

const char *store_label(struct store *st, const struct kind *k, int64_t id)
{
	struct labels *labels = &st->labels[kind_index(k)];
	const int64_t version = store_version(st);
	const char *label;

	if (version != st->labels_version) {
		labels_forget(st);
		st->labels_version = version;
	}
	if (id < 1 || id > KEPT_IDS_MAX)
		return look_up(st, k, id);
	if ((size_t)id < labels->room && labels->by_id[id])
		return labels->by_id[id];
	label = look_up(st, k, id);
	if (label) {
		if ((size_t)id >= labels->room)
			make_room(labels, (size_t)id);
		labels->by_id[id] = label;
	}
	return label;
}
