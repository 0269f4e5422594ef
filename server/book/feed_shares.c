/* See feed_shares.h. */
#include "book/feed_shares.h"

#include <math.h>

#include "base/order.h"

/* One farm day's feed in one tank. */
struct day_feed {
	int64_t day, feedings;
	double feed_g, uneaten_g;
};

/* The tank at hand, over the days in which the group had fish there. */
struct sharing {
	struct book *b;
	const struct fish_view *v;
	const struct conversion_groups *groups;
	size_t g, tank;
	int64_t tank_id;
	struct conversion *out;
	int64_t begin, end;           /* of the time at hand */
	size_t *cells;                /* that were in the tank then: indexes in the view */
	struct fish_standing *states; /* one a cell: room to work in */
	size_t n_cells;
	bool whole;           /* all of the tank's feed is the group's */
	struct feed_log *log; /* NULL: nobody asks where it was given */
};

/* Where the feed that counts was given. */
struct feed_log {
	struct arena *arena;
	struct feed_span *spans;
	size_t n, room, n_before; /* before the tank at hand */
	bool skipped;             /* in this tank: a day with feed that does not count */
	bool broken;              /* the last day with feed was such a one */
};

/* A cell's part of the tank by biomass, or by number (when any biomass is not known). */
static double part_of(const struct fish_standing *st, bool by_number)
{
	return by_number ? (double)st->fish : st->fish > 0 ? st->biomass_g : 0.0;
}

/* A cell's state when the day begins; when the tank is empty then, its first of that day. */
static struct fish_standing first_state(const struct sharing *s, size_t cell, int64_t begins,
					int64_t ends, bool tank_empty)
{
	const struct fish_view_cell *c = &s->v->cells[cell];

	if (!tank_empty)
		return fish_standing_at(s->v, c, begins - 1, false);
	for (size_t i = fish_rows_until(c, begins - 1); i < c->n_rows && c->rows[i].instant < ends;
	     i++)
		if (c->rows[i].fish_after > 0)
			return fish_standing_at(s->v, c, c->rows[i].instant, false);
	return (struct fish_standing){ .mean_g = NAN };
}

static bool empty_at(const struct sharing *s, int64_t at)
{
	for (size_t i = 0; i < s->n_cells; i++) {
		const struct fish_view_cell *c = &s->v->cells[s->cells[i]];
		const size_t n = fish_rows_until(c, at);
		if (n > 0 && c->rows[n - 1].fish_after > 0)
			return false;
	}
	return true;
}

/* The share of a day's feed that falls to the group; -1 when no fish were there. */
static double share_of_day(const struct sharing *s, int64_t day)
{
	const int64_t begins = book_day_start(s->b, day), ends = book_day_start(s->b, day + 1);
	const bool empty = empty_at(s, begins - 1);
	bool by_number = false;
	double all = 0.0, own = 0.0;

	for (size_t i = 0; i < s->n_cells; i++) {
		s->states[i] = first_state(s, s->cells[i], begins, ends, empty);
		by_number = by_number || (s->states[i].fish > 0 && isnan(s->states[i].biomass_g));
	}
	for (size_t i = 0; i < s->n_cells; i++) {
		const double part = part_of(&s->states[i], by_number);
		all += part;
		if (s->groups->of_cell[s->cells[i]] == (int)s->g)
			own += part;
	}
	return all > 0.0 ? own / all : -1.0;
}

/* When a cell had fish: from its first row to its last, or on and on. */
static bool was_there(const struct fish_view_cell *c, int64_t begin, int64_t end)
{
	return c->rows[0].instant < end &&
	       (c->rows[c->n_rows - 1].fish_after > 0 || c->rows[c->n_rows - 1].instant >= begin);
}

/* Whether the book has no fish in the tank on a day: before the first came, between two stockings,
 * or after. */
static bool has_no_fish(const struct sharing *s, int64_t day)
{
	const int64_t begins = book_day_start(s->b, day), ends = book_day_start(s->b, day + 1);

	for (size_t i = 0; i < s->n_cells; i++)
		if (was_there(&s->v->cells[s->cells[i]], begins, ends))
			return false;
	return true;
}

/* A day with feedings, in the order of days: it goes on the span, or begins one. */
static void note_day(struct sharing *s, const struct day_feed *f, bool counts)
{
	struct feed_log *log = s->log;

	log->skipped |= !counts;
	if (!counts) {
		log->broken = true;
		return;
	}
	if (log->broken || log->n == log->n_before) {
		log->spans =
			arena_grow(log->arena, log->spans, log->n, &log->room, sizeof(*log->spans));
		log->spans[log->n++] = (struct feed_span){
			.tank_id = s->tank_id,
			.begin = later_of(s->begin, book_day_start(s->b, f->day)),
		};
	}
	struct feed_span *span = &log->spans[log->n - 1];

	span->end = sooner_of(s->end, book_day_start(s->b, f->day + 1));
	span->feedings += f->feedings;
	span->feed_g += f->feed_g;
	log->broken = false;
}

static void add_day(struct sharing *s, const struct day_feed *f)
{
	const double share = s->whole ? 1.0 : share_of_day(s, f->day);

	if (share < 0.0 || (s->whole && has_no_fish(s, f->day)))
		s->out->loose_feed = s->out->loose_feed || f->feed_g > 0.0;
	if (s->log && f->feedings > 0)
		note_day(s, f, share > 0.0);
	if (!(share > 0.0))
		return;
	s->out->feed_g += share * f->feed_g;
	s->out->uneaten_g += share * f->uneaten_g;
	s->out->feedings += f->feedings;
}

/* Feed of part of a day: feedings from instant begin up to, not with, end. */
static enum err_code add_part_day(struct sharing *s, int64_t day, int64_t begin, int64_t end,
				  struct err *err)
{
	struct stmt *q = NULL;
	struct day_feed f = { .day = day };
	enum err_code rc = store_query(book_store(s->b), Q_TANK_FEED_PART_DAY, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":tank_id", s->tank_id);
	stmt_bind_int(q, ":day", day);
	stmt_bind_int(q, ":begin", begin);
	stmt_bind_int(q, ":end", end);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	f.feedings = stmt_int(q, 0);
	f.feed_g = (double)stmt_int(q, 1) / 1000.0;
	f.uneaten_g = (double)stmt_int(q, 2) / 1000.0;
	if (f.feedings > 0)
		add_day(s, &f);
out:
	stmt_done(q);
	return rc;
}

static enum err_code add_whole_days(struct sharing *s, int64_t first, int64_t last, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(s->b), Q_TANK_FEED_DAYS, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":tank_id", s->tank_id);
	stmt_bind_int(q, ":begin", first);
	stmt_bind_int(q, ":end", last);
	while (!(rc = stmt_row(q, err))) {
		const struct day_feed f = { .day = stmt_int(q, 0),
					    .feed_g = (double)stmt_int(q, 1) / 1000.0,
					    .uneaten_g = (double)stmt_int(q, 2) / 1000.0,
					    .feedings = stmt_int(q, 3) };
		add_day(s, &f);
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

/* All feed of the tank in the time: whole days from their sums, the days at either end from the
 * feedings. */
static enum err_code add_tank(struct sharing *s, struct err *err)
{
	int64_t first = book_day(s->b, s->begin), last = book_day(s->b, s->end - 1);
	const bool part_first = s->begin != book_day_start(s->b, first);
	const bool part_last = s->end != book_day_start(s->b, last + 1);
	enum err_code rc = ERR_NONE;

	if (first == last && (part_first || part_last))
		return add_part_day(s, first, s->begin, s->end, err);
	if (part_first)
		rc = add_part_day(s, first++, s->begin, INT64_MAX, err);
	if (part_last)
		last--;
	if (!rc && first <= last)
		rc = add_whole_days(s, first, last, err);
	if (!rc && part_last)
		rc = add_part_day(s, last + 1, INT64_MIN, s->end, err);
	return rc;
}

/* The same, and where: all of the time at hand when no feed of it is left out. */
static enum err_code add_logged_tank(struct sharing *s, struct err *err)
{
	struct feed_log *log = s->log;
	enum err_code rc;

	if (!log)
		return add_tank(s, err);
	log->n_before = log->n;
	log->skipped = log->broken = false;
	rc = add_tank(s, err);
	if (log->n == log->n_before + 1 && !log->skipped) {
		log->spans[log->n - 1].begin = s->begin;
		log->spans[log->n - 1].end = s->end;
	}
	return rc;
}

/*
 * The farm days in which the group had fish in the tank, cut to what is asked: outside them it has
 * no share. The day of the last row counts: the day's first state had them.  False: it never was
 * there.
 */
static bool presence(struct sharing *s)
{
	int64_t first = INT64_MAX, last = INT64_MIN;

	for (size_t i = 0; i < s->v->n_cells; i++) {
		const struct fish_view_cell *c = &s->v->cells[i];
		if (s->groups->of_cell[i] != (int)s->g || c->tank != s->tank ||
		    !was_there(c, s->out->begin, s->out->end))
			continue;
		const struct fish_row *end = &c->rows[c->n_rows - 1];
		first = sooner_of(first, book_day_start(s->b, book_day(s->b, c->rows[0].instant)));
		last = later_of(last,
				end->fish_after > 0
					? INT64_MAX
					: book_day_start(s->b, book_day(s->b, end->instant) + 1));
	}
	s->begin = later_of(s->out->begin, first);
	s->end = sooner_of(s->out->end, last);
	return s->begin < s->end;
}

/* The cells that were in the tank in the time at hand. */
static void list_cells(struct sharing *s)
{
	s->n_cells = 0;
	for (size_t i = 0; i < s->v->n_cells; i++)
		if (s->v->cells[i].tank == s->tank && was_there(&s->v->cells[i], s->begin, s->end))
			s->cells[s->n_cells++] = i;
}

/* By tank and loop all of the tank's feed counts, fish or none. */
static enum err_code whole_tank(struct sharing *s, struct err *err)
{
	const int64_t id = s->groups->by == BY_TANK ? s->tank_id : s->groups->loop_ids[s->tank];

	if (id != s->groups->ids[s->g])
		return ERR_NONE;
	s->whole = true;
	s->begin = s->out->begin;
	s->end = s->out->end;
	list_cells(s);
	return add_logged_tank(s, err);
}

static enum err_code shared_tank(struct sharing *s, struct err *err)
{
	if (!presence(s))
		return ERR_NONE;
	list_cells(s);
	return add_logged_tank(s, err);
}

static enum err_code share_feed(struct book *b, const struct fish_view *v,
				const struct conversion_groups *groups, size_t g,
				struct conversion *out, struct feed_log *log, struct err *err)
{
	struct arena arena; /* of its own: a report asks for thousands of groups and steps */
	struct sharing s = { .b = b, .v = v, .groups = groups, .g = g, .out = out, .log = log };
	const bool whole = groups->by == BY_TANK || groups->by == BY_LOOP;
	enum err_code rc = ERR_NONE;

	arena_init(&arena);
	s.cells = arena_array(&arena, v->n_cells + 1, sizeof(*s.cells));
	s.states = arena_array(&arena, v->n_cells + 1, sizeof(*s.states));
	bool *concerned = arena_array(&arena, v->tank_ids.n + 1, sizeof(*concerned));
	for (size_t i = 0; i < v->n_cells; i++)
		if (groups->of_cell[i] == (int)g)
			concerned[v->cells[i].tank] = true;
	for (s.tank = 0; !rc && s.tank < v->tank_ids.n; s.tank++) {
		s.tank_id = v->tank_ids.ids[s.tank];
		if (whole || concerned[s.tank])
			rc = whole ? whole_tank(&s, err) : shared_tank(&s, err);
	}
	arena_release(&arena);
	return rc;
}

enum err_code feed_of_group(struct book *b, const struct fish_view *v,
			    const struct conversion_groups *groups, size_t g,
			    struct conversion *out, struct err *err)
{
	return share_feed(b, v, groups, g, out, NULL, err);
}

enum err_code feed_spans_of_group(struct book *b, const struct fish_view *v,
				  const struct conversion_groups *groups, size_t g, int64_t begin,
				  int64_t end, struct arena *arena, struct feed_span **out,
				  size_t *n, struct err *err)
{
	struct conversion scratch = { .begin = begin, .end = end };
	struct feed_log log = { .arena = arena };
	const enum err_code rc = share_feed(b, v, groups, g, &scratch, &log, err);

	if (!rc) {
		*out = log.spans;
		*n = log.n;
	}
	return rc;
}

enum err_code feed_of_tank(struct book *b, int64_t tank_id, struct conversion *out, struct err *err)
{
	struct sharing s = { .b = b, .tank_id = tank_id, .out = out, .whole = true };

	s.begin = out->begin;
	s.end = out->end;
	return add_tank(&s, err);
}
