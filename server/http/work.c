/*
 * The threads that answer what was suspended: readers with a book each, and the one writer, which also
 * does what can wait when nobody does.
 */
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/log.h"
#include "http/inside.h"

enum {
	GROUP_MAX = 128,    /* writes in one transaction */
	IDLE_MS = 1000,     /* between looks at what can wait */
	LAST_WORDS_MS = 300 /* for the answers that say "not confirmed" to get out */
};

struct reader {
	struct server *server;
	struct book *book;
};

static void *read_run(void *arg)
{
	struct reader r = *(struct reader *)arg;
	struct exchange *x;
	bool closed = false;

	free(arg);
	for (;;) {
		if (queue_take(&r.server->reads, &x, 1, -1, &closed)) {
			x->req.book = r.book;
			api_answer(&x->req, &x->res);
			exchange_finish(x);
		} else if (closed) {
			return NULL;
		}
	}
}

/*
 * A COMMIT failed: whether it holds is known only after recovery, which a new process does (a service
 * manager starts it again).  Clients repeat with the same keys.  No clean-up: it could write.
 */
static _Noreturn void stop_lost(struct server *s)
{
	struct timespec pause = { .tv_nsec = LAST_WORDS_MS * 1000000L };

	log_line("the last entries could not be confirmed: the disk failed on commit; stopping, so "
		 "that "
		 "the next start recovers the file");
	atomic_store(&s->stopping, true);
	nanosleep(&pause, NULL);
	_exit(SERVER_LOST_STATUS);
}

static void answer_group(struct server *s, struct exchange **group, size_t n)
{
	struct request *reqs[GROUP_MAX];
	struct response *ress[GROUP_MAX];
	bool kept;

	for (size_t i = 0; i < n; i++) {
		reqs[i] = &group[i]->req;
		ress[i] = &group[i]->res;
		reqs[i]->book = s->set.writer_book;
	}
	kept = api_answer_writes(s->set.writer_book, reqs, ress, n);
	for (size_t i = 0; i < n; i++)
		exchange_finish(group[i]);
	if (!kept)
		stop_lost(s);
}

static void *write_run(void *arg)
{
	struct server *s = arg;
	struct exchange *group[GROUP_MAX];
	bool closed = false, more = false;

	for (;;) {
		size_t n = queue_take(&s->writes, group, GROUP_MAX, more ? 0 : IDLE_MS, &closed);

		if (n > 0)
			answer_group(s, group, n);
		else if (closed)
			return NULL;
		streams_look(s->streams);
		more = s->set.upkeep && s->set.upkeep(s->set.upkeep_with, n == 0);
	}
}

static void start_thread(pthread_t *thread, void *(*run)(void *), void *arg)
{
	if (pthread_create(thread, NULL, run, arg) != 0) {
		log_line("cannot start a thread");
		abort();
	}
}

void work_start(struct server *s)
{
	queue_init(&s->reads);
	queue_init(&s->writes);
	for (int i = 0; i < SERVER_READERS; i++) {
		struct reader *r = xmalloc(sizeof(*r));

		*r = (struct reader){ .server = s, .book = s->set.reader_books[i] };
		start_thread(&s->readers[i], read_run, r);
	}
	start_thread(&s->writer, write_run, s);
}

void work_stop(struct server *s)
{
	queue_close(&s->writes);
	queue_close(&s->reads);
	pthread_join(s->writer, NULL);
	for (int i = 0; i < SERVER_READERS; i++)
		pthread_join(s->readers[i], NULL);
}

void work_release(struct server *s)
{
	queue_release(&s->writes);
	queue_release(&s->reads);
}
