/* Opens the book and holds the farm's settings that every entry needs: its zone and the hour its
 * day begins.  What comes in is in create.c, patch.c, strike.c; what is computed is the
 * ledger's. */
#include "book/book.h"

#include <stdlib.h>
#include <string.h>

#include "base/log.h"
#include "book/inside.h"

struct old_zone {
	struct zone *zone;
	struct old_zone *next;
};

void book_forget(struct book *b)
{
	b->loose_version = store_version(b->store);
	b->seen_version = -1;
}

static void take_zone(struct book *b, struct zone *z)
{
	if (b->zone) {
		struct old_zone *old = xmalloc(sizeof(*old));

		*old = (struct old_zone){ .zone = b->zone, .next = b->old_zones };
		b->old_zones = old;
	}
	b->zone = z;
}

/* A farm that is not set up yet counts its days in UTC from midnight. */
static enum err_code read_settings(struct book *b, struct err *err)
{
	struct stmt *q = NULL;
	struct zone *z = NULL;
	const char *name = "UTC";
	int hour = 0;
	enum err_code rc = store_query(b->store, Q_FARM_SETTINGS, &q, err);

	if (rc)
		goto out;
	rc = stmt_row(q, err);
	if (rc && rc != ERR_NOT_FOUND)
		goto out;
	if (!rc && !stmt_is_null(q, 0)) {
		name = stmt_text(q, 0);
		hour = (int)stmt_int(q, 1);
	}
	rc = ERR_NONE;
	if (!b->zone || strcmp(zone_name(b->zone), name) != 0) {
		rc = zone_load(name, &z, err);
		if (rc)
			goto out;
		take_zone(b, z);
	}
	b->day_begins_hour = hour;
out:
	stmt_done(q);
	return rc;
}

static void refresh(struct book *b)
{
	int64_t version = store_version(b->store);
	struct err err;

	if (version == b->seen_version && version != b->loose_version)
		return;
	err_clear(&err);
	/* The settings were good when they were written; if they cannot be read now the old ones
	 * stand. */
	if (read_settings(b, &err))
		log_line("farm settings: %s", err.n_items ? err.items[0].message : "not readable");
	b->seen_version = version;
}

enum err_code book_open(struct store *store, struct book **out, struct err *err)
{
	struct book *b = xmalloc(sizeof(*b));

	*b = (struct book){ .store = store,
			    .seen_version = store_version(store),
			    .loose_version = -1,
			    .last_received = INT64_MIN };
	enum err_code rc = read_settings(b, err);

	if (rc) {
		book_close(b);
		return rc;
	}
	*out = b;
	return ERR_NONE;
}

void book_close(struct book *b)
{
	if (!b)
		return;
	zone_free(b->zone);
	while (b->old_zones) {
		struct old_zone *next = b->old_zones->next;

		zone_free(b->old_zones->zone);
		free(b->old_zones);
		b->old_zones = next;
	}
	free(b);
}

struct store *book_store(struct book *b)
{
	return b->store;
}

const struct zone *book_zone(struct book *b)
{
	refresh(b);
	return b->zone;
}

int64_t book_day(struct book *b, int64_t at)
{
	refresh(b);
	return farm_day(b->zone, b->day_begins_hour, at);
}

int64_t book_day_start(struct book *b, int64_t day)
{
	refresh(b);
	return farm_day_start(b->zone, b->day_begins_hour, day);
}
