/* See alarm_eras.h. */
#include "book/alarm_eras.h"

#include <math.h>

#include "base/order.h"
#include "book/fish_view.h"
#include "book/place_fish.h"

/* A time without readings that began before what is asked for may have begun when fish came: as far
 * back as the longest stated age (quantity_old_after_s). */
enum { ERAS_BEFORE_S = 16 * 86400 };

/* Eras while they are found. */
struct finding {
	struct book *b;
	const struct alarm_place *place;
	struct fish_view fish;
	struct arena *arena;
	struct alarm_eras *out;
	size_t room;
};

static double stricter(double a, double b, bool upper)
{
	if (isnan(a) || isnan(b))
		return isnan(a) ? b : a;
	return upper ? fmin(a, b) : fmax(a, b);
}

/* The farm's own bounds of its probes. */
static void add_probe_limits(const struct alarm_place *place, struct alarm_era *e)
{
	for (size_t i = 0; i < place->n_probes; i++) {
		const struct place_probe *p = &place->probes[i];
		const enum quantity q = quantity_find(p->quantity);

		if (q == QUANTITY__MAX)
			continue;
		e->limits[q].low = stricter(e->limits[q].low, p->low, false);
		e->limits[q].high = stricter(e->limits[q].high, p->high, true);
	}
}

static enum err_code add_era(struct finding *f, int64_t from, struct err *err)
{
	struct limits limits[QUANTITY__MAX];
	struct id_set species;

	species_in_tanks(&f->fish, &f->place->tanks, from, f->arena, &species);
	enum err_code rc =
		water_limits(f->b, &species, book_day(f->b, from), f->arena, limits, err);
	if (rc)
		return rc;
	f->out->all = arena_grow(f->arena, f->out->all, f->out->n, &f->room, sizeof(*f->out->all));
	struct alarm_era *e = &f->out->all[f->out->n++];
	e->from = from;
	for (int q = 0; q < QUANTITY__MAX; q++)
		e->limits[q] = water_alarm_limits(&limits[q]);
	add_probe_limits(f->place, e);
	return ERR_NONE;
}

/* The next instant after `at` at which fish come to where none were, or the last one leaves;
 * INT64_MAX: none. */
static int64_t next_change(const struct finding *f, int64_t at)
{
	int64_t next = INT64_MAX;

	for (size_t c = 0; c < f->fish.n_cells; c++) {
		const struct fish_view_cell *cell = &f->fish.cells[c];

		if (id_set_find(&f->place->tanks, f->fish.tank_ids.ids[cell->tank]) < 0)
			continue;
		for (size_t i = fish_rows_until(cell, at); i < cell->n_rows; i++) {
			const int64_t was = i ? cell->rows[i - 1].fish_after : 0;

			if ((was > 0) == (cell->rows[i].fish_after > 0))
				continue;
			next = sooner_of(next, cell->rows[i].instant);
			break;
		}
	}
	return next;
}

enum err_code alarm_eras_find(struct book *b, const struct alarm_place *place, int64_t since,
			      int64_t until, struct arena *arena, struct alarm_eras *out,
			      struct err *err)
{
	struct finding f = { .b = b, .place = place, .arena = arena, .out = out };
	const int64_t only = place->tanks.n == 1 ? place->tanks.ids[0] : 0;
	const int64_t begin = since - ERAS_BEFORE_S;
	enum err_code rc = ERR_NONE;

	*out = (struct alarm_eras){ .n = 0 };
	if (place->tanks.n)
		rc = fish_view_open(b, begin, until, only, 0, arena, &f.fish, err);
	for (int64_t at = begin; !rc && at <= until; at = next_change(&f, at))
		rc = add_era(&f, at, err);
	return rc;
}

static bool has_any(const struct alarm_limits *l)
{
	return !(isnan(l->low_stop) && isnan(l->low) && isnan(l->high) && isnan(l->high_stop));
}

bool alarm_eras_watched(const struct alarm_eras *eras, enum quantity q, int64_t from,
			int64_t *begins, int64_t *ends)
{
	const struct alarm_era *all = eras->all;
	size_t e = 0;

	while (e < eras->n &&
	       (!has_any(&all[e].limits[q]) || (e + 1 < eras->n && all[e + 1].from <= from)))
		e++;
	if (e == eras->n)
		return false;
	/* Before the first one nothing changed: they stood there already. */
	*begins = e == 0 ? INT64_MIN : all[e].from;
	while (e < eras->n && has_any(&all[e].limits[q]))
		e++;
	*ends = e < eras->n ? all[e].from : ALARM_LASTS;
	return true;
}
