/* Event streams: see streams.h. */
#include "http/streams.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

#include "api/events.h"
#include "base/clock.h"
#include "http/inside.h"
#include "http/reply.h"

enum { BLOCK = 1024 };

struct stream {
	struct stream *next, **from; /* under streams.lock */
	struct streams *all;
	struct MHD_Connection *connection;
	struct deadline *deadline;
	struct event_place place;
	struct strbuf text; /* what is being said */
	size_t sent;        /* of it, given to libmicrohttpd */
	bool asleep;        /* suspended; under streams.lock */
	bool beat;          /* to say something, whatever it is; under streams.lock */
};

struct streams {
	struct server *server;
	pthread_mutex_t lock; /* taken before libmicrohttpd's own */
	struct stream *first;
	unsigned n;
	bool ending;

	/* Of the writer's thread alone. */
	int64_t told;
	int64_t beat_at_ms;
};

struct streams *streams_new(struct server *s)
{
	struct streams *all = xmalloc(sizeof(*all));

	*all = (struct streams){ .server = s,
				 .told = atomic_load(&s->set.app->version),
				 .beat_at_ms = clock_steady_ms() + s->set.beat_ms };
	pthread_mutex_init(&all->lock, NULL);
	return all;
}

void streams_free(struct streams *all)
{
	pthread_mutex_destroy(&all->lock);
	free(all);
}

/* False: nothing is left to say, and the stream sleeps or ends. */
static bool find_words(struct stream *st)
{
	strbuf_clear(&st->text);
	st->sent = 0;
	events_tell(st->all->server->set.app, &st->place, &st->text);
	if (st->text.length == 0 && st->beat)
		events_beat(&st->text);
	st->beat = false;
	return st->text.length > 0;
}

/* The lock is held from the look at what there is to say until the sleep, so that no news falls between. */
static ssize_t say_or_sleep(struct stream *st)
{
	struct streams *all = st->all;
	ssize_t rc = 0;

	pthread_mutex_lock(&all->lock);
	if (all->ending) {
		rc = MHD_CONTENT_READER_END_OF_STREAM;
	} else if (find_words(st)) {
		deadline_set(st->deadline, all->server->set.sending_ms);
		rc = 1;
	} else {
		deadline_off(st->deadline);
		st->asleep = true;
		MHD_suspend_connection(st->connection);
	}
	pthread_mutex_unlock(&all->lock);
	return rc;
}

/* libmicrohttpd asks for more when it has sent what it had. */
static ssize_t read_stream(void *stream, uint64_t position, char *out, size_t room)
{
	struct stream *st = stream;
	size_t n;

	(void)position;
	if (st->sent == st->text.length) {
		ssize_t rc = say_or_sleep(st);

		if (rc <= 0)
			return rc;
	}
	n = st->text.length - st->sent;
	n = n < room ? n : room;
	memcpy(out, st->text.text + st->sent, n);
	st->sent += n;
	return (ssize_t)n;
}

static void close_stream(void *stream)
{
	struct stream *st = stream;

	pthread_mutex_lock(&st->all->lock);
	*st->from = st->next;
	if (st->next)
		st->next->from = st->from;
	st->all->n--;
	pthread_mutex_unlock(&st->all->lock);
	strbuf_release(&st->text);
	free(st);
}

static bool enter(struct streams *all, struct stream *st)
{
	bool room;

	pthread_mutex_lock(&all->lock);
	room = all->n < all->server->set.streams && !all->ending;
	if (room) {
		st->next = all->first;
		st->from = &all->first;
		if (st->next)
			st->next->from = &st->next;
		all->first = st;
		all->n++;
	}
	pthread_mutex_unlock(&all->lock);
	return room;
}

bool stream_open(struct exchange *x)
{
	struct streams *all = x->server->streams;
	struct stream *st = xmalloc(sizeof(*st));

	*st = (struct stream){ .all = all,
			       .connection = x->connection,
			       .deadline = deadline_of(x->connection),
			       .place = *x->res.events };
	if (!enter(all, st)) {
		free(st);
		return false;
	}
	strbuf_init(&st->text);
	strbuf_add(&st->text, x->res.body.text, x->res.body.length);
	x->reply = reply_stream(&x->res, BLOCK, read_stream, st, close_stream);
	x->status = (unsigned)x->res.status;
	return true;
}

static void wake_all(struct streams *all, bool beat)
{
	pthread_mutex_lock(&all->lock);
	for (struct stream *st = all->first; st; st = st->next) {
		st->beat = st->beat || beat;
		if (st->asleep) {
			st->asleep = false;
			MHD_resume_connection(st->connection);
		}
	}
	pthread_mutex_unlock(&all->lock);
}

int streams_count(struct streams *all)
{
	int n;

	pthread_mutex_lock(&all->lock);
	n = (int)all->n;
	pthread_mutex_unlock(&all->lock);
	return n;
}

void streams_look(struct streams *all)
{
	const int64_t version = atomic_load(&all->server->set.app->version);
	const int64_t now = clock_steady_ms();
	const bool beat = now >= all->beat_at_ms;

	if (beat)
		all->beat_at_ms = now + all->server->set.beat_ms;
	if (beat || version != all->told)
		wake_all(all, beat);
	all->told = version;
}

void streams_end(struct streams *all)
{
	pthread_mutex_lock(&all->lock);
	all->ending = true;
	pthread_mutex_unlock(&all->lock);
	wake_all(all, false);
}
