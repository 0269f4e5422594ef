/* The order of entries about plants: (instant, sort, key) and its two exceptions.  See
 * crop_replay.h. */
#include "book/crop_replay.h"

#include <stdlib.h>
#include <string.h>

static int by_place(const void *a, const void *b)
{
	const struct crop_event *x = a, *y = b;

	if (x->instant != y->instant)
		return x->instant < y->instant ? -1 : 1;
	if (x->sort != y->sort)
		return x->sort < y->sort ? -1 : 1;
	return uuid_compare(&x->key, &y->key);
}

/* Takes the event at `from` out and puts it at `to`, which is not behind it. */
static void pull_forward(struct crop_event *events, size_t from, size_t to)
{
	struct crop_event moved = events[from];

	memmove(events + to + 1, events + to, (from - to) * sizeof(*events));
	events[to] = moved;
}

/* True when a move of the same lot in [first, end) still has to fill the bed that move i leaves. */
static bool must_wait(const struct crop_event *events, size_t first, size_t end, size_t i)
{
	for (size_t j = first; j < end; j++)
		if (j != i && events[j].lot == events[i].lot && events[j].to_bed == events[i].bed &&
		    events[j].bed != events[j].to_bed)
			return true;
	return false;
}

/* Moves [first, end) of one instant: a bed fills before it empties.  In a ring the key decides. */
static void order_moves(struct crop_event *events, size_t first, size_t end)
{
	for (; first + 1 < end; first++) {
		size_t i = first;

		while (i < end && must_wait(events, first, end, i))
			i++;
		if (i < end)
			pull_forward(events, i, first);
	}
}

static bool fills(const struct crop_event *e, int64_t lot, int64_t bed)
{
	return e->lot == lot && ((e->sort == CROP_MOVED && e->to_bed == bed) ||
				 (e->sort == CROP_SOWN && e->bed == bed));
}

static bool closes(const struct crop_event *e, int64_t lot, int64_t bed)
{
	return e->empties && e->lot == lot && e->bed == bed &&
	       (e->sort == CROP_MOVED || e->sort == CROP_HARVESTED);
}

/* A loss by day in a bed emptied earlier that day was seen before it was emptied. */
static void order_loss(struct crop_event *events, size_t loss)
{
	const struct crop_event *l = &events[loss];

	for (size_t i = loss; i-- > 0 && events[i].day == l->day;) {
		/* A move within one bed empties it and fills it again. */
		if (fills(&events[i], l->lot, l->bed))
			return;
		if (closes(&events[i], l->lot, l->bed)) {
			pull_forward(events, loss, i);
			return;
		}
	}
}

void crop_order(struct crop_event *events, size_t n)
{
	if (n > 0)
		qsort(events, n, sizeof(*events), by_place);
	for (size_t i = 0, end; i < n; i = end) {
		end = i + 1;
		while (end < n && events[end].sort == events[i].sort &&
		       events[end].instant == events[i].instant)
			end++;
		if (events[i].sort == CROP_MOVED)
			order_moves(events, i, end);
	}
	for (size_t i = 0; i < n; i++)
		if (events[i].sort == CROP_LOST && events[i].by_day)
			order_loss(events, i);
}
