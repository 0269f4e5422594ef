/*
 * What an open event stream (GET /api/events, text/event-stream of the HTML standard) is told: that the
 * record's version moved, and the kinds whose rows were written.  Never what was written: a page asks
 * again for what it shows.  Who keeps the streams open is http/.
 */
#ifndef WEIRBOOK_API_EVENTS_H
#define WEIRBOOK_API_EVENTS_H

#include <stdint.h>

#include "api/app.h"
#include "base/strbuf.h"
#include "store/store.h"

/* What a stream has told so far. */
struct event_place {
	int64_t version, readings;
};

/* On the writer's thread, after a commit: the versions of it and the kinds, for all streams. */
void events_note(struct app *app, struct store *st);

/* Adds the first message: version, and the web files' build, so that a page left open over an upgrade
 * learns of it. */
void events_greet(const struct app *app, struct event_place *place, struct strbuf *out);

/* Adds one message for all that moved since *place, or nothing; a slow reader gets several in one. */
void events_tell(const struct app *app, struct event_place *place, struct strbuf *out);

/* Adds what only keeps the connection alive, and finds out whether it still is. */
void events_beat(struct strbuf *out);

#endif
