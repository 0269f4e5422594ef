/* A line of exchanges that wait for another thread, first come first served. */
#ifndef WEIRBOOK_HTTP_QUEUE_H
#define WEIRBOOK_HTTP_QUEUE_H

#include <pthread.h>
#include <stdbool.h>
#include <stddef.h>

struct exchange;

struct queue {
	pthread_mutex_t lock;
	pthread_cond_t arrived;
	struct exchange *first, *last; /* linked by exchange->next */
	bool closed;
};

void queue_init(struct queue *q);
void queue_release(struct queue *q); /* must be empty */

/* False once the queue is closed; x is then still the caller's. */
bool queue_put(struct queue *q, struct exchange *x);

/* Takes up to max in order of arrival; waits up to wait_ms (negative: without end) for the first one.
 * 0: none came in time, or the queue is closed and empty, which *closed tells apart. */
size_t queue_take(struct queue *q, struct exchange **out, size_t max, int wait_ms, bool *closed);

/* No more can be put; what waits can still be taken. */
void queue_close(struct queue *q);

#endif
