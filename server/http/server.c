/* Starts and stops the HTTP server.  What happens to a request is left to exchange.c and work.c. */
#include "http/server.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/log.h"
#include "http/inside.h"

enum {
	REQUEST_MS = 10 * 1000,
	SENDING_MS = 60 * 1000,
	IDLE_S = 75, /* libmicrohttpd's own time-out; ours always comes before it */
	BEAT_MS = 20 * 1000,
	CONNECTIONS = 768,
	STREAMS = 512, /* fewer than CONNECTIONS: there is always room to ask */
	CONNECTIONS_PER_ADDRESS = 128,
	CONNECTION_MEMORY = 32 * 1024, /* request line and headers: more gets 431 or 414 */
	DRAIN_MS = 5000
};

static void log_from_mhd(void *cls, const char *format, va_list values)
{
	char text[256];

	(void)cls;
	vsnprintf(text, sizeof(text), format, values);
	text[strcspn(text, "\n")] = '\0';
	/* A tablet that goes out of reach is no news, and would fill the log. */
	if (strncmp(text, "Connection socket is closed", 27) == 0 ||
	    strncmp(text, "Failed to send", 14) == 0)
		return;
	log_line("http: %s", text);
}

static void connection_changed(void *server, struct MHD_Connection *connection,
			       void **socket_context, enum MHD_ConnectionNotificationCode what)
{
	struct server *s = server;

	if (what == MHD_CONNECTION_NOTIFY_STARTED) {
		int fd = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD)
				 ->connect_fd;

		*socket_context = deadline_new(s->deadlines, fd);
		deadline_set(*socket_context, s->set.request_ms);
	} else {
		deadline_free(s->deadlines, *socket_context);
		*socket_context = NULL;
	}
}

static struct MHD_Daemon *start_daemon(struct server *s, int fd)
{
	unsigned flags = MHD_USE_EPOLL_INTERNAL_THREAD | MHD_ALLOW_SUSPEND_RESUME | MHD_USE_ITC |
			 MHD_USE_ERROR_LOG;

	if (s->address[0] == '[')
		flags |= MHD_USE_IPv6;
	/* The logger must come first. */
	return MHD_start_daemon(
		flags, 0, NULL, NULL, exchange_step, s, MHD_OPTION_EXTERNAL_LOGGER, log_from_mhd,
		NULL, MHD_OPTION_LISTEN_SOCKET, fd, MHD_OPTION_URI_LOG_CALLBACK, exchange_new, s,
		MHD_OPTION_NOTIFY_COMPLETED, exchange_done, s, MHD_OPTION_NOTIFY_CONNECTION,
		connection_changed, s, MHD_OPTION_CONNECTION_LIMIT, s->set.connections,
		MHD_OPTION_PER_IP_CONNECTION_LIMIT, s->set.connections_per_address,
		MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)IDLE_S, MHD_OPTION_CONNECTION_MEMORY_LIMIT,
		(size_t)CONNECTION_MEMORY, MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_END);
}

static void fill_defaults(struct server_settings *set)
{
	set->request_ms = set->request_ms ? set->request_ms : REQUEST_MS;
	set->sending_ms = set->sending_ms ? set->sending_ms : SENDING_MS;
	set->connections = set->connections ? set->connections : CONNECTIONS;
	set->beat_ms = set->beat_ms ? set->beat_ms : BEAT_MS;
	set->streams = set->streams ? set->streams : STREAMS;
	if (!set->connections_per_address)
		set->connections_per_address = CONNECTIONS_PER_ADDRESS;
}

enum err_code server_start(const struct server_settings *settings, struct server **out,
			   struct err *err)
{
	struct server *s = xmalloc(sizeof(*s));
	int fd;

	memset(s, 0, sizeof(*s));
	s->set = *settings;
	fill_defaults(&s->set);
	fd = listen_on(s->set.listen, s->address, err);
	if (fd < 0) {
		free(s);
		return err->code;
	}
	s->deadlines = deadlines_start();
	s->streams = streams_new(s);
	work_start(s);
	s->daemon = start_daemon(s, fd);
	if (!s->daemon) {
		close(fd);
		work_stop(s);
		work_release(s);
		streams_free(s->streams);
		deadlines_stop(s->deadlines);
		free(s);
		return err_set(err, ERR_UNAVAILABLE, "listen", "cannot_listen",
			       "The HTTP server cannot start on %s.", settings->listen);
	}
	*out = s;
	return ERR_NONE;
}

const char *server_address(const struct server *s)
{
	return s->address;
}

/* Answers that are being sent get a moment; a client that does not read them gets no more. */
static void wait_until_sent(struct server *s)
{
	struct timespec pause = { .tv_nsec = 10 * 1000000L };

	for (int ms = 0; ms < DRAIN_MS && atomic_load(&s->open) > 0; ms += 10)
		nanosleep(&pause, NULL);
}

void server_stop(struct server *s)
{
	int fd;

	if (!s)
		return;
	atomic_store(&s->stopping, true);
	fd = MHD_quiesce_daemon(s->daemon);
	if (fd >= 0)
		close(fd);
	/* Nothing may be suspended when the daemon stops: the workers answer all that waits. */
	work_stop(s);
	streams_end(s->streams);
	wait_until_sent(s);
	MHD_stop_daemon(s->daemon);
	work_release(s);
	streams_free(s->streams);
	deadlines_stop(s->deadlines);
	while (s->spare) {
		struct exchange *x = s->spare;

		s->spare = x->next;
		exchange_free(x);
	}
	free(s);
}
