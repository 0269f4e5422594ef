/* See ration.h. */
#include "book/ration.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/word_list.h"
#include "book/ledger.h"
#include "book/water.h"
#include "domain/ration.h"

/* A day after all dated set-up. */
#define NO_END_DAY (INT64_MAX / 4)

/* A reading older than this is not known (docs/rules.md). */
static const int64_t fresh_s = 12 * 3600;

/* Times of the plan, HH:MM with a space between them; what cannot be read ends them. */
static void read_times(const char *times, struct ration *out)
{
	size_t n;

	for (const char *at = times; (at = word_list_next(at, &n)); at += n) {
		char text[6] = "";

		if (n >= sizeof(text) || out->n_slots == SLOTS_MAX)
			return;
		memcpy(text, at, n);
		if (!time_of_day_read(text, &out->due_min[out->n_slots]))
			return;
		out->n_slots++;
	}
}

/* Shares of the plan, as they are to each other; equal when not given. */
static void read_shares(const char *shares, struct ration *out)
{
	double sum = 0.0;
	char *end = NULL;

	for (size_t i = 0; i < out->n_slots; i++) {
		out->share[i] = shares ? strtod(shares, &end) : 1.0;
		if (shares && end == shares)
			out->share[i] = 0.0;
		shares = shares ? end : NULL;
		sum += out->share[i];
	}
	for (size_t i = 0; i < out->n_slots; i++)
		out->share[i] = sum > 0.0 ? out->share[i] / sum : 1.0 / (double)out->n_slots;
}

struct plan {
	double fixed_pct, fixed_g;
	bool held, purge;
};

static enum err_code read_plan(struct book *b, int64_t tank_id, int64_t day, struct arena *arena,
			       struct plan *plan, struct ration *out, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(b), Q_PLAN_OF_TANK, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":tank_id", tank_id);
	stmt_bind_int(q, ":day", day);
	rc = stmt_row(q, err);
	if (rc)
		goto out;
	out->planned = true;
	out->feed_id = stmt_int(q, 0);
	out->feed = arena_strdup(arena, stmt_text(q, 1));
	read_times(stmt_text(q, 2), out);
	read_shares(stmt_text(q, 3), out);
	plan->fixed_pct = stmt_real(q, 4);
	plan->fixed_g = stmt_real(q, 5);
	plan->held = !stmt_is_null(q, 6);
	plan->purge = stmt_text(q, 7) && strcmp(stmt_text(q, 7), "purge") == 0;
out:
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

static enum err_code read_steps(struct book *b, int64_t species_id, int64_t day,
				struct arena *arena, struct ration_step **steps, size_t *n,
				struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(b), Q_STEPS_OF_SPECIES, &q, err);

	*steps = NULL;
	*n = 0;
	if (rc)
		goto out;
	stmt_bind_int(q, ":species_id", species_id);
	stmt_bind_int(q, ":day", day);
	while (!(rc = stmt_row(q, err))) {
		*steps = arena_grow(arena, *steps, *n, &room, sizeof(**steps));
		(*steps)[(*n)++] = (struct ration_step){ .weight_from_g = stmt_real(q, 0),
							 .temperature_c = stmt_real(q, 1),
							 .pct_body_weight_day = stmt_real(q, 2) };
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

/* The tank at hand. */
struct feeding_of {
	struct book *b;
	const struct fish_view *v;
	int64_t tank_id, day, at;
	struct arena *arena;
	struct reading readings[QUANTITY__MAX];
	struct id_set species;
	double biomass_g;
};

static double fresh(const struct feeding_of *f, enum quantity q)
{
	const struct reading *r = &f->readings[q];

	return !isnan(r->value) && f->at - r->at <= fresh_s ? r->value : NAN;
}

/* Whether fish of a cell stand in the tank at hand, and how. */
static bool stands_here(const struct feeding_of *f, const struct fish_view_cell *c,
			struct fish_standing *out)
{
	if (f->v->tank_ids.ids[c->tank] != f->tank_id)
		return false;
	*out = fish_standing_at(f->v, c, f->at, false);
	return out->fish != 0;
}

/* Grams that the species' steps give to every lot in the tank. */
static enum err_code by_steps(struct feeding_of *f, struct ration *out, struct err *err)
{
	const double temperature_c = f->readings[QUANTITY_TEMPERATURE].value;
	double sum = 0.0;

	for (size_t i = 0; i < f->v->n_cells; i++) {
		const struct fish_view_cell *c = &f->v->cells[i];
		struct fish_standing st;
		struct ration_step *steps;
		size_t n;

		if (!stands_here(f, c, &st))
			continue;
		enum err_code rc = read_steps(f->b, f->v->lots[c->lot].facts.species_id, f->day,
					      f->arena, &steps, &n, err);
		if (rc)
			return rc;
		if (n == 0)
			out->reason = "no_steps";
		sum += ration_pct(steps, n, st.mean_g, temperature_c) / 100.0 * st.biomass_g;
	}
	out->day_g = sum;
	out->pct = 100.0 * sum / f->biomass_g;
	return ERR_NONE;
}

static void weigh_tank(struct feeding_of *f)
{
	for (size_t i = 0; i < f->v->n_cells; i++) {
		const struct fish_view_cell *c = &f->v->cells[i];
		struct fish_standing st;

		if (!stands_here(f, c, &st))
			continue;
		f->biomass_g += st.biomass_g;
		id_set_add(&f->species, f->v->lots[c->lot].facts.species_id, f->arena);
	}
}

/* The product of the limits' factors; the smallest names the reason.  NAN: not known, which cuts
 * nothing. */
static void cut_by_limits(const double value[QUANTITY__MAX],
			  const struct limits limits[QUANTITY__MAX], double *factor,
			  const char **reason)
{
	static const struct {
		enum quantity quantity;
		bool upper;
		const char *reason;
	} checks[] = {
		{ .quantity = QUANTITY_DO, .reason = "oxygen_low" },
		{ .quantity = QUANTITY_NH3, .upper = true, .reason = "ammonia_high" },
		{ .quantity = QUANTITY_NITRITE, .upper = true, .reason = "nitrite_high" },
		{ .quantity = QUANTITY_TEMPERATURE, .reason = "temperature_low" },
		{ .quantity = QUANTITY_TEMPERATURE, .upper = true, .reason = "temperature_high" },
	};
	double smallest = 1.0;

	*factor = 1.0;
	for (size_t i = 0; i < sizeof(checks) / sizeof(checks[0]); i++) {
		const struct limits *l = &limits[checks[i].quantity];
		const struct feeding_limit side =
			checks[i].upper
				? (struct feeding_limit){ .stop = l->high_stop, .limit = l->high }
				: (struct feeding_limit){ .stop = l->low_stop, .limit = l->low };
		const double own = ration_factor(value[checks[i].quantity], &side, checks[i].upper);

		*factor *= own;
		if (own < smallest) {
			smallest = own;
			*reason = checks[i].reason;
		}
	}
}

static enum err_code apply_limits(struct feeding_of *f, struct ration *out, struct err *err)
{
	struct limits limits[QUANTITY__MAX];
	double value[QUANTITY__MAX];
	enum err_code rc = water_limits(f->b, &f->species, f->day, f->arena, limits, err);

	if (rc)
		return rc;
	for (int q = 0; q < QUANTITY__MAX; q++)
		value[q] = fresh(f, (enum quantity)q);
	if (isnan(value[QUANTITY_DO]))
		out->reason = "oxygen_unknown";
	cut_by_limits(value, limits, &out->factor, &out->reason);
	out->day_g *= out->factor;
	return ERR_NONE;
}

static enum err_code reckon(struct feeding_of *f, const struct plan *plan, struct ration *out,
			    struct err *err)
{
	enum err_code rc = ERR_NONE;

	if (!isnan(plan->fixed_g)) {
		out->day_g = plan->fixed_g;
		out->pct = 100.0 * plan->fixed_g / f->biomass_g;
	} else if (!isnan(plan->fixed_pct)) {
		out->day_g = plan->fixed_pct / 100.0 * f->biomass_g;
		out->pct = plan->fixed_pct;
	} else {
		rc = by_steps(f, out, err);
	}
	if (!rc)
		rc = apply_limits(f, out, err);
	if (!rc && isnan(out->day_g) && isnan(f->biomass_g))
		out->reason = "no_weight";
	return rc;
}

enum err_code ration_of_tank(struct book *b, const struct fish_view *v, int64_t tank_id,
			     int64_t day, int64_t at, struct arena *arena, struct ration *out,
			     struct err *err)
{
	struct feeding_of f = {
		.b = b, .v = v, .tank_id = tank_id, .day = day, .at = at, .arena = arena
	};
	struct plan plan = { .fixed_pct = NAN, .fixed_g = NAN };
	enum err_code rc;

	*out = (struct ration){ .day_g = NAN, .pct = NAN, .factor = 1.0 };
	rc = read_plan(b, tank_id, day, arena, &plan, out, err);
	if (rc || !out->planned)
		return rc;
	weigh_tank(&f);
	if (plan.held || plan.purge || f.species.n == 0) {
		out->day_g = 0.0;
		out->factor = 0.0;
		out->reason = plan.held ? "held" : plan.purge ? "purge" : "no_fish";
		return ERR_NONE;
	}
	rc = water_newest(b, tank_id, at - fresh_s, at, f.readings, err);
	return rc ? rc : reckon(&f, &plan, out, err);
}

enum err_code ledger_day_ration_g(struct book *b, int64_t tank_id, int64_t day, double *g,
				  struct err *err)
{
	struct arena arena;
	struct fish_view v;
	struct ration r = { .planned = false };
	const int64_t at = book_day_start(b, day) + RATION_STANDS_S;
	enum err_code rc;

	*g = NAN;
	arena_init(&arena);
	rc = fish_view_open(b, at, at, tank_id, 0, &arena, &v, err);
	if (!rc)
		rc = ration_of_tank(b, &v, tank_id, day, at, &arena, &r, err);
	/* The whole ration: limits cut it, they do not make food unlikely. */
	if (!rc && r.planned && r.factor > 0.0)
		*g = r.day_g / r.factor;
	arena_release(&arena);
	return rc;
}

enum err_code ration_for_species(struct book *b, int64_t species_id,
				 const struct ration_of_species *asked, struct arena *arena,
				 double *pct, double *factor, const char **reason, struct err *err)
{
	struct limits limits[QUANTITY__MAX];
	double value[QUANTITY__MAX];
	struct ration_step *steps;
	struct id_set species = { 0 };
	size_t n;
	enum err_code rc = read_steps(b, species_id, NO_END_DAY, arena, &steps, &n, err);

	id_set_add(&species, species_id, arena);
	if (!rc)
		rc = water_limits(b, &species, NO_END_DAY, arena, limits, err);
	if (rc)
		return rc;
	for (int q = 0; q < QUANTITY__MAX; q++)
		value[q] = NAN;
	value[QUANTITY_TEMPERATURE] = asked->temperature_c;
	value[QUANTITY_DO] = asked->do_mg_l;
	value[QUANTITY_NH3] = asked->nh3_n_mg_l;
	value[QUANTITY_NITRITE] = asked->nitrite_n_mg_l;
	*reason = n == 0 ? "no_steps" : NULL;
	*pct = ration_pct(steps, n, asked->weight_g, asked->temperature_c);
	cut_by_limits(value, limits, factor, reason);
	return ERR_NONE;
}
