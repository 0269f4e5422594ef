/* See fish_fed.h. */
#include "book/fish_fed.h"

#include <math.h>

#include "book/fish_mean.h"
#include "book/fish_stretch.h"

/* A day without a feeding written down: fed as ever or not at all, half and half (a stand of
 * ours). */
static const double unfed_sd = 0.5; /* of the day's growth */

static bool is_open(const struct fish_view *v, const struct fish_view_cell *c,
		    const struct fish_row *r)
{
	return r->stretch >= 0 && r->fish_after > 0 &&
	       v->lots[c->lot].stretches[r->stretch].ends_at == NO_INSTANT;
}

/* The row of the stretch that a cell is in at row r at which it began there. */
static const struct fish_row *stretch_begin(const struct fish_view_cell *c,
					    const struct fish_row *r)
{
	while (r > c->rows && r[-1].stretch == r->stretch && r[-1].fish_after > 0)
		r--;
	return r;
}

static int64_t needed_since(struct book *b, const struct fish_view *v, size_t tank, int64_t begin)
{
	int64_t first = INT64_MAX;

	for (size_t i = 0; i < v->n_cells; i++) {
		const struct fish_view_cell *c = &v->cells[i];
		for (size_t r = 0; c->tank == tank && r < c->n_rows; r++) {
			if (!is_open(v, c, &c->rows[r]) ||
			    (r + 1 < c->n_rows && c->rows[r + 1].instant < begin))
				continue;
			const int64_t day = book_day(b, stretch_begin(c, &c->rows[r])->instant);
			first = day < first ? day : first;
		}
	}
	return first;
}

static enum err_code load_tank(struct book *b, int64_t tank_id, struct tank_feed *f,
			       struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_TANK_FEED_DAYS, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":tank_id", tank_id);
	stmt_bind_int(q, ":begin", f->first_day);
	stmt_bind_int(q, ":end", f->first_day + (int64_t)f->n - 1);
	while (!(rc = stmt_row(q, err)))
		f->eaten_g[stmt_int(q, 0) - f->first_day] =
			(double)(stmt_int(q, 1) - stmt_int(q, 2)) / 1000.0;
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

enum err_code fish_feeds_load(struct book *b, int64_t begin, int64_t end, struct arena *arena,
			      struct fish_view *v, struct err *err)
{
	enum err_code rc = ERR_NONE;

	v->feeds = arena_array(arena, v->tank_ids.n + 1, sizeof(*v->feeds));
	for (size_t t = 0; !rc && t < v->tank_ids.n; t++) {
		const int64_t first = needed_since(b, v, t, begin), last = book_day(b, end);
		struct tank_feed *f = &v->feeds[t];
		if (first > last)
			continue;
		*f = (struct tank_feed){ .first_day = first, .n = (size_t)(last - first + 1) };
		f->eaten_g = arena_array(arena, f->n, sizeof(*f->eaten_g));
		for (size_t i = 0; i < f->n; i++)
			f->eaten_g[i] = NAN;
		rc = load_tank(b, v->tank_ids.ids[t], f, err);
	}
	return rc;
}

/* The cell's part of its tank's fish at an instant, by biomass (by number when any is not
 * known). */
static double share_of_tank(const struct fish_view *v, const struct fish_view_cell *c,
			    const struct fish_standing *st, int64_t at)
{
	double mass = st->biomass_g, fish = (double)st->fish;

	for (size_t i = 0; i < v->n_cells; i++) {
		const struct fish_view_cell *o = &v->cells[i];
		const size_t n = o->tank == c->tank && o != c ? fish_rows_until(o, at) : 0;
		if (n == 0 || o->rows[n - 1].fish_after == 0)
			continue;
		const struct fish_row *r = &o->rows[n - 1];
		const struct fish_view_lot *lot = &v->lots[o->lot];
		fish += (double)r->fish_after;
		mass += r->stretch < 0 ? NAN
				       : (double)r->fish_after *
						 fish_mean_at(r, &lot->stretches[r->stretch],
							      &lot->facts.info,
							      &v->temperatures[o->tank], at, NULL);
	}
	return isnan(mass) ? (double)st->fish / fish : st->biomass_g / mass;
}

/* A walk over the cell's time in its open stretch, piece by piece: a piece ends with its day or at
 * a row. */
struct walk {
	const struct fish_row *row, *last;
	const struct temperature_days *t;
	const struct tank_feed *feed;
	double cap_c, room_per_g; /* gain that a gram of the tank's feed may make here */
	int64_t at;
	double w;         /* mean at `at`, as if never short of feed */
	double lost;      /* on the growth scale, by days with too little feed */
	double gained_g;  /* today */
	double unfed_run; /* growth span of days without a record */
};

static double day_feed(const struct walk *k, int64_t day)
{
	const int64_t i = day - k->feed->first_day;

	return i >= 0 && i < (int64_t)k->feed->n ? k->feed->eaten_g[i] : NAN;
}

/* Takes from the piece's growth what the day's feed cannot have made. */
static void hold_piece(struct walk *k, double after, double eaten_g)
{
	const enum growth_model model = k->row->model;
	const double fish = (double)k->row->fish_after;
	const double from = growth_unscale(model, growth_scale(model, k->w) - k->lost);
	const double end = growth_scale(model, after) - k->lost;
	const double gain = fish * (growth_unscale(model, end) - from);
	const double left = eaten_g * k->room_per_g - k->gained_g;
	const double room = left > 0.0 ? left : 0.0;

	if (gain > room)
		k->lost += end - growth_scale(model, from + room / fish);
	k->gained_g += gain > room ? room : gain;
}

static void walk_piece(struct walk *k, int64_t day, int64_t until)
{
	const struct growth_span span = temperature_span(k->t, k->cap_c, k->cap_c, k->at, until);
	const double after = growth_weight_g(k->row->model, k->row->k, k->w, &span);
	const double eaten = day_feed(k, day);

	if (isnan(eaten))
		k->unfed_run += stretch_run(k->row->model, &span);
	else if (!isnan(k->room_per_g))
		hold_piece(k, after, eaten);
	k->at = until;
	k->w = after;
	if (k->row < k->last && k->row[1].instant <= until) {
		k->row++;
		k->w = k->row->mean_g;
	}
}

static void walk_to(struct walk *k, int64_t end)
{
	const struct temperature_days *t = k->t;
	int64_t i = 0;

	while (i + 1 < (int64_t)t->n && t->starts[i + 1] <= k->at)
		i++;
	while (k->at < end || (k->row < k->last && k->row[1].instant <= k->at)) {
		int64_t until = i < (int64_t)t->n ? t->starts[i + 1] : end;
		if (until > end)
			until = end;
		if (k->row < k->last && k->row[1].instant < until)
			until = k->row[1].instant;
		walk_piece(k, t->first_day + i, until);
		if (i < (int64_t)t->n && k->at >= t->starts[i + 1]) {
			i++;
			k->gained_g = 0.0;
		}
	}
}

void fish_hold_to_feed(const struct fish_view *v, const struct fish_view_cell *c,
		       const struct fish_standing *st, int64_t at, double *mean_g, double *se_g)
{
	const struct fish_view_lot *lot = &v->lots[c->lot];
	const struct fish_row *first = stretch_begin(c, st->row);

	if (!is_open(v, c, st->row) || isnan(*mean_g) || st->row->model == GROWTH_NONE)
		return;
	struct walk k = {
		.row = first,
		.last = st->row,
		.t = &v->temperatures[c->tank],
		.feed = &v->feeds[c->tank],
		.cap_c = lot->facts.info.optimum_c,
		.room_per_g = share_of_tank(v, c, st, at) / lot->facts.conversion_floor,
		.at = first->instant,
		.w = first->mean_g,
	};
	if (isnan(k.w))
		return;
	walk_to(&k, at);
	const enum growth_model model = st->row->model;
	*mean_g = growth_unscale(model, growth_scale(model, *mean_g) - k.lost);
	if (se_g)
		*se_g = hypot(*se_g, unfed_sd * fabs(st->row->k) * k.unfed_run /
					     growth_d_scale(model, *mean_g));
}

int64_t fish_held_since(const struct fish_view *v, const struct fish_view_cell *c,
			const struct fish_row *r)
{
	return is_open(v, c, r) && r->model != GROWTH_NONE ? stretch_begin(c, r)->instant
							   : NO_INSTANT;
}
