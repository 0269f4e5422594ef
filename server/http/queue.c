/* A line of exchanges that wait for another thread.  What is done with them is left to work.c. */
#include "http/queue.h"

#include <errno.h>
#include <time.h>

#include "http/exchange.h"

void queue_init(struct queue *q)
{
	pthread_condattr_t attr;

	*q = (struct queue){ 0 };
	pthread_mutex_init(&q->lock, NULL);
	/* The wall clock of a farm's box may jump. */
	pthread_condattr_init(&attr);
	pthread_condattr_setclock(&attr, CLOCK_MONOTONIC);
	pthread_cond_init(&q->arrived, &attr);
	pthread_condattr_destroy(&attr);
}

void queue_release(struct queue *q)
{
	pthread_cond_destroy(&q->arrived);
	pthread_mutex_destroy(&q->lock);
}

bool queue_put(struct queue *q, struct exchange *x)
{
	bool open;

	pthread_mutex_lock(&q->lock);
	open = !q->closed;
	if (open) {
		x->next = NULL;
		if (q->last)
			q->last->next = x;
		else
			q->first = x;
		q->last = x;
		pthread_cond_signal(&q->arrived);
	}
	pthread_mutex_unlock(&q->lock);
	return open;
}

static void wait_for_first(struct queue *q, int wait_ms)
{
	struct timespec until;
	int rc = 0;

	clock_gettime(CLOCK_MONOTONIC, &until);
	until.tv_sec += wait_ms / 1000;
	until.tv_nsec += (long)(wait_ms % 1000) * 1000000;
	if (until.tv_nsec >= 1000000000) {
		until.tv_sec++;
		until.tv_nsec -= 1000000000;
	}
	while (!q->first && !q->closed && rc != ETIMEDOUT)
		rc = wait_ms < 0 ? pthread_cond_wait(&q->arrived, &q->lock)
				 : pthread_cond_timedwait(&q->arrived, &q->lock, &until);
}

size_t queue_take(struct queue *q, struct exchange **out, size_t max, int wait_ms, bool *closed)
{
	size_t n = 0;

	pthread_mutex_lock(&q->lock);
	if (wait_ms != 0)
		wait_for_first(q, wait_ms);
	while (q->first && n < max) {
		out[n++] = q->first;
		q->first = q->first->next;
	}
	if (!q->first)
		q->last = NULL;
	*closed = q->closed;
	pthread_mutex_unlock(&q->lock);
	return n;
}

void queue_close(struct queue *q)
{
	pthread_mutex_lock(&q->lock);
	q->closed = true;
	pthread_cond_broadcast(&q->arrived);
	pthread_mutex_unlock(&q->lock);
}
