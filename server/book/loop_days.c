/* See loop_days.h. */
#include "book/loop_days.h"

#include <math.h>
#include <string.h>

#include "book/crop_ledger.h"
#include "book/crop_planted.h"
#include "book/inside.h"
#include "book/tank_facts.h"
#include "domain/loading.h"

/*
 * g of TAN a m2 of media and day, where a filter has no rate of its own: 0.57 g of ammonia,
 * Somerville and others (2014), FAO technical paper 589, told as nitrogen.
 */
static const double usual_rate_g_m2_day = 0.57 * 14.007 / 17.031;

static enum err_code load_filters(struct book *b, struct water_loop *l, int64_t day,
				  struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_FILTERS_OF_LOOP, &q, err);

	l->filter_g_day = NAN;
	if (rc)
		goto out;
	stmt_bind_int(q, ":loop_id", l->id);
	stmt_bind_int(q, ":day", day);
	while (!(rc = stmt_row(q, err))) {
		const bool assumed = stmt_is_null(q, 1);
		const double g = filter_capacity_g_day(
			stmt_real(q, 0), assumed ? usual_rate_g_m2_day : stmt_real(q, 1));

		l->filter_rate_assumed |= assumed;
		l->filter_g_day = isnan(l->filter_g_day) ? g : l->filter_g_day + g;
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

enum err_code water_loops(struct book *b, int64_t day, struct arena *arena, struct water_loop **out,
			  size_t *n, struct err *err)
{
	struct stmt *q = NULL;
	struct water_loop *loops = NULL;
	size_t found = 0, room = 0;
	enum err_code rc = store_query(book_store(b), Q_LOOPS_IN_USE, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":day", day);
	while (!(rc = stmt_row(q, err))) {
		loops = arena_grow(arena, loops, found, &room, sizeof(*loops));
		loops[found++] = (struct water_loop){ .id = stmt_int(q, 0),
						      .code = arena_strdup(arena, stmt_text(q, 1)),
						      .volume_l = stmt_real(q, 3),
						      .makeup_l_day = stmt_real(q, 4),
						      .ratio_min = stmt_real(q, 5),
						      .ratio_max = stmt_real(q, 6) };
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	for (size_t i = 0; !rc && i < found; i++)
		rc = load_filters(b, &loops[i], day, err);
	if (!rc) {
		*out = loops;
		*n = found;
	}
	return rc;
}

struct dated_number { /* what a thing had from a day on */
	int64_t of, from_day;
	double value;
};

struct loading {
	struct book *b;
	struct arena *arena;
	const struct water_loop *loops;
	struct loop_days *out;
	struct tank_loop *tanks; /* as those of struct loop_days */
	size_t n_tanks, tanks_room;
	struct dated_number *proteins; /* likewise */
	size_t n_proteins;
	const struct crop_bed_facts *beds;
	int64_t *bed_loops; /* as beds */
	size_t n_beds;
};

static void add_tank(struct loading *l, int64_t tank, int64_t from_day, int64_t loop)
{
	l->tanks = arena_grow(l->arena, l->tanks, l->n_tanks, &l->tanks_room, sizeof(*l->tanks));
	l->tanks[l->n_tanks++] =
		(struct tank_loop){ .tank = tank, .from_day = from_day, .loop = loop };
}

static enum err_code load_tanks(struct loading *l, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(l->b), Q_TANKS_WITH_LOOP, &q, err);

	while (!rc && !(rc = stmt_row(q, err)))
		add_tank(l, stmt_int(q, 0), INT64_MIN, stmt_int(q, 1));
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

static enum err_code load_loop_changes(struct loading *l, struct err *err)
{
	struct loop_change *changes = NULL;
	size_t n = 0;
	enum err_code rc = loop_changes_load(l->b, l->arena, &changes, &n, err);

	for (size_t i = 0; i < n; i++)
		add_tank(l, changes[i].tank_id, changes[i].from_day, changes[i].loop_id);
	return rc;
}

static enum err_code load_proteins(struct loading *l, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(l->b), Q_FEED_PROTEINS, &q, err);

	while (!rc && !(rc = stmt_row(q, err))) {
		l->proteins = arena_grow(l->arena, l->proteins, l->n_proteins, &room,
					 sizeof(*l->proteins));
		l->proteins[l->n_proteins++] =
			(struct dated_number){ .of = stmt_int(q, 0),
					       .from_day = stmt_int_or(q, 1, INT64_MIN),
					       .value = stmt_real(q, 2) };
	}
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

static double protein_of(const struct loading *l, int64_t feed, int64_t day)
{
	double pct = NAN;

	for (size_t i = 0; i < l->n_proteins; i++)
		if (l->proteins[i].of == feed && l->proteins[i].from_day <= day)
			pct = l->proteins[i].value;
	return pct;
}

static struct loop_day *day_of(struct loop_days *d, size_t loop, int64_t day)
{
	return &d->days[loop * (size_t)(d->to_day - d->from_day + 1) + (size_t)(day - d->from_day)];
}

/* 0: a tank that there is not. */
static int64_t loop_of_tank(const struct tank_loop *tanks, size_t n, int64_t tank, int64_t day)
{
	int64_t loop = 0;

	for (size_t i = 0; i < n; i++)
		if (tanks[i].tank == tank && tanks[i].from_day <= day)
			loop = tanks[i].loop;
	return loop;
}

/* The day of the loop that a tank was in; NULL: in none of those asked. */
static struct loop_day *day_of_tank(const struct loading *l, int64_t tank, int64_t day)
{
	struct loop_days *d = l->out;
	const int64_t loop = loop_of_tank(l->tanks, l->n_tanks, tank, day);

	for (size_t i = 0; i < d->n_loops; i++)
		if (l->loops[i].id == loop)
			return day_of(d, i, day);
	return NULL;
}

static enum err_code add_feed(struct loading *l, int64_t tank, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(l->b), Q_TANK_FEED_BY_FEED, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":tank_id", tank);
	stmt_bind_int(q, ":from", l->out->from_day);
	stmt_bind_int(q, ":to", l->out->to_day);
	while (!(rc = stmt_row(q, err))) {
		const int64_t day = stmt_int(q, 0), mg = stmt_int(q, 3), left = stmt_int(q, 4);
		struct loop_day *d = day_of_tank(l, tank, day);

		if (!d)
			continue;
		d->feedings += stmt_int(q, 2);
		d->feed_mg += mg;
		d->uneaten_mg += left;
		d->protein_g +=
			(double)(mg - left) / 1000.0 * protein_of(l, stmt_int(q, 1), day) / 100.0;
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

static enum err_code load_beds(struct loading *l, struct err *err)
{
	struct crop_bed_facts *beds;
	struct stmt *q = NULL;
	size_t n = 0;
	enum err_code rc = crop_ledger_beds(l->b, l->arena, &beds, &l->n_beds, err);

	if (rc)
		return rc;
	l->beds = beds;
	l->bed_loops = arena_array(l->arena, l->n_beds + 1, sizeof(*l->bed_loops));
	rc = store_query(book_store(l->b), Q_BEDS_WITH_LOOP, &q, err);
	while (!rc && !(rc = stmt_row(q, err)))
		if (n < l->n_beds) /* both are listed by id */
			l->bed_loops[n++] = stmt_int(q, 1);
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

static void add_m2(int64_t lot, int64_t bed, double m2, void *with)
{
	double *sum = with;

	(void)lot, (void)bed;
	*sum += m2;
}

/* Area of the rafts of one bed that carry a plant. */
static double planted_m2(const struct crop_state *s, const struct crop_bed *bed)
{
	double m2 = 0.0;

	crop_planted_each(s, bed, add_m2, &m2);
	return m2;
}

static void add_planted(const struct crop_state *state, int64_t day, void *with)
{
	struct loading *l = with;

	for (size_t i = 0; i < state->n_beds; i++) {
		if (state->beds[i].stage != CROP_RAFTS)
			continue;
		for (size_t k = 0; k < l->out->n_loops; k++)
			if (l->loops[k].id == l->bed_loops[i])
				day_of(l->out, k, day)->planted_m2 +=
					planted_m2(state, &state->beds[i]);
	}
}

enum err_code loop_days_load(struct book *b, const struct water_loop *loops, size_t n_loops,
			     int64_t from_day, int64_t to_day, int64_t planted_from,
			     struct arena *arena, struct loop_days *out, struct err *err)
{
	struct loading l = { .b = b, .arena = arena, .loops = loops, .out = out };
	const size_t n_days = (size_t)(to_day - from_day + 1);
	enum err_code rc;

	*out = (struct loop_days){ .from_day = from_day,
				   .to_day = to_day,
				   .loops = loops,
				   .n_loops = n_loops,
				   .days = arena_array(arena, n_loops * n_days + 1,
						       sizeof(struct loop_day)) };
	rc = load_tanks(&l, err);
	const size_t n_tanks = l.n_tanks;
	if (!rc)
		rc = load_loop_changes(&l, err);
	out->tanks = l.tanks;
	out->n_tanks = l.n_tanks;
	if (!rc)
		rc = load_proteins(&l, err);
	for (size_t i = 0; !rc && i < n_tanks; i++)
		rc = add_feed(&l, l.tanks[i].tank, err);
	if (!rc)
		rc = load_beds(&l, err);
	return rc ? rc
		  : crop_ledger_days(b, planted_from, to_day, l.beds, l.n_beds, add_planted, &l,
				     err);
}

const struct loop_day *loop_day_of(const struct loop_days *d, size_t loop, int64_t day)
{
	return &d->days[loop * (size_t)(d->to_day - d->from_day + 1) + (size_t)(day - d->from_day)];
}

/* Ids of the tanks that were in a loop on a day, with commas. */
static const char *tanks_on(const struct loop_days *d, size_t loop, int64_t day,
			    struct arena *arena)
{
	struct id_set in = { 0 };

	for (size_t i = 0; i < d->n_tanks; i++)
		if (loop_of_tank(d->tanks, d->n_tanks, d->tanks[i].tank, day) == d->loops[loop].id)
			id_set_add(&in, d->tanks[i].tank, arena);
	return explained_ids(in.ids, in.n, arena);
}

static void list_span(const struct loop_days *d, size_t loop, const char *tanks, int64_t first,
		      int64_t last, const char *part, struct explained_lists *lists)
{
	struct explained_entries *e;
	int64_t feedings = 0, feed_mg = 0;

	for (int64_t day = first; day <= last; day++) {
		feedings += loop_day_of(d, loop, day)->feedings;
		feed_mg += loop_day_of(d, loop, day)->feed_mg;
	}
	if (!feedings)
		return;
	e = explained_add(lists, "feedings",
			  arena_printf(lists->arena, "/api/feedings?tank_id=%s&from=%s&to=%s",
				       tanks, book_day_text(lists->arena, first),
				       book_day_text(lists->arena, last)));
	e->count = feedings;
	e->sum = (double)feed_mg / 1000.0;
	e->sum_of = "amount_g";
	e->part = part;
}

void loop_days_list_feedings(const struct loop_days *d, size_t loop, int64_t first, int64_t last,
			     const char *part, struct explained_lists *lists)
{
	const char *tanks = tanks_on(d, loop, first, lists->arena);
	int64_t since = first;

	for (int64_t day = first + 1; day <= last; day++) {
		const char *now = tanks_on(d, loop, day, lists->arena);

		if (strcmp(now, tanks) == 0)
			continue;
		list_span(d, loop, tanks, since, day - 1, part, lists);
		tanks = now;
		since = day;
	}
	list_span(d, loop, tanks, since, last, part, lists);
}

void loop_list_planted(int64_t loop_id, int64_t day, struct explained_lists *lists)
{
	static const struct {
		const char *kind, *bed, *part;
	} about[] = {
		{ "crop-moves", "to_bed_id", "planted" },
		{ "crop-moves", "from_bed_id", "cleared" },
		{ "crop-losses", "bed_id", "planted" },
		{ "crop-counts", "bed_id", "planted" },
		{ "harvests", "bed_id", "planted" },
	};

	for (size_t i = 0; i < sizeof(about) / sizeof(about[0]); i++)
		explained_add(lists, about[i].kind,
			      arena_printf(lists->arena,
					   "/api/%s?%s.loop_id=%lld&%s.role=raft&to=%s",
					   about[i].kind, about[i].bed, (long long)loop_id,
					   about[i].bed, book_day_text(lists->arena, day)))
			->part = about[i].part;
}

double loop_day_eaten_g(const struct loop_day *d)
{
	return (double)(d->feed_mg - d->uneaten_mg) / 1000.0;
}

struct loop_week loop_week_of(const struct loop_days *d, size_t loop, int64_t last)
{
	enum { WEEK = 7 };
	struct loop_week w = { .feed_g_day = 0.0 };
	double feed_g = 0.0, protein_g = 0.0, m2_days = 0.0;

	for (int64_t day = last - WEEK + 1; day <= last; day++) {
		const struct loop_day *x = loop_day_of(d, loop, day);

		m2_days += x->planted_m2;
		if (!x->feedings)
			continue;
		w.days++;
		feed_g += loop_day_eaten_g(x);
		protein_g += x->protein_g;
	}
	w.feed_g_day = w.days ? feed_g / w.days : NAN;
	w.protein_pct = feed_g > 0.0 ? protein_g / feed_g * 100.0 : NAN;
	w.planted_m2 = m2_days / WEEK;
	w.ratio_g_m2_day = w.planted_m2 > 0.0 ? w.feed_g_day / w.planted_m2 : NAN;
	return w;
}
