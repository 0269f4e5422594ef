/* Report nitrogen: where the nitrogen of each loop came from and where it went, over any period. */
#include <math.h>
#include <stddef.h>
#include <strings.h>

#include "book/conversion.h"
#include "book/conversion_why.h"
#include "book/fish_entries.h"
#include "book/inside.h"
#include "book/loop_days.h"
#include "book/loop_tests.h"
#include "book/report.h"
#include "book/report_list.h"
#include "book/tank_facts.h"
#include "domain/balance.h"
#include "model/kinds.h"

enum { DAYS_BACK = 27, DAYS_MAX = 800, DAY_S = 86400 };

/* Ways in, ways out, and what stands in the loop more than at the start; the rest closes the
 * balance. */
enum way {
	WAY_FEED,
	WAY_FRY,
	WAY_MAKEUP,
	WAY_FISH,
	WAY_DEAD,
	WAY_CROP,
	WAY_SOLIDS,
	WAY_DISCHARGE,
	WAY_FISH_STANDING,
	WAY_WATER_STANDING,
	WAY_REST,
	WAY__MAX
};
static const struct {
	const char *name, *direction, *formula, *source;
	const char *under; /* name of the mass or volume under it; NULL: it has none */
} ways[WAY__MAX] = {
	[WAY_FEED] = { .name = "feed",
		       .direction = "in",
		       .formula = "protein eaten / 6.25",
		       .source = "Jones (1931), from memory; protein as of the day",
		       .under = "feed_g" },
	[WAY_FRY] = { .name = "fry",
		      .direction = "in",
		      .formula = "fish that came x 2.4 %",
		      .source = "15 % crude protein, from memory",
		      .under = "added_g" },
	[WAY_MAKEUP] = { .name = "makeup",
			 .direction = "in",
			 .formula = "not known: nothing on record says what the makeup water holds",
			 .source = "none",
			 .under = "makeup_l" },
	[WAY_FISH] = { .name = "fish",
		       .direction = "out",
		       .formula = "fish harvested, sold or moved out x 2.4 %",
		       .source = "15 % crude protein, from memory",
		       .under = "removed_g" },
	[WAY_DEAD] = { .name = "dead",
		       .direction = "out",
		       .formula = "dead and culled fish x 2.4 %",
		       .source = "15 % crude protein, from memory",
		       .under = "dead_g" },
	[WAY_CROP] = { .name = "crop",
		       .direction = "out",
		       .formula = "fresh mass, culls too x dry matter x nitrogen of it",
		       .source = "each crop's dry_matter_pct and nitrogen_pct_dry",
		       .under = "weight_g" },
	[WAY_SOLIDS] = { .name = "solids",
			 .direction = "out",
			 .formula = "litres x solids x 2.83 %",
			 .source = "Naylor, Moccia and Durant (1999): dry trout manure",
			 .under = "solids_g" },
	[WAY_DISCHARGE] = { .name = "discharge",
			    .direction = "out",
			    .formula = "litres x nitrate of the newest test within 15 days",
			    .source = "own entries",
			    .under = "discharge_l" },
	[WAY_FISH_STANDING] = { .name = "fish_standing",
				.direction = "held",
				.formula = "(biomass at the end - at the start) x 2.4 %",
				.source = "15 % crude protein, from memory",
				.under = "biomass_g" },
	[WAY_WATER_STANDING] = { .name = "water_standing",
				 .direction = "held",
				 .formula = "volume x (nitrate at the end - at the start)",
				 .source = "own entries" },
	[WAY_REST] = { .name = "rest",
		       .direction = "rest",
		       .formula = "in - out - held: gas, plants that still stand, and what is not "
				  "known",
		       .source = "the balance itself" },
};

static bool comes_in(enum way way)
{
	return way <= WAY_MAKEUP;
}

struct nitrogen_row {
	const struct explanation *explain;
	const char *loop, *way, *direction;
	double nitrogen_g, share_pct;
	const char *basis; /* measured, estimated, unknown */
};

static const struct field columns[] = {
	FIELD(nitrogen_row, loop, KIND_CODE),
	FIELD(nitrogen_row, way, KIND_TEXT),
	FIELD(nitrogen_row, direction, KIND_TEXT),
	FIELD(nitrogen_row, nitrogen_g, KIND_REAL, .unit = "g"),
	FIELD(nitrogen_row, share_pct, KIND_REAL, .unit = "%"),
	FIELD(nitrogen_row, basis, KIND_TEXT),
};

/* One loop's ways. */
struct flow {
	double g[WAY__MAX]; /* of nitrogen; NAN: not known */
	bool estimated[WAY__MAX];
	double under[WAY__MAX]; /* the mass or volume that the way rests on; NAN: not known */
	struct explained_lists lists[WAY__MAX];
	struct chosen_entries *entries; /* one a way: what its figure was added up from */
	int64_t emptyings, emptyings_unknown, solids_milli; /* litres x percent x 1000 */
};

/* Adds to a sum that is NAN while nothing is known of it. */
static void add_known(double *sum, double known)
{
	*sum = isnan(*sum) ? known : *sum + known;
}

struct job {
	struct book *b;
	const struct report_query *q;
	struct report_result *out;
	int64_t from, to, begin, end; /* instants [begin, end) */
	struct water_loop *loops;
	size_t n_loops;
	struct flow *flows;
	struct fish_view view;
	struct nitrogen_row *rows;
};

static void note(struct job *j, size_t loop, const char *code, const char *message)
{
	report_add_note(j->out, code, j->loops[loop].code, message);
}

static int loop_index(const struct job *j, int64_t id)
{
	for (size_t i = 0; i < j->n_loops; i++)
		if (j->loops[i].id == id)
			return (int)i;
	return -1;
}

static enum err_code add_feed(struct job *j, struct err *err)
{
	struct loop_days days;
	enum err_code rc = loop_days_load(j->b, j->loops, j->n_loops, j->from, j->to, j->to + 1,
					  j->out->arena, &days, err);

	for (size_t i = 0; !rc && i < j->n_loops; i++) {
		struct flow *f = &j->flows[i];
		int64_t unrecorded = 0;

		loop_days_list_feedings(&days, i, j->from, j->to, NULL, &f->lists[WAY_FEED]);
		f->under[WAY_FEED] = 0.0;
		f->g[WAY_FEED] = 0.0;
		for (int64_t day = j->from; day <= j->to; day++) {
			const struct loop_day *d = loop_day_of(&days, i, day);

			unrecorded += d->feedings == 0;
			f->under[WAY_FEED] += loop_day_eaten_g(d);
			f->g[WAY_FEED] += nitrogen_of_feed_g(d->protein_g, 100.0);
		}
		if (unrecorded == j->to - j->from + 1)
			f->g[WAY_FEED] = NAN;
		if (unrecorded)
			note(j, i, "days_unrecorded",
			     arena_printf(j->out->arena, "On %lld days no feeding is on record.",
					  (long long)unrecorded));
	}
	return rc;
}

static void list_crops(struct job *j, int loop)
{
	struct explained_lists *lists = &j->flows[loop].lists[WAY_CROP];

	explained_add(lists, "harvests",
		      arena_printf(lists->arena, "/api/harvests?bed_id.loop_id=%lld&from=%s&to=%s",
				   (long long)j->loops[loop].id,
				   book_day_text(lists->arena, j->from),
				   book_day_text(lists->arena, j->to)));
}

static enum err_code add_crops(struct job *j, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(j->b), Q_CROP_MASS_BY_LOOP, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":from", j->from);
	stmt_bind_int(q, ":to", j->to);
	while (!(rc = stmt_row(q, err))) {
		const int i = loop_index(j, stmt_int(q, 0));
		const double fresh_g = (double)(stmt_int(q, 5) + stmt_int(q, 6)) / 1000.0;
		const double g = nitrogen_of_crop_g(fresh_g, stmt_real(q, 2), stmt_real(q, 3));

		if (i < 0)
			continue;
		struct flow *f = &j->flows[i];
		if (isnan(f->under[WAY_CROP])) /* its first crop */
			list_crops(j, i);
		add_known(&f->under[WAY_CROP], fresh_g);
		f->estimated[WAY_CROP] = true;
		if (isnan(g))
			note(j, (size_t)i, "crop_nitrogen_unknown",
			     arena_printf(j->out->arena,
					  "%s has no dry matter or nitrogen percentage: what it "
					  "took is not "
					  "known and stands in the rest.",
					  stmt_text(q, 1)));
		else
			add_known(&f->g[WAY_CROP], g);
		if (stmt_int(q, 8))
			note(j, (size_t)i, "crop_unweighed",
			     arena_printf(j->out->arena,
					  "%lld harvests of %s have no weight, and the variety no "
					  "head weight.",
					  (long long)stmt_int(q, 8), stmt_text(q, 1)));
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

/* Litres x percent come in thousandths, so that they add up exactly. */
static void add_emptying(struct job *j, size_t loop, struct stmt *q)
{
	struct flow *f = &j->flows[loop];

	f->estimated[WAY_SOLIDS] = true;
	chosen_add(&f->entries[WAY_SOLIDS], &solids_kind, NULL, stmt_int(q, 1), j->out->arena);
	f->emptyings++;
	f->emptyings_unknown += stmt_is_null(q, 2);
	if (!stmt_is_null(q, 2))
		f->solids_milli += stmt_int(q, 2);
}

static void sum_solids(struct job *j, size_t loop)
{
	struct flow *f = &j->flows[loop];

	if (f->emptyings > f->emptyings_unknown) {
		/* a litre of solids is a kilogram */
		const double dry_l = (double)f->solids_milli / 1000.0 / 100.0;

		f->under[WAY_SOLIDS] = dry_l * 1000.0;
		f->g[WAY_SOLIDS] = nitrogen_of_solids_g(dry_l, 100.0);
	}
	if (f->emptyings_unknown)
		note(j, loop, "solids_unmeasured",
		     arena_printf(j->out->arena,
				  "%lld of %lld emptyings have no solids percentage: what "
				  "they took is "
				  "not known and stands in the rest.",
				  (long long)f->emptyings_unknown, (long long)f->emptyings));
}

static enum err_code add_solids(struct job *j, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(j->b), Q_SOLIDS_BY_LOOP, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":begin", j->begin);
	stmt_bind_int(q, ":end", j->end);
	while (!(rc = stmt_row(q, err))) {
		const int i = loop_index(j, stmt_int(q, 0));

		if (i >= 0)
			add_emptying(j, (size_t)i, q);
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
	for (size_t i = 0; !rc && i < j->n_loops; i++)
		sum_solids(j, i);
out:
	stmt_done(q);
	return rc;
}

/* g of nitrogen in the water's nitrate at an instant. */
static double standing_g(const struct water_loop *l, const struct loop_test *tests, size_t n,
			 int64_t at)
{
	return l->volume_l * loop_nitrate_at(tests, n, at) / 1000.0;
}

/* The test that says what the water held at an instant. */
static void choose_test(struct job *j, struct chosen_entries *c, const struct loop_test *tests,
			size_t n, int64_t at)
{
	const size_t i = loop_nitrate_test(tests, n, at);

	if (i < n)
		chosen_add(c, &water_tests_kind, "ends", tests[i].id, j->out->arena);
}

/* Water that came and went; *untested: discharges of whose nitrate nothing is known. */
static enum err_code read_moves(struct job *j, size_t i, const struct loop_test *tests, size_t n,
				int64_t *untested, struct err *err)
{
	struct flow *f = &j->flows[i];
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(j->b), Q_WATER_MOVES_OF_LOOP, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":loop_id", j->loops[i].id);
	stmt_bind_int(q, ":begin", j->begin);
	stmt_bind_int(q, ":end", j->end);
	while (!(rc = stmt_row(q, err))) {
		const int64_t at = stmt_int(q, 0), id = stmt_int(q, 3);
		const double makeup_l = stmt_real(q, 1), discharge_l = stmt_real(q, 2);
		const double g = discharge_l * loop_nitrate_at(tests, n, at) / 1000.0;

		if (makeup_l > 0.0)
			add_known(&f->under[WAY_MAKEUP], makeup_l);
		if (!isnan(makeup_l))
			chosen_add(&f->entries[WAY_MAKEUP], &water_moves_kind, NULL, id,
				   j->out->arena);
		if (isnan(discharge_l))
			continue;
		chosen_add(&f->entries[WAY_DISCHARGE], &water_moves_kind, NULL, id, j->out->arena);
		choose_test(j, &f->entries[WAY_DISCHARGE], tests, n, at);
		add_known(&f->under[WAY_DISCHARGE], discharge_l);
		if (isnan(g))
			++*untested;
		else
			add_known(&f->g[WAY_DISCHARGE], g);
	}
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
out:
	stmt_done(q);
	return rc;
}

static enum err_code add_moves(struct job *j, size_t i, const struct loop_test *tests, size_t n,
			       struct err *err)
{
	int64_t untested = 0;
	enum err_code rc = read_moves(j, i, tests, n, &untested, err);

	if (rc)
		return rc;
	if (isnan(j->flows[i].under[WAY_DISCHARGE]))
		note(j, i, "no_discharge",
		     "No discharge is on record: what left with water is not known.");
	if (untested)
		note(j, i, "discharge_untested",
		     arena_printf(j->out->arena,
				  "%lld discharges have no nitrate test within 15 days before: "
				  "what they took is not known and stands in the rest.",
				  (long long)untested));
	return ERR_NONE;
}

static enum err_code add_water(struct job *j, size_t i, struct err *err)
{
	struct flow *f = &j->flows[i];
	struct loop_test *tests;
	size_t n;
	enum err_code rc =
		loop_tests_load(j->b, j->loops[i].id, j->begin - (int64_t)OLD_NITRATE_DAYS * DAY_S,
				j->end - 1, j->out->arena, &tests, &n, err);

	if (rc)
		return rc;
	f->g[WAY_WATER_STANDING] = standing_g(&j->loops[i], tests, n, j->end - 1) -
				   standing_g(&j->loops[i], tests, n, j->begin);
	choose_test(j, &f->entries[WAY_WATER_STANDING], tests, n, j->begin);
	choose_test(j, &f->entries[WAY_WATER_STANDING], tests, n, j->end - 1);
	if (isnan(f->g[WAY_WATER_STANDING]))
		note(j, i, "nitrate_untested",
		     "Nitrate was not tested in the 15 days before the start and the end: what the "
		     "water "
		     "holds more is not known.");
	note(j, i, "makeup_unknown",
	     "Nothing on record says what nitrogen the makeup water brings.");
	return add_moves(j, i, tests, n, err);
}

/* One group a loop, over the cells of its tanks as they stood on the last day. */
static enum err_code group_cells(struct job *j, struct conversion_groups *out, struct err *err)
{
	struct arena *arena = j->out->arena;
	const struct fish_view *v = &j->view;
	int64_t *of_tank = arena_array(arena, v->tank_ids.n + 1, sizeof(*of_tank));
	int *of_cell = arena_array(arena, v->n_cells + 1, sizeof(*of_cell));
	int64_t *ids = arena_array(arena, j->n_loops + 1, sizeof(*ids));
	enum err_code rc = ERR_NONE;

	for (size_t t = 0; !rc && t < v->tank_ids.n; t++) {
		struct tank_facts facts;

		rc = tank_facts_load(j->b, v->tank_ids.ids[t], j->to, arena, &facts, err);
		of_tank[t] = rc ? 0 : facts.loop_id;
	}
	for (size_t i = 0; i < j->n_loops; i++)
		ids[i] = j->loops[i].id;
	for (size_t c = 0; !rc && c < v->n_cells; c++)
		of_cell[c] = loop_index(j, of_tank[v->cells[c].tank]);
	*out = (struct conversion_groups){
		.by = BY_LOOP, .ids = ids, .n = j->n_loops, .of_cell = of_cell, .loop_ids = of_tank
	};
	return rc;
}

static void put_fish(struct job *j, size_t loop, enum way way, double mass_g)
{
	struct flow *f = &j->flows[loop];

	f->under[way] = mass_g;
	f->g[way] = nitrogen_of_fish_g(mass_g);
	f->estimated[way] = true;
	if (isnan(mass_g))
		note(j, loop, "fish_unweighed",
		     "Some fish were never weighed: what nitrogen they hold is not known.");
}

/* Which way a row of the fish ledger goes; WAY__MAX: none. */
static enum way way_of(const struct fish_row *r)
{
	switch (r->effect) {
	case EFFECT_ARRIVED:
	case EFFECT_FOUND:
	case EFFECT_MOVED_IN:
		return WAY_FRY;
	case EFFECT_MOVED_OUT:
	case EFFECT_SOLD:
	case EFFECT_HARVESTED:
		return WAY_FISH;
	case EFFECT_DIED:
	case EFFECT_CULLED:
		return WAY_DEAD;
	case EFFECT_WEIGHED:
		return WAY_FISH_STANDING;
	case EFFECT_MISSING:
	case EFFECT_ESCAPED:
	case EFFECT__MAX:
		break;
	}
	return WAY__MAX;
}

/* The same rows that conversion_of adds up. */
static void choose_fish(struct job *j, const struct conversion_groups *groups)
{
	const struct fish_view *v = &j->view;

	for (size_t c = 0; c < v->n_cells; c++) {
		const struct fish_view_cell *cell = &v->cells[c];

		if (groups->of_cell[c] < 0)
			continue;
		struct chosen_entries *entries = j->flows[groups->of_cell[c]].entries;
		conversion_choose_ends(v, cell, j->begin, j->end, &entries[WAY_FISH_STANDING],
				       j->out->arena);
		for (size_t r = fish_rows_until(cell, j->begin - 1);
		     r < fish_rows_until(cell, j->end - 1); r++) {
			const enum way way = way_of(&cell->rows[r]);

			if (way != WAY__MAX && conversion_counts(v, groups, &cell->rows[r]))
				fish_choose(&cell->rows[r], &entries[way], j->out->arena);
		}
	}
}

static enum err_code add_fish(struct job *j, struct err *err)
{
	struct conversion_groups groups;
	enum err_code rc =
		fish_view_open(j->b, j->begin, j->end, 0, 0, j->out->arena, &j->view, err);

	if (!rc)
		rc = group_cells(j, &groups, err);
	if (!rc && j->q->explain)
		choose_fish(j, &groups);
	for (size_t i = 0; !rc && i < j->n_loops; i++) {
		struct conversion c;

		rc = conversion_of(j->b, &j->view, &groups, i, j->begin, j->end, &c, err);
		if (rc)
			break;
		put_fish(j, i, WAY_FRY, c.added_g);
		put_fish(j, i, WAY_FISH, c.removed_g);
		put_fish(j, i, WAY_DEAD, c.dead_g);
		put_fish(j, i, WAY_FISH_STANDING, c.end_g - c.start_g);
	}
	return rc;
}

static double known(double g)
{
	return isnan(g) ? 0.0 : g;
}

static const struct explanation *explain(const struct job *j, struct flow *f, enum way way)
{
	struct arena *arena = j->out->arena;
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *in = arena_alloc(arena, sizeof(*in));

	*in = (struct explained_input){ ways[way].under, f->under[way] };
	*e = (struct explanation){
		.formula = ways[way].formula,
		.source = ways[way].source,
		.inputs = in,
		.n_inputs = ways[way].under && !isnan(f->under[way]),
	};
	chosen_list(&f->entries[way], &f->lists[way]);
	explained_give(&f->lists[way], e);
	return e;
}

static void add_rows(struct job *j, size_t i)
{
	struct flow *f = &j->flows[i];
	double in = 0.0, gone = 0.0;

	for (enum way w = 0; w < WAY_REST; w++)
		if (comes_in(w))
			in += known(f->g[w]);
		else
			gone += known(f->g[w]);
	f->g[WAY_REST] = in > 0.0 ? in - gone : NAN;
	f->estimated[WAY_REST] = true;
	if (in > 0.0 && in < gone)
		note(j, i, "more_out_than_in",
		     "More nitrogen left than came in by the book: an entry or a percentage is "
		     "amiss, or the "
		     "makeup water brings some.");
	for (enum way w = 0; w < WAY__MAX; w++)
		j->rows[j->out->n_rows++] = (struct nitrogen_row){
			.loop = j->loops[i].code,
			.way = ways[w].name,
			.direction = ways[w].direction,
			.nitrogen_g = f->g[w],
			.share_pct = in > 0.0 ? f->g[w] / in * 100.0 : NAN,
			.basis = isnan(f->g[w])    ? "unknown"
				 : f->estimated[w] ? "estimated"
						   : "measured",
			.explain = j->q->explain ? explain(j, f, w) : NULL,
		};
}

static enum err_code set_span(struct job *j, struct err *err)
{
	const struct report_query *q = j->q;

	j->to = q->to_day == NO_INT ? book_day(j->b, q->now) : q->to_day;
	j->from = q->from_day == NO_INT ? j->to - DAYS_BACK : q->from_day;
	if (j->to - j->from >= DAYS_MAX)
		return err_set(err, ERR_INPUT, "to", "too_long", "Ask for %d days at most.",
			       DAYS_MAX);
	j->begin = book_day_start(j->b, j->from);
	j->end = book_day_start(j->b, j->to + 1);
	if (j->end > q->now + 1 && j->begin <= q->now)
		j->end = q->now + 1;
	j->out->from_day = j->from;
	j->out->to_day = j->to;
	j->out->as_of = q->now;
	return ERR_NONE;
}

/* Room for the loops' flows, of which nothing is known yet. */
static void make_flows(struct job *j)
{
	j->flows = arena_array(j->out->arena, j->n_loops + 1, sizeof(*j->flows));
	for (size_t i = 0; i < j->n_loops; i++) {
		struct flow *f = &j->flows[i];

		f->entries = arena_array(j->out->arena, WAY__MAX, sizeof(*f->entries));
		for (enum way w = 0; w < WAY__MAX; w++) {
			f->g[w] = f->under[w] = NAN;
			f->lists[w].arena = j->out->arena;
		}
	}
}

static enum err_code run(struct book *b, const struct report_query *q, struct report_result *out,
			 struct err *err)
{
	struct job j = { .b = b, .q = q, .out = out };
	enum err_code rc = set_span(&j, err);

	if (!rc)
		rc = water_loops(b, j.to, out->arena, &j.loops, &j.n_loops, err);
	if (rc)
		return rc;
	make_flows(&j);
	rc = add_feed(&j, err);
	if (!rc)
		rc = add_fish(&j, err);
	if (!rc)
		rc = add_crops(&j, err);
	if (!rc)
		rc = add_solids(&j, err);
	for (size_t i = 0; !rc && i < j.n_loops; i++)
		rc = add_water(&j, i, err);
	j.rows = arena_array(out->arena, j.n_loops * WAY__MAX + 1, sizeof(*j.rows));
	for (size_t i = 0; !rc && i < j.n_loops; i++)
		if (!q->only || strcasecmp(q->only, j.loops[i].code) == 0)
			add_rows(&j, i);
	out->rows = (const char *)j.rows;
	return rc;
}

static const struct report_question questions[] = {
	{ .name = "from", .help = "first farm day; four weeks back when not given" },
	{ .name = "to", .help = "last farm day; today when not given" },
	{ .name = "only", .help = "code of a loop" },
};

const struct report nitrogen_report = {
	.name = "nitrogen",
	.summary = "Where each loop's nitrogen came from and where it went",
	.columns = columns,
	.n_columns = sizeof(columns) / sizeof(columns[0]),
	.row_size = sizeof(struct nitrogen_row),
	.explain_offset = offsetof(struct nitrogen_row, explain),
	.questions = questions,
	.n_questions = sizeof(questions) / sizeof(questions[0]),
	.changes_by_clock = true,
	.run = run,
};
