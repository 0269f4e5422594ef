/* See base_diary.h. */
#include "book/base_diary.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/order.h"
#include "book/loop_tests.h"
#include "book/report.h"
#include "domain/base_use.h"
#include "domain/dosing.h"
#include "domain/learn.h"
#include "model/kinds.h"

/*
 * Stands of ours.  A test of alkalinity is good to 5 mg/L; an interval shorter than 6 days says too
 * little beside that; a farm without a rhythm of its own doses every 3 days ("several times a
 * week", SRAC 454, from memory); one farm differs from the handbook by 30 %.
 */
static const double test_sd_mg_l = 5.0, handbook_spread = 0.3, usual_floor_mg_l = 40.0,
		    usual_g_kg = 200.0;
enum { SHORTEST_DAYS = 6, USUAL_INTERVAL_DAYS = 3, OLD_TEST_DAYS = 15 };

static const struct {
	const char *formula;
	enum base_material base;
	const char *brings; /* NULL: neither */
} bases[] = {
	{ "KOH", BASE_KOH, "potassium" },       { "NaOH", BASE_NAOH, NULL },
	{ "Ca(OH)2", BASE_CA_OH_2, "calcium" }, { "CaO", BASE_CAO, "calcium" },
	{ "KHCO3", BASE_KHCO3, "potassium" },   { "NaHCO3", BASE_NAHCO3, NULL },
	{ "K2CO3", BASE_K2CO3, "potassium" },   { "Na2CO3", BASE_NA2CO3, NULL },
	{ "CaCO3", BASE_CACO3, "calcium" },     { "Mg(OH)2", BASE_MG_OH_2, NULL },
	{ "MgCO3", BASE_MGCO3, NULL },
};
enum { N_BASES = sizeof(bases) / sizeof(bases[0]) };

static int base_index(const char *formula)
{
	for (int i = 0; formula && i < N_BASES; i++)
		if (strcasecmp(bases[i].formula, formula) == 0)
			return i;
	return -1;
}

struct dose {
	int64_t at, day;
	double caco3_g; /* NAN: its formula is not known */
	int base;       /* -1 */
	const char *name;
};

struct diary {
	struct book *b;
	const struct water_loop *loop;
	const struct loop_days *days;
	size_t at_loop;
	int64_t now, today;
	struct arena *arena;
	struct base_diary *out;
	struct loop_test *tests;
	size_t n_tests;
	struct dose *doses;
	size_t n_doses;
	double feed_kg_day;
};

static enum err_code load_doses(struct diary *d, int64_t from, struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(d->b), Q_BASE_DOSES, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":loop_id", d->loop->id);
	stmt_bind_int(q, ":from", from);
	stmt_bind_int(q, ":to", d->now);
	while (!(rc = stmt_row(q, err))) {
		const int base = base_index(stmt_text(q, 3));
		const double pure = stmt_is_null(q, 4) ? 1.0 : stmt_real(q, 4) / 100.0;

		d->doses = arena_grow(d->arena, d->doses, d->n_doses, &room, sizeof(*d->doses));
		d->doses[d->n_doses++] = (struct dose){
			.at = stmt_int(q, 0),
			.day = stmt_int(q, 1),
			.caco3_g = base < 0 ? NAN
					    : stmt_real(q, 2) * pure *
						      base_alkalinity_per_gram(bases[base].base),
			.base = base,
			.name = arena_strdup(d->arena, stmt_text(q, 5)),
		};
		d->out->unreadable += base < 0;
		chosen_add(&d->out->under, &doses_kind, NULL, stmt_int(q, 6), d->arena);
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

static double dosed_g(const struct diary *d, int64_t after, int64_t until)
{
	double g = 0.0;

	for (size_t i = 0; i < d->n_doses; i++)
		if (d->doses[i].at > after && d->doses[i].at <= until)
			g += d->doses[i].caco3_g; /* NAN spoils the interval, as it should */
	return g;
}

/* Feed of the days [from, to), a day without a record as the mean of the others; NAN when over a
 * fifth lack one. */
static double feed_kg(const struct diary *d, int64_t from, int64_t to)
{
	double kg = 0.0;
	int64_t recorded = 0;

	for (int64_t day = from; day < to; day++) {
		const struct loop_day *x = loop_day_of(d->days, d->at_loop, day);

		recorded += x->feedings > 0;
		kg += loop_day_eaten_g(x) / 1000.0;
	}
	if (to <= from)
		return 0.0;
	if (5 * recorded < 4 * (to - from))
		return NAN;
	return kg / (double)recorded * (double)(to - from);
}

struct interval {
	double used_g_kg, variance;
};

/* The uses of base between tests, SHORTEST_DAYS days or more apart; returns how many. */
static size_t intervals_of(const struct diary *d, struct interval *out)
{
	const struct loop_test *a = NULL;
	size_t n = 0;

	for (size_t i = 0; i < d->n_tests; i++) {
		const struct loop_test *z = &d->tests[i];

		if (isnan(z->alkalinity_mg_l))
			continue;
		if (a && z->day - a->day < SHORTEST_DAYS)
			continue;
		if (a) {
			const double kg = feed_kg(d, a->day, z->day), volume_l = d->loop->volume_l;
			const double used =
				base_used_g(dosed_g(d, a->at, z->at), a->alkalinity_mg_l,
					    z->alkalinity_mg_l, volume_l);

			out[n] = (struct interval){ used / kg,
						    base_use_variance(volume_l, kg, test_sd_mg_l) };
			n += isfinite(out[n].used_g_kg) && isfinite(out[n].variance);
		}
		a = z;
	}
	return n;
}

/*
 * Standard error of the next interval's use: what learning says, until there are enough own ones to
 * show their own spread (their tests' error included).
 */
static double next_se(const struct learning *l, const struct interval *own, size_t n)
{
	enum { ENOUGH = 4 };
	double sum = 0.0, squares = 0.0;

	if (n < ENOUGH)
		return learn_next_se(l);
	for (size_t i = 0; i < n; i++)
		sum += own[i].used_g_kg;
	for (size_t i = 0; i < n; i++) {
		const double off = own[i].used_g_kg - sum / (double)n;
		squares += off * off;
	}
	return sqrt(squares / (double)(n - 1) * (1.0 + 1.0 / (double)n));
}

/* What the farm's own tests teach, interval by interval. */
static void learn(struct diary *d)
{
	const struct loop_week week = loop_week_of(d->days, d->at_loop, d->today - 1);
	struct interval *own = arena_array(d->arena, d->n_tests + 1, sizeof(*own));
	const size_t n = intervals_of(d, own);
	struct learning l;

	d->feed_kg_day = week.feed_g_day / 1000.0;
	d->out->handbook_g_kg = base_use_handbook_g_kg(week.protein_pct);
	learn_begin(&l, d->out->handbook_g_kg,
		    handbook_spread *
			    (isnan(d->out->handbook_g_kg) ? usual_g_kg : d->out->handbook_g_kg));
	for (size_t i = 0; i < n; i++)
		learn_add(&l, own[i].used_g_kg, own[i].variance);
	d->out->used_g_kg = learn_value(&l);
	d->out->used_se_g_kg = next_se(&l, own, n);
	d->out->handbook_share = learn_handbook_share(&l);
	d->out->intervals = (int64_t)l.own;
}

/* The newest tests, and where the alkalinity stands now by what was dosed and fed since. */
static void stand(struct diary *d)
{
	struct base_diary *o = d->out;
	double sum = 0.0;
	int64_t n = 0, at = 0, of_ph = 0;

	for (size_t i = 0; i < d->n_tests; i++) {
		const struct loop_test *t = &d->tests[i];

		if (!isnan(t->ph)) {
			o->ph = t->ph;
			o->ph_on = t->day;
			of_ph = t->id;
		}
		if (isnan(t->alkalinity_mg_l))
			continue;
		o->alkalinity_mg_l = t->alkalinity_mg_l;
		o->tested_on = t->day;
		at = t->at;
		sum += t->alkalinity_mg_l;
		n++;
		chosen_add(&o->under, &water_tests_kind, NULL, t->id, d->arena);
	}
	if (of_ph)
		chosen_add(&o->under, &water_tests_kind, NULL, of_ph, d->arena);
	o->level_mg_l = n ? fmax(sum / (double)n, o->floor_mg_l) : NAN;
	if (!n || d->today - o->tested_on > OLD_TEST_DAYS)
		return;
	const double fed_kg = d->feed_kg_day * (double)(d->today - o->tested_on);
	o->alkalinity_now_mg_l =
		o->alkalinity_mg_l +
		(dosed_g(d, at, d->now) - fed_kg * o->used_g_kg) * 1000.0 / d->loop->volume_l;
}

/* The median of the days between the farm's own doses. */
static int64_t rhythm(const struct diary *d)
{
	int64_t *gaps = arena_array(d->arena, d->n_doses + 1, sizeof(*gaps));
	size_t n = 0;

	for (size_t i = 1; i < d->n_doses; i++)
		if (d->doses[i].day > d->doses[i - 1].day)
			gaps[n++] = d->doses[i].day - d->doses[i - 1].day;
	if (n < 3)
		return USUAL_INTERVAL_DAYS;
	qsort(gaps, n, sizeof(*gaps), order_int64);
	return gaps[n / 2];
}

/* Potassium and calcium take turns; a farm that gave neither begins with potassium. */
static const char *turn(const struct diary *d)
{
	for (size_t i = d->n_doses; i-- > 0;) {
		const char *brings = d->doses[i].base < 0 ? NULL : bases[d->doses[i].base].brings;

		if (brings)
			return strcmp(brings, "potassium") == 0 ? "calcium" : "potassium";
	}
	return "potassium";
}

/* When the next dose is due: by the farm's rhythm, sooner when the alkalinity is at its floor before. */
static int64_t due_day(const struct diary *d, double use_g_day)
{
	const struct base_diary *o = d->out;
	const double left_days =
		base_days_left(o->alkalinity_now_mg_l, o->floor_mg_l, d->loop->volume_l, use_g_day);
	const int64_t by_rhythm = o->last_on == NO_INT ? NO_INT : o->last_on + rhythm(d);

	if (isnan(left_days))
		return by_rhythm;
	const int64_t by_floor = d->today + (int64_t)left_days;
	return by_rhythm == NO_INT ? by_floor : sooner_of(by_rhythm, by_floor);
}

/* What to give on that day for an interval; without a known alkalinity, what the feed uses in it. */
static double dose_g(const struct diary *d, double use_g_day)
{
	const struct base_diary *o = d->out;
	const double interval_days = (double)rhythm(d);
	const double wait_days = o->due_on > d->today ? (double)(o->due_on - d->today) : 0.0;
	const double at_due_mg_l =
		o->alkalinity_now_mg_l - use_g_day * wait_days * 1000.0 / d->loop->volume_l;

	if (isnan(at_due_mg_l))
		return use_g_day * interval_days;
	return base_dose_g(at_due_mg_l, o->level_mg_l, d->loop->volume_l, use_g_day, interval_days);
}

static void plan(struct diary *d)
{
	struct base_diary *o = d->out;
	const double use_g_day = d->feed_kg_day * o->used_g_kg;

	o->due = turn(d);
	if (d->n_doses) {
		o->last_on = d->doses[d->n_doses - 1].day;
		o->last = d->doses[d->n_doses - 1].name;
	}
	o->due_on = due_day(d, use_g_day);
	if (o->due_on != NO_INT)
		o->caco3_g = dose_g(d, use_g_day);
}

/* A material of the farm that brings what is due, and how much of it. */
static enum err_code choose(struct diary *d, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(d->b), Q_BASE_MATERIALS, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":day", d->today);
	while (!(rc = stmt_row(q, err))) {
		const int base = base_index(stmt_text(q, 1));
		const double pure = stmt_is_null(q, 2) ? 1.0 : stmt_real(q, 2) / 100.0;

		if (d->out->material || base < 0 || !bases[base].brings ||
		    strcmp(bases[base].brings, d->out->due) != 0)
			continue;
		d->out->material = arena_strdup(d->arena, stmt_text(q, 0));
		d->out->amount_g = pure > 0.0 ? d->out->caco3_g / pure /
							base_alkalinity_per_gram(bases[base].base)
					      : NAN;
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

static const char *state_of(const struct diary *d)
{
	const struct base_diary *o = d->out;

	if (o->ph < nitrification_stalls_ph)
		return "stalls";
	if (o->due_on == NO_INT || o->tested_on == NO_INT ||
	    d->today - o->tested_on > OLD_TEST_DAYS)
		return "unknown";
	if (o->due_on < d->today)
		return "late";
	return o->due_on == d->today ? "due" : "ok";
}

static enum err_code load_floor(struct diary *d, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(d->b), Q_ALKALINITY_FLOOR, &q, err);

	if (!rc) {
		stmt_bind_int(q, ":day", d->today);
		rc = stmt_row(q, err);
		d->out->floor_mg_l = rc || stmt_is_null(q, 0) ? usual_floor_mg_l : stmt_real(q, 0);
	}
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

enum err_code base_diary(struct book *b, const struct water_loop *loop,
			 const struct loop_days *days, size_t at_loop, int64_t now,
			 struct arena *arena, struct base_diary *out, struct err *err)
{
	struct diary d = { .b = b,
			   .loop = loop,
			   .days = days,
			   .at_loop = at_loop,
			   .now = now,
			   .today = book_day(b, now),
			   .arena = arena,
			   .out = out };
	const int64_t from = book_day_start(b, days->from_day);
	enum err_code rc;

	*out = (struct base_diary){ .alkalinity_mg_l = NAN,
				    .tested_on = NO_INT,
				    .alkalinity_now_mg_l = NAN,
				    .level_mg_l = NAN,
				    .ph = NAN,
				    .ph_on = NO_INT,
				    .last_on = NO_INT,
				    .due_on = NO_INT,
				    .amount_g = NAN,
				    .caco3_g = NAN };
	rc = loop_tests_load(b, loop->id, from, now, arena, &d.tests, &d.n_tests, err);
	if (!rc)
		rc = load_doses(&d, from, err);
	if (!rc)
		rc = load_floor(&d, err);
	if (rc)
		return rc;
	learn(&d);
	stand(&d);
	plan(&d);
	rc = choose(&d, err);
	out->state = state_of(&d);
	return rc;
}
