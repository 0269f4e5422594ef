/* What the files of http/ share about the running server; nobody outside includes it. */
#ifndef WEIRBOOK_HTTP_INSIDE_H
#define WEIRBOOK_HTTP_INSIDE_H

#include <microhttpd.h>
#include <pthread.h>
#include <stdatomic.h>

#include "http/deadline.h"
#include "http/exchange.h"
#include "http/queue.h"
#include "http/server.h"
#include "http/streams.h"

struct server {
	struct server_settings set; /* with the defaults filled in */
	char address[80];
	struct MHD_Daemon *daemon;
	struct deadlines *deadlines;
	struct streams *streams;
	struct queue reads, writes;
	pthread_t readers[SERVER_READERS];
	pthread_t writer;
	_Atomic bool stopping;
	_Atomic int open; /* complete requests whose answer is not sent yet */

	/* Of the epoll thread alone. */
	struct exchange *spare; /* kept, so that a request costs no malloc */
	int n_spare;
	size_t bodies; /* bytes that request bodies hold now */
};

/* exchange.c: the deadline of a connection, borrowed; server.c makes and frees it with the connection. */
struct deadline *deadline_of(struct MHD_Connection *connection);

/* work.c */
void work_start(struct server *s);
void work_stop(struct server *s); /* answers what has queued, then ends the threads */
/* After the daemon has stopped: until then a request may still meet the closed queues. */
void work_release(struct server *s);

/* listen.c: a listening socket, or -1 with err.  address gets what it stands on. */
int listen_on(const char *where, char address[80], struct err *err);

#endif
