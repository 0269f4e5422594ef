/*
 * The HTTP server: libmicrohttpd on one epoll thread, a pool of two readers, one writer.  It turns what
 * comes over the network into struct request and sends struct response back; what is answered is left
 * to api/, and opening files to the caller.
 *
 * Short reads are answered on the epoll thread itself.  A long read or a write is suspended and handed
 * over; the writer takes all that has queued, has it answered in one transaction, then wakes them all.
 */
#ifndef WEIRBOOK_HTTP_SERVER_H
#define WEIRBOOK_HTTP_SERVER_H

#include <stdbool.h>

#include "api/app.h"
#include "api/request.h"
#include "base/err.h"

enum { SERVER_READERS = 2 };
enum { SERVER_LOST_STATUS = 75 }; /* exit status after a commit whose outcome is not known */

struct server;

struct server_settings {
	struct app *app;    /* borrowed until server_stop, as are the books */
	const char *listen; /* "127.0.0.1:8080", "[::1]:8080"; port 0 lets the system choose */
	struct book *inline_book;
	struct book *reader_books[SERVER_READERS];
	struct book *writer_book;

	/*
	 * Work on the writer's thread between requests: called with idle false after each group of
	 * writes, and with idle true while nothing waits, about once a second or at once again as long
	 * as it returns true.  Each call must be short.  May be NULL.
	 */
	bool (*upkeep)(void *with, bool idle);
	void *upkeep_with;

	/* 0 takes the default. */
	int request_ms; /* from accept, or the last completed request, to a complete one: 10 s */
	int sending_ms; /* for sending an answer: 60 s */
	int beat_ms;    /* between signs of life of an event stream: 20 s */
	unsigned connections, connections_per_address; /* 768, 128 */
	unsigned streams; /* of these connections, event streams at most: 512 */
};

/*
 * Starts to serve.  ERR_INPUT for an address that cannot be read, ERR_UNAVAILABLE when it is taken or is
 * not ours.  Signals should be blocked by the caller before, so that its own threads get them.
 */
enum err_code server_start(const struct server_settings *settings, struct server **out,
			   struct err *err);

/* ERR_INPUT when server_start could not read this address; opens nothing. */
enum err_code server_check_address(const char *listen, struct err *err);

/* "127.0.0.1:41234": what it listens on, with the port that was chosen. */
const char *server_address(const struct server *s);

/* Stops taking connections, answers what has come in, ends all threads and frees s.  NULL is fine. */
void server_stop(struct server *s);

#endif
