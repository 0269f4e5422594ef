/*
 * Event streams: answers that stay open and say that the record moved (api/events.h).  An idle one is a
 * suspended connection and some 200 bytes; the writer's thread wakes all when there is something to tell,
 * and every beat_ms of the server's settings, which finds those whose browser is gone (a suspended connection does not see it).
 *
 * Time limits: none while idle; the server's sending_ms for each message, so that one who does not read is
 * cut and costs the others nothing.
 */
#ifndef WEIRBOOK_HTTP_STREAMS_H
#define WEIRBOOK_HTTP_STREAMS_H

#include <stdbool.h>
#include <stddef.h>

struct exchange;
struct server;
struct streams;

struct streams *streams_new(struct server *s);
void streams_free(struct streams *all); /* after the daemon has stopped */

/* On the epoll thread: makes x's answer a stream.  False when there are as many as may be. */
bool stream_open(struct exchange *x);

/* On the writer's thread, after each commit and about once a second. */
void streams_look(struct streams *all);

int streams_count(struct streams *all); /* open now */

/* Each stream ends after what it has begun to say; none opens again.  Before MHD_stop_daemon. */
void streams_end(struct streams *all);

#endif
