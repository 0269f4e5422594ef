/*
 * Report water-history: every test of a place over a time, with what is computed from it, against
 * the limits of the fish that were there on its day.  What probes read has its own series
 * (readings.h).
 */
#include <math.h>
#include <stddef.h>
#include <strings.h>

#include "book/place_fish.h"
#include "book/report.h"
#include "book/water.h"
#include "book/water_explain.h"
#include "book/water_samples.h"

/* Of one place any time may be asked; of all at once a month, so that no question gathers a million
 * rows. */
enum { DAYS_USUAL = 91, DAYS_OF_ALL = 31 };

struct water_history_row {
	uint64_t has;
	const struct explanation *explain;
	const char *place, *quantity;
	int64_t at;
	double value;
	const char *unit, *bound;
	int64_t computed;
	double low_stop, low, high, high_stop;
	const char *state;
};

static const struct field water_history_columns[] = {
	FIELD(water_history_row, place, KIND_TEXT),
	FIELD(water_history_row, quantity, KIND_TEXT),
	FIELD(water_history_row, at, KIND_TIME),
	FIELD(water_history_row, value, KIND_REAL),
	FIELD(water_history_row, unit, KIND_TEXT),
	FIELD(water_history_row, bound, KIND_TEXT),
	FIELD(water_history_row, computed, KIND_BOOL), /* nobody typed it */
	FIELD(water_history_row, low_stop, KIND_REAL),
	FIELD(water_history_row, low, KIND_REAL),
	FIELD(water_history_row, high, KIND_REAL),
	FIELD(water_history_row, high_stop, KIND_REAL),
	FIELD(water_history_row, state, KIND_TEXT),
};

struct history {
	struct book *b;
	struct report_result *out;
	bool explain;
	int64_t begin, end; /* instants, both included */
	struct fish_view v;
	struct water_history_row *rows;
	size_t room;
};

/* The limits of the last farm day that was asked for: most tests of a place share theirs. */
struct day_limits {
	int64_t day;
	struct id_set tanks, species;
	struct limits of[QUANTITY__MAX];
};

static bool are_equal(const struct id_set *a, const struct id_set *b)
{
	if (a->n != b->n)
		return false;
	for (size_t i = 0; i < a->n; i++)
		if (a->ids[i] != b->ids[i])
			return false;
	return true;
}

static enum err_code find_limits(const struct history *h, int64_t at, struct day_limits *l,
				 struct err *err)
{
	const int64_t day = book_day(h->b, at);
	struct id_set species;

	species_in_tanks(&h->v, &l->tanks, at, h->out->arena, &species);
	if (day == l->day && are_equal(&species, &l->species))
		return ERR_NONE;
	l->day = day;
	l->species = species;
	return water_limits(h->b, &l->species, day, h->out->arena, l->of, err);
}

static struct water_history_row row_of(const struct history *h, const struct water_place *p,
				       const struct water_sample *s, const struct limits *l)
{
	const enum quantity q = (enum quantity)s->quantity;
	struct reading r = no_reading;

	r.value = s->value;
	r.at = s->at;
	r.bound = (enum bound)s->bound;
	return (struct water_history_row){
		.place = p->code,
		.quantity = quantity_name(q),
		.at = s->at,
		.value = s->value,
		.unit = quantity_unit(q),
		.bound = bound_word(r.bound),
		.computed = q >= QUANTITY_MEASURED_MAX,
		.low_stop = l->low_stop,
		.low = l->low,
		.high = l->high,
		.high_stop = l->high_stop,
		.state = water_state(&r, l),
		.explain = h->explain ? water_explain(h->b, p->id, q, &r, h->out->arena) : NULL,
	};
}

static enum err_code add_place(struct history *h, const struct water_place *p, struct err *err)
{
	struct arena *arena = h->out->arena;
	struct day_limits limits = { .day = NO_INT };
	struct water_sample *samples;
	size_t n;
	enum err_code rc =
		water_samples(h->b, p->id, WATER_TESTS, h->begin, h->end, arena, &samples, &n, err);

	if (!rc)
		rc = place_tanks(h->b, p->id, arena, &limits.tanks, err);
	for (size_t i = 0; !rc && i < n; i++) {
		rc = find_limits(h, samples[i].at, &limits, err);
		if (rc)
			break;
		h->rows = arena_grow(arena, h->rows, h->out->n_rows, &h->room, sizeof(*h->rows));
		h->rows[h->out->n_rows++] =
			row_of(h, p, &samples[i], &limits.of[samples[i].quantity]);
	}
	return rc;
}

static void set_span(struct history *h, const struct report_query *q)
{
	struct report_result *out = h->out;
	const int64_t to = q->to_day == NO_INT ? book_day(h->b, q->now) : q->to_day;
	int64_t from = q->from_day == NO_INT ? to - DAYS_USUAL + 1 : q->from_day;

	if (!q->only && to - from >= DAYS_OF_ALL) {
		if (q->from_day != NO_INT)
			report_add_note(out, "water_history_cut", NULL,
					"Of all places at once, the last 31 days are given; name "
					"one for more.");
		from = to - DAYS_OF_ALL + 1;
	}
	out->from_day = from;
	out->to_day = to;
	out->as_of = q->now;
	h->begin = book_day_start(h->b, from);
	h->end = book_day_start(h->b, to + 1) - 1;
}

static enum err_code run_water_history(struct book *b, const struct report_query *q,
				       struct report_result *out, struct err *err)
{
	struct history h = { .b = b, .out = out, .explain = q->explain };
	struct water_place *places;
	size_t n;

	set_span(&h, q);
	enum err_code rc = water_places(b, out->to_day, out->arena, &places, &n, err);
	if (!rc)
		rc = fish_view_open(b, h.begin, h.end, 0, 0, out->arena, &h.v, err);
	for (size_t i = 0; !rc && i < n; i++)
		if (!q->only || strcasecmp(q->only, places[i].code) == 0)
			rc = add_place(&h, &places[i], err);
	out->rows = (const char *)h.rows;
	return rc;
}

static const struct report_question water_history_questions[] = {
	{ .name = "from", .help = "first farm day; 91 days when not given, 31 without a place" },
	{ .name = "to", .help = "last farm day; today when not given" },
	{ .name = "only", .help = "code of a place; all of them, and 31 days, when not given" },
};

const struct report water_history_report = {
	.name = "water-history",
	.summary = "Every water test, what is computed from it, and the limits of its day",
	.columns = water_history_columns,
	.n_columns = sizeof(water_history_columns) / sizeof(water_history_columns[0]),
	.row_size = sizeof(struct water_history_row),
	.explain_offset = offsetof(struct water_history_row, explain),
	.questions = water_history_questions,
	.n_questions = sizeof(water_history_questions) / sizeof(water_history_questions[0]),
	.run = run_water_history,
};
