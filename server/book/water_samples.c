/* See water_samples.h. */
#include "book/water_samples.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "book/probe_readings.h"
#include "book/water_row.h"
#include "domain/ammonia.h"
#include "domain/oxygen.h"

static const int64_t salinity_reach_s = 30 * 86400;

/* The newest value of each quantity while the samples go by. */
struct known {
	double value;
	int64_t at;
	enum bound bound;
};

struct pass {
	struct book *b;
	int64_t place_id;
	unsigned sources; /* enum water_sources */
	double pressure_kpa, salinity_g_kg;
	struct known known[QUANTITY__MAX];
	struct reading last[QUANTITY__MAX]; /* out: the newest computed ones */
};

/* The value and instant of a query's one row over [from, to] at a place; NAN, and *at untouched,
 * when there is none. */
static enum err_code one_real(struct book *b, enum query name, int64_t place_id, int64_t from,
			      int64_t to, double *value, int64_t *at, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), name, &q, err);

	*value = NAN;
	if (rc)
		goto out;
	stmt_bind_int(q, ":place_id", place_id);
	stmt_bind_int(q, ":from", from);
	stmt_bind_int(q, ":to", to);
	rc = stmt_row(q, err);
	if (!rc) {
		*value = stmt_real(q, 0);
		*at = stmt_int(q, 1);
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static enum err_code read_pressure(struct book *b, double *kpa, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_FARM_ALTITUDE, &q, err);

	if (!rc)
		rc = stmt_row(q, err);
	if (!rc)
		*kpa = stmt_is_null(q, 0) ? STANDARD_ATMOSPHERE_KPA
					  : air_pressure_kpa(stmt_real(q, 0));
	stmt_done(q);
	return rc;
}

/* What is known before the first sample, at `from`. */
static enum err_code pass_open(struct pass *p, int64_t from, struct err *err)
{
	int64_t at;

	for (int i = 0; i < QUANTITY__MAX; i++) {
		p->known[i] = (struct known){ .value = NAN };
		p->last[i] = no_reading;
	}
	enum err_code rc = read_pressure(p->b, &p->pressure_kpa, err);
	if (!rc)
		rc = one_real(p->b, Q_NEWEST_SALINITY, p->place_id, from - salinity_reach_s, from,
			      &p->salinity_g_kg, &at, err);
	if (isnan(p->salinity_g_kg))
		p->salinity_g_kg = 0.0;
	return rc;
}

static double fresh(const struct pass *p, enum quantity q, int64_t at)
{
	return at - p->known[q].at <= PAIR_S ? p->known[q].value : NAN;
}

static enum err_code find_temperature(const struct pass *p, int64_t at, struct reading_basis *out,
				      struct err *err)
{
	out->temperature_c = fresh(p, QUANTITY_TEMPERATURE, at);
	out->temperature_at = p->known[QUANTITY_TEMPERATURE].at;
	out->temperature_of_loop = isnan(out->temperature_c);
	if (!out->temperature_of_loop)
		return ERR_NONE;
	return one_real(p->b, Q_LOOP_TEMPERATURE, p->place_id, at - PAIR_S, at, &out->temperature_c,
			&out->temperature_at, err);
}

/* Both raise the result: together they bound it only where they point the same way. */
static bool join_bounds(enum bound a, enum bound b, enum bound *out)
{
	*out = a == BOUND_NONE ? b : a;
	return a == BOUND_NONE || b == BOUND_NONE || a == b;
}

static enum err_code compute_ammonia(struct pass *p, int64_t at, struct reading *out,
				     struct err *err)
{
	struct reading_basis *f = &out->basis;
	enum bound ph_bound = p->known[QUANTITY_PH].bound;

	f->tan_mg_l = fresh(p, QUANTITY_TAN, at);
	f->ph = fresh(p, QUANTITY_PH, at);
	if (isnan(f->tan_mg_l) || isnan(f->ph))
		return ERR_NONE;
	enum err_code rc = find_temperature(p, at, f, err);
	/* The share grows with pH: beyond the formula's range the end of it is a bound. */
	const double ph = fmin(fmax(f->ph, 6.0), 10.0);
	bool sure = true;
	if (ph > f->ph)
		sure = join_bounds(ph_bound, BOUND_BELOW, &ph_bound);
	else if (ph < f->ph)
		sure = join_bounds(ph_bound, BOUND_ABOVE, &ph_bound);
	if (sure && join_bounds(p->known[QUANTITY_TAN].bound, ph_bound, &out->bound))
		out->value = f->tan_mg_l * unionized_ammonia_fraction(f->temperature_c, ph);
	return rc;
}

static enum err_code compute_saturation(struct pass *p, int64_t at, struct reading *out,
					struct err *err)
{
	struct reading_basis *f = &out->basis;

	f->do_mg_l = fresh(p, QUANTITY_DO, at);
	if (isnan(f->do_mg_l))
		return ERR_NONE;
	enum err_code rc = find_temperature(p, at, f, err);
	f->salinity_g_kg = p->salinity_g_kg;
	f->pressure_kpa = p->pressure_kpa;
	out->bound = p->known[QUANTITY_DO].bound;
	out->value = 100.0 * f->do_mg_l /
		     oxygen_saturation_mg_l(f->temperature_c, f->salinity_g_kg, f->pressure_kpa);
	return rc;
}

/* Main is what the computed value is of; the others may come a little after it. */
static bool is_due(const struct pass *p, enum quantity main, int64_t at, bool main_now,
		   bool other_now)
{
	return main_now || (other_now && at - p->known[main].at <= LATE_PAIR_S);
}

struct samples {
	struct arena *arena;
	struct water_sample *all;
	size_t n, room;
};

static void push(struct samples *s, int64_t at, enum quantity q, double value, enum bound bound)
{
	s->all = arena_grow(s->arena, s->all, s->n, &s->room, sizeof(*s->all));
	s->all[s->n++] = (struct water_sample){
		.at = at, .value = value, .quantity = (uint8_t)q, .bound = (uint8_t)bound
	};
}

/* What was read at one instant is known now; computes what follows from it. */
static enum err_code compute_at(struct pass *p, int64_t at, unsigned now, struct samples *out,
				struct err *err)
{
	const bool t = now >> QUANTITY_TEMPERATURE & 1, ph = now >> QUANTITY_PH & 1;
	const bool tan = now >> QUANTITY_TAN & 1, oxygen = now >> QUANTITY_DO & 1;
	enum err_code rc = ERR_NONE;

	for (int q = QUANTITY_MEASURED_MAX; !rc && q < QUANTITY__MAX; q++) {
		const bool due = q == QUANTITY_NH3 ? is_due(p, QUANTITY_TAN, at, tan, t || ph)
						   : is_due(p, QUANTITY_DO, at, oxygen, t);
		struct reading r = no_reading;

		if (!due)
			continue;
		rc = q == QUANTITY_NH3 ? compute_ammonia(p, at, &r, err)
				       : compute_saturation(p, at, &r, err);
		if (rc || isnan(r.value))
			continue;
		r.at = at;
		p->last[q] = r;
		push(out, at, (enum quantity)q, r.value, r.bound);
	}
	return rc;
}

static enum err_code compute(struct pass *p, struct samples *s, struct err *err)
{
	const size_t n = s->n;
	unsigned now = 0;
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && i < n; i++) {
		const struct water_sample v = s->all[i];

		p->known[v.quantity] = (struct known){ .value = v.value,
						       .at = v.at,
						       .bound = (enum bound)v.bound };
		if (v.quantity == QUANTITY_SALINITY)
			p->salinity_g_kg = v.value;
		now |= 1u << v.quantity;
		if (i + 1 < n && s->all[i + 1].at == v.at)
			continue;
		rc = compute_at(p, v.at, now, s, err);
		now = 0;
	}
	return rc;
}

static enum err_code read_tests(struct book *b, int64_t place_id, int64_t from, int64_t to,
				struct samples *out, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_WATER_TESTS_BETWEEN, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":place_id", place_id);
	stmt_bind_int(q, ":from", from);
	stmt_bind_int(q, ":to", to);
	while (!(rc = stmt_row(q, err))) {
		for (int i = 0; i < QUANTITY_MEASURED_MAX; i++) {
			const struct reading r = water_row_reading(q, (enum quantity)i);

			if (!isnan(r.value))
				push(out, r.at, (enum quantity)i, r.value, r.bound);
		}
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static void take_probe_reading(void *with, const struct place_probe *p, int64_t at, double value)
{
	struct samples *s = with;
	const enum quantity q = quantity_find(p->quantity);

	if (q < QUANTITY_MEASURED_MAX)
		push(s, at, q, value, BOUND_NONE);
}

static int by_time(const void *pa, const void *pb)
{
	const struct water_sample *a = pa, *b = pb;

	if (a->at != b->at)
		return a->at < b->at ? -1 : 1;
	if (a->quantity != b->quantity)
		return a->quantity < b->quantity ? -1 : 1;
	return (a->value > b->value) - (a->value < b->value);
}

static enum err_code gather(struct pass *p, int64_t from, int64_t to, struct samples *s,
			    struct err *err)
{
	enum err_code rc = pass_open(p, from, err);

	if (!rc && p->sources & WATER_TESTS)
		rc = read_tests(p->b, p->place_id, from, to, s, err);
	if (!rc && p->sources & WATER_PROBES)
		rc = place_readings(p->b, p->place_id, from, to, take_probe_reading, s, err);
	if (!rc && s->n)
		qsort(s->all, s->n, sizeof(*s->all), by_time);
	if (!rc)
		rc = compute(p, s, err);
	return rc;
}

enum err_code water_samples(struct book *b, int64_t place_id, unsigned sources, int64_t from,
			    int64_t to, struct arena *arena, struct water_sample **out, size_t *n,
			    struct err *err)
{
	struct samples s = { .arena = arena };
	struct pass p = { .b = b, .place_id = place_id, .sources = sources };
	/* What pairs with the first one was read before it. */
	enum err_code rc = gather(&p, from - PAIR_S, to, &s, err);
	size_t kept = 0;

	if (rc)
		return rc;
	if (s.n)
		qsort(s.all, s.n, sizeof(*s.all), by_time);
	for (size_t i = 0; i < s.n; i++)
		if (s.all[i].at >= from)
			s.all[kept++] = s.all[i];
	*out = s.all;
	*n = kept;
	return ERR_NONE;
}

/* Around the newest reading of main, which the computed value is of. */
static enum err_code newest_of(struct book *b, int64_t place_id, enum quantity main,
			       enum quantity computed, int64_t at,
			       struct reading out[QUANTITY__MAX], struct err *err)
{
	const int64_t read_at = out[main].at;
	struct arena arena;
	struct pass p = { .b = b, .place_id = place_id, .sources = WATER_TESTS | WATER_PROBES };
	enum err_code rc;

	if (isnan(out[main].value))
		return ERR_NONE;
	arena_init(&arena);
	struct samples s = { .arena = &arena };
	const int64_t to = read_at + LATE_PAIR_S < at ? read_at + LATE_PAIR_S : at;
	rc = gather(&p, read_at - PAIR_S, to, &s, err);
	if (!rc && p.last[computed].at >= read_at)
		out[computed] = p.last[computed];
	arena_release(&arena);
	return rc;
}

enum err_code water_compute_newest(struct book *b, int64_t place_id,
				   struct reading out[QUANTITY__MAX], int64_t at, struct err *err)
{
	enum err_code rc = newest_of(b, place_id, QUANTITY_TAN, QUANTITY_NH3, at, out, err);

	return rc ? rc : newest_of(b, place_id, QUANTITY_DO, QUANTITY_SATURATION, at, out, err);
}
