/*
 * Total deadlines of connections.  libmicrohttpd's own time-out counts inactivity only: a client that
 * sends a byte a second would keep a connection for ever.  A thread of its own shuts down the sockets
 * that are past their time; the epoll thread then sees the end and closes them.
 */
#ifndef WEIRBOOK_HTTP_DEADLINE_H
#define WEIRBOOK_HTTP_DEADLINE_H

struct deadlines;
struct deadline; /* of one connection */

struct deadlines *deadlines_start(void);
void deadlines_stop(struct deadlines *all); /* all deadlines must be gone */

struct deadline *deadline_new(struct deadlines *all, int fd);
void deadline_free(struct deadlines *all, struct deadline *d); /* before fd is closed */

/* The connection must have moved on within ms from now. */
void deadline_set(struct deadline *d, int ms);
/* It gets ms more; nothing when it is off. */
void deadline_extend(struct deadline *d, int ms);
void deadline_off(struct deadline *d);

#endif
