/* Total deadlines of connections.  Which deadline holds when is left to exchange.c. */
#include "http/deadline.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <time.h>

#include "base/arena.h"
#include "base/clock.h"

#define NEVER INT64_MAX

enum { LOOK_MS = 200 }; /* how late a connection may be cut */

struct deadline {
	struct deadline *next, **from; /* under deadlines.lock */
	int fd;
	_Atomic int64_t due_ms;
};

struct deadlines {
	pthread_mutex_t
		lock; /* held while a socket is shut down, so that it is not closed meanwhile */
	pthread_cond_t stop;
	bool stopping;
	pthread_t thread;
	struct deadline *first;
};

static void cut_late_ones(struct deadlines *all)
{
	int64_t now = clock_steady_ms();

	for (struct deadline *d = all->first; d; d = d->next)
		if (atomic_load(&d->due_ms) <= now) {
			shutdown(d->fd, SHUT_RDWR);
			atomic_store(&d->due_ms, NEVER);
		}
}

static void *run(void *arg)
{
	struct deadlines *all = arg;

	pthread_mutex_lock(&all->lock);
	while (!all->stopping) {
		int64_t next = clock_steady_ms() + LOOK_MS;
		struct timespec until = { .tv_sec = (time_t)(next / 1000),
					  .tv_nsec = (long)(next % 1000) * 1000000 };

		pthread_cond_timedwait(&all->stop, &all->lock, &until);
		cut_late_ones(all);
	}
	pthread_mutex_unlock(&all->lock);
	return NULL;
}

struct deadlines *deadlines_start(void)
{
	struct deadlines *all = xmalloc(sizeof(*all));
	pthread_condattr_t attr;

	*all = (struct deadlines){ 0 };
	pthread_mutex_init(&all->lock, NULL);
	pthread_condattr_init(&attr);
	pthread_condattr_setclock(&attr, CLOCK_MONOTONIC);
	pthread_cond_init(&all->stop, &attr);
	pthread_condattr_destroy(&attr);
	if (pthread_create(&all->thread, NULL, run, all) != 0)
		abort();
	return all;
}

void deadlines_stop(struct deadlines *all)
{
	pthread_mutex_lock(&all->lock);
	all->stopping = true;
	pthread_cond_signal(&all->stop);
	pthread_mutex_unlock(&all->lock);
	pthread_join(all->thread, NULL);
	pthread_cond_destroy(&all->stop);
	pthread_mutex_destroy(&all->lock);
	free(all);
}

struct deadline *deadline_new(struct deadlines *all, int fd)
{
	struct deadline *d = xmalloc(sizeof(*d));

	d->fd = fd;
	atomic_init(&d->due_ms, NEVER);
	pthread_mutex_lock(&all->lock);
	d->next = all->first;
	d->from = &all->first;
	if (d->next)
		d->next->from = &d->next;
	all->first = d;
	pthread_mutex_unlock(&all->lock);
	return d;
}

void deadline_free(struct deadlines *all, struct deadline *d)
{
	pthread_mutex_lock(&all->lock);
	*d->from = d->next;
	if (d->next)
		d->next->from = d->from;
	pthread_mutex_unlock(&all->lock);
	free(d);
}

void deadline_set(struct deadline *d, int ms)
{
	atomic_store(&d->due_ms, clock_steady_ms() + ms);
}

void deadline_extend(struct deadline *d, int ms)
{
	int64_t due = atomic_load(&d->due_ms);

	/* Only the epoll thread sets it; when the other has cut it meanwhile, it is cut once more. */
	if (due != NEVER)
		atomic_store(&d->due_ms, due + ms);
}

void deadline_off(struct deadline *d)
{
	atomic_store(&d->due_ms, NEVER);
}
