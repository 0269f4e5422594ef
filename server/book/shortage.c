/* More taken than there is: asked, never refused. */
#include "book/shortage.h"

#include <string.h>

#include "book/inside.h"

/* Whether anyone would be told of what a row leaves short. */
static bool told(const struct record *r, const struct hand *hand)
{
	if (hand->arrival == ARRIVES_IMPORTED)
		return false;
	if (hand->arrival == ARRIVES_ON_SCREEN && hand->confirm)
		return false;
	switch (r->kind->rank) {
	case RANK_ARRIVAL:
	case RANK_COUNT:
	case RANK_MOVE:
	case RANK_DEATH:
	case RANK_HARVEST:
		return true;
	default:
		return false;
	}
}

enum err_code shortage_add(struct book *b, const struct record *r, const struct hand *hand,
			   struct arena *arena, struct shortage *all, struct err *err)
{
	struct shortfall *more = NULL, *joined;
	size_t n = 0;
	enum err_code rc = ERR_NONE;

	if (!r || !told(r, hand))
		return ERR_NONE;
	rc = ledger_shortfalls(b, r->kind, r, arena, &more, &n, err);
	if (rc || !n)
		return rc;
	joined = arena_array(arena, all->n + n, sizeof(*joined));
	if (all->n)
		memcpy(joined, all->found, all->n * sizeof(*joined));
	memcpy(joined + all->n, more, n * sizeof(*joined));
	*all = (struct shortage){ .found = joined, .n = all->n + n };
	return ERR_NONE;
}

enum err_code shortage_take(struct book *b, const struct record *before, const struct record *after,
			    const struct hand *hand, struct arena *arena, struct shortage *out,
			    struct err *err)
{
	enum err_code rc;

	*out = (struct shortage){ 0 };
	rc = shortage_add(b, before, hand, arena, out, err);
	return rc ? rc : shortage_add(b, after, hand, arena, out, err);
}

static bool same_place(const struct shortfall *a, const struct shortfall *b)
{
	return strcmp(a->lot, b->lot) == 0 && strcmp(a->place, b->place) == 0;
}

/* Where the book was short before by as much on that day, nothing new is told. */
static bool is_worse(const struct shortfall *now, const struct shortage *before)
{
	for (size_t i = 0; i < before->n; i++) {
		const struct shortfall *was = &before->found[i];

		if (same_place(was, now) && was->day == now->day &&
		    was->asked - was->there >= now->asked - now->there)
			return false;
	}
	return true;
}

/* Both versions of a row may touch the same place; the first day on which it breaks is told. */
static bool said_already(const struct shortage *s, const bool *said, size_t i)
{
	for (size_t j = 0; j < i; j++)
		if (said[j] && same_place(&s->found[j], &s->found[i]))
			return true;
	return false;
}

static void say(const struct shortfall *s, struct arena *arena, struct err *err)
{
	const char *day = book_day_text(arena, s->day);

	err_set(err, ERR_CONFLICT, "", "more_than_there",
		"The book has %lld%s%s in %s on %s; %lld leave. Is that what was seen?",
		(long long)s->there, s->lot[0] ? " of " : "", s->lot, s->place, day,
		(long long)s->asked);
	err_arg(err, "lot", "%s", s->lot);
	err_arg(err, "place", "%s", s->place);
	err_arg(err, "day", "%s", day);
	err_arg(err, "there", "%lld", (long long)s->there);
	err_arg(err, "asked", "%lld", (long long)s->asked);
}

enum err_code shortage_judge(const struct shortage *before, const struct shortage *after,
			     const struct hand *hand, struct arena *arena, bool *gap,
			     struct err *err)
{
	bool worse = false;
	bool *said = arena_array(arena, after->n + 1, sizeof(*said));

	*gap = false;
	for (size_t i = 0; i < after->n; i++) {
		if (!is_worse(&after->found[i], before) || said_already(after, said, i))
			continue;
		worse = said[i] = true;
		if (hand->arrival == ARRIVES_ON_SCREEN)
			say(&after->found[i], arena, err);
	}
	if (!worse)
		return ERR_NONE;
	*gap = true;
	return hand->arrival == ARRIVES_ON_SCREEN ? ERR_CONFLICT : ERR_NONE;
}
