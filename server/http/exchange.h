/*
 * One request and its answer on a connection: from the request line to the last byte sent.
 *
 * An exchange belongs to the epoll thread; from exchange_step's hand-over (STAGE_AWAY) until
 * exchange_finish it belongs to the reader or writer that took it from the queue.
 */
#ifndef WEIRBOOK_HTTP_EXCHANGE_H
#define WEIRBOOK_HTTP_EXCHANGE_H

#include <microhttpd.h>
#include <stdbool.h>

#include "api/request.h"

struct server;

enum stage {
	STAGE_LINE,    /* the request line has come */
	STAGE_BODY,    /* the headers are good; the body is taken */
	STAGE_REFUSED, /* the answer is made; what is left of the body is dropped */
	STAGE_AWAY,    /* suspended: another thread has it */
	STAGE_READY,   /* the answer is made, to be sent when the epoll thread comes by */
	STAGE_SENDING
};

struct exchange {
	struct exchange *next; /* in a queue or among the free ones */
	struct server *server;
	struct MHD_Connection *connection;
	enum stage stage;
	struct arena arena;
	struct request req;
	struct response res;
	const char *target; /* as it stood in the request line; in the arena */

	char *body; /* owned */
	size_t body_length, body_room, body_limit;
	size_t dropped; /* bytes of the body that were read and thrown away */

	bool close;   /* the connection ends after this answer */
	bool counted; /* in server->open: complete, and its answer not yet sent */
	struct MHD_Response *reply;
	unsigned status;
};

/* The three callbacks of libmicrohttpd, with a struct server * as cls. */
void *exchange_new(void *server, const char *target, struct MHD_Connection *connection);
enum MHD_Result exchange_step(void *server, struct MHD_Connection *connection, const char *url,
			      const char *method, const char *version, const char *upload,
			      size_t *upload_size, void **exchange);
void exchange_done(void *server, struct MHD_Connection *connection, void **exchange,
		   enum MHD_RequestTerminationCode why);

/* On the thread that took x from a queue: x->res is answered.  Gives x back to the epoll thread. */
void exchange_finish(struct exchange *x);

void exchange_free(struct exchange *x);

#endif
