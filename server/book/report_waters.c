/*
 * Report waters: the one line of each loop that stands at the top of every screen: oxygen,
 * un-ionised ammonia, what is out of its limits, feed per planted area, and when base is due.
 */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "book/base_diary.h"
#include "book/place_fish.h"
#include "book/report.h"
#include "book/report_list.h"
#include "book/water.h"
#include "domain/balance.h"

struct waters_row {
	const struct explanation *explain; /* none: ask reports water, loading and base */
	const char *loop;
	double do_mg_l;
	const char *do_place;
	int64_t do_at;
	const char *do_state;
	double temperature_c;
	int64_t temperature_at;
	double nh3_n_mg_l;
	const char *nh3_place, *nh3_bound;
	int64_t nh3_at;
	const char *nh3_state;
	int64_t out_count;
	const char *out_place, *out_quantity, *out_state;
	double feed_g_m2_day;
	const char *band;
	int64_t due_on;
	const char *base_state;
};

static const struct field columns[] = {
	FIELD(waters_row, loop, KIND_CODE),
	FIELD(waters_row, do_mg_l, KIND_REAL, .unit = "mg/L"),
	FIELD(waters_row, do_place, KIND_CODE),
	FIELD(waters_row, do_at, KIND_TIME),
	FIELD(waters_row, do_state, KIND_TEXT),
	FIELD(waters_row, temperature_c, KIND_REAL, .unit = "degC"),
	FIELD(waters_row, temperature_at, KIND_TIME),
	FIELD(waters_row, nh3_n_mg_l, KIND_REAL, .unit = "mg/L"),
	FIELD(waters_row, nh3_place, KIND_CODE),
	FIELD(waters_row, nh3_bound, KIND_TEXT),
	FIELD(waters_row, nh3_at, KIND_TIME),
	FIELD(waters_row, nh3_state, KIND_TEXT),
	FIELD(waters_row, out_count, KIND_INTEGER),
	FIELD(waters_row, out_place, KIND_CODE),
	FIELD(waters_row, out_quantity, KIND_TEXT),
	FIELD(waters_row, out_state, KIND_TEXT),
	FIELD(waters_row, feed_g_m2_day, KIND_REAL, .unit = "g/m2/day"),
	FIELD(waters_row, band, KIND_TEXT),
	FIELD(waters_row, due_on, KIND_DAY),
	FIELD(waters_row, base_state, KIND_TEXT),
};

/* A reading of a place, judged. */
struct seen {
	enum quantity quantity;
	const char *place, *state, *bound;
	double value;
	int64_t at;
	bool is_old;
};

static bool is_old(enum quantity q, int64_t at, int64_t now)
{
	const int64_t old_s = quantity_old_after_s(q);

	return old_s && at < now - old_s;
}

/* Of two readings that which stands for the loop: a fresh one before an old one, then the worse
 * one. */
static bool stands_before(const struct seen *a, int64_t at, double value, bool lower_is_worse,
			  int64_t now)
{
	if (isnan(value) || a->is_old != is_old(a->quantity, at, now))
		return isnan(value) || !a->is_old;
	return lower_is_worse ? a->value < value : a->value > value;
}

static int badness(const char *state)
{
	static const char *const words[] = { "low", "high", "stop_low", "stop_high" };

	for (int i = 0; state && i < 4; i++)
		if (strcmp(words[i], state) == 0)
			return 1 + i / 2;
	return 0;
}

static void add_seen(struct waters_row *w, const struct seen *s, int64_t now)
{
	if (s->quantity == QUANTITY_DO && stands_before(s, w->do_at, w->do_mg_l, true, now)) {
		w->do_mg_l = s->value;
		w->do_place = s->place;
		w->do_at = s->at;
		w->do_state = s->state;
	}
	if (s->quantity == QUANTITY_NH3 && stands_before(s, w->nh3_at, w->nh3_n_mg_l, false, now)) {
		w->nh3_n_mg_l = s->value;
		w->nh3_place = s->place;
		w->nh3_bound = s->bound;
		w->nh3_at = s->at;
		w->nh3_state = s->state;
	}
	if (s->quantity == QUANTITY_TEMPERATURE &&
	    (isnan(w->temperature_c) || s->at > w->temperature_at)) {
		w->temperature_c = s->value;
		w->temperature_at = s->at;
	}
	if (s->is_old || !badness(s->state))
		return;
	w->out_count++;
	if (badness(s->state) <= badness(w->out_state))
		return;
	w->out_place = s->place;
	w->out_quantity = quantity_name(s->quantity);
	w->out_state = s->state;
}

/* The line looks no further back: what is older says nothing of today. */
enum { BACK_S = 16 * 86400 };

static enum err_code add_place(struct book *b, const struct fish_view *v,
			       const struct water_place *p, int64_t now, struct arena *arena,
			       struct waters_row *row, struct err *err)
{
	struct reading readings[QUANTITY__MAX];
	struct limits limits[QUANTITY__MAX];
	struct id_set tanks, species;
	enum err_code rc = water_newest(b, p->id, now - BACK_S, now, readings, err);

	if (!rc)
		rc = place_tanks(b, p->id, arena, &tanks, err);
	if (rc)
		return rc;
	species_in_tanks(v, &tanks, now, arena, &species);
	rc = water_limits(b, &species, book_day(b, now), arena, limits, err);
	for (int i = 0; !rc && i < QUANTITY__MAX; i++) {
		const struct reading *r = &readings[i];
		const enum quantity q = (enum quantity)i;

		if (isnan(r->value) || r->at < now - BACK_S)
			continue;
		add_seen(row,
			 &(struct seen){ .quantity = q,
					 .place = p->code,
					 .state = water_state(r, &limits[i]),
					 .bound = bound_word(r->bound),
					 .value = r->value,
					 .at = r->at,
					 .is_old = is_old(q, r->at, now) },
			 now);
	}
	return rc;
}

static enum err_code add_waters(struct book *b, int64_t now, struct arena *arena,
				const struct water_loop *loops, struct waters_row *rows, size_t n,
				struct err *err)
{
	struct water_place *places;
	struct fish_view v;
	size_t n_places;
	enum err_code rc = water_places(b, book_day(b, now), arena, &places, &n_places, err);

	if (!rc)
		rc = fish_view_open(b, now, now, 0, 0, arena, &v, err);
	for (size_t i = 0; !rc && i < n_places; i++)
		for (size_t k = 0; !rc && k < n; k++)
			if (loops[k].id == places[i].loop_id)
				rc = add_place(b, &v, &places[i], now, arena, &rows[k], err);
	return rc;
}

/* A loop's row before its water is looked at: feed and base. */
static struct waters_row row_of(const struct water_loop *l, double ratio_g_m2_day,
				const struct base_diary *d)
{
	static const char *const bands[] = { "below", "within", "above" };
	struct waters_row row = { .loop = l->code,
				  .do_mg_l = NAN,
				  .do_at = NO_INT,
				  .temperature_c = NAN,
				  .temperature_at = NO_INT,
				  .nh3_n_mg_l = NAN,
				  .nh3_at = NO_INT,
				  .feed_g_m2_day = ratio_g_m2_day,
				  .due_on = d->due_on,
				  .base_state = d->state };

	if (!isnan(ratio_g_m2_day) && !(isnan(l->ratio_min) && isnan(l->ratio_max)))
		row.band = bands[1 + feed_band_side(ratio_g_m2_day, l->ratio_min, l->ratio_max)];
	return row;
}

static enum err_code run(struct book *b, const struct report_query *q, struct report_result *out,
			 struct err *err)
{
	enum { WEEK = 7 };
	const int64_t today = book_day(b, q->now);
	struct water_loop *loops;
	struct loop_days days;
	size_t n = 0;
	enum err_code rc = water_loops(b, today, out->arena, &loops, &n, err);

	if (!rc)
		rc = loop_days_load(b, loops, n, today - DIARY_DAYS + 1, today, today - WEEK,
				    out->arena, &days, err);
	if (rc)
		return rc;
	struct waters_row *rows = arena_array(out->arena, n + 1, sizeof(*rows));
	for (size_t i = 0; !rc && i < n; i++) {
		const double ratio = loop_week_of(&days, i, today - 1).ratio_g_m2_day;
		struct base_diary d;

		rc = base_diary(b, &loops[i], &days, i, q->now, out->arena, &d, err);
		if (!rc)
			rows[i] = row_of(&loops[i], ratio, &d);
	}
	if (!rc)
		rc = add_waters(b, q->now, out->arena, loops, rows, n, err);
	out->rows = (const char *)rows;
	out->n_rows = n;
	out->from_day = out->to_day = today;
	out->as_of = q->now;
	return rc;
}

const struct report waters_report = {
	.name = "waters",
	.summary = "The line of each loop for the top of every screen",
	.columns = columns,
	.n_columns = sizeof(columns) / sizeof(columns[0]),
	.row_size = sizeof(struct waters_row),
	.explain_offset = offsetof(struct waters_row, explain),
	.changes_by_clock = true,
	.uses_readings = true,
	.run = run,
};
