/* See treated.h. */
#include "book/treated.h"

/* Fish of a cell, from the row with which it was stocked up to an instant: they may be among those
 * that are asked for. */
struct spell {
	const struct fish_view_cell *cell;
	size_t first; /* index of that row */
	int64_t until;
	bool followed;
};

struct walk {
	const struct treated *t;
	int64_t day;
	struct spell *spells;
	size_t n, room;
	const struct treatment *found; /* the longest so far */
};

static enum err_code read_treatments(struct treated *t, int64_t from_day, int64_t to_day,
				     struct err *err)
{
	struct stmt *q = NULL;
	size_t room = 0;
	enum err_code rc = store_query(book_store(t->b), Q_TREATMENTS_OF_FISH, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":from", from_day);
	stmt_bind_int(q, ":to", to_day);
	stmt_bind_int(q, ":unknown_days", DEGREE_DAYS_RUN_DAYS);
	while (!(rc = stmt_row(q, err))) {
		t->all = arena_grow(t->arena, t->all, t->n, &room, sizeof(*t->all));
		t->all[t->n++] = (struct treatment){
			.fish_lot_id = stmt_int(q, 0),
			.tank_id = stmt_int(q, 1),
			.loop_id = stmt_int(q, 2),
			.medicine = arena_strdup(t->arena, stmt_text(q, 3)),
			.first_day = stmt_int(q, 4),
			.last_day = stmt_int(q, 5),
			.withdrawal_days = stmt_int_or(q, 6, IN_DEGREE_DAYS),
			.ends_day = stmt_int(q, 7),
		};
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

enum err_code treated_open(struct book *b, int64_t from_day, int64_t to_day, struct arena *arena,
			   struct treated *out, struct err *err)
{
	struct treated t = { .b = b, .arena = arena };
	int64_t first = to_day;
	enum err_code rc = read_treatments(&t, from_day, to_day, err);

	for (size_t i = 0; i < t.n; i++)
		if (t.all[i].first_day < first)
			first = t.all[i].first_day;
	if (!rc && t.n)
		rc = fish_view_open(b, book_day_start(b, first), book_day_start(b, to_day + 1) - 1,
				    0, 0, arena, &t.view, err);
	if (!rc && t.n)
		rc = loop_changes_load(b, arena, &t.loop_changes, &t.n_loop_changes, err);
	if (!rc)
		*out = t;
	return rc;
}

static void add_spell(struct walk *w, const struct fish_view_cell *c, size_t first, int64_t until)
{
	for (size_t i = 0; i < w->n; i++) {
		struct spell *s = &w->spells[i];
		if (s->cell != c || s->first != first)
			continue;
		if (until > s->until) {
			s->until = until;
			s->followed = false;
		}
		return;
	}
	w->spells = arena_grow(w->t->arena, w->spells, w->n, &w->room, sizeof(*w->spells));
	w->spells[w->n++] = (struct spell){ .cell = c, .first = first, .until = until };
}

/* The fish that stand in c at `until`; where it was emptied, or emptied and filled, at that very
 * instant, those before too. */
static void add_spells(struct walk *w, const struct fish_view_cell *c, int64_t until)
{
	size_t n = fish_rows_until(c, until);

	while (n) {
		const bool stood = c->rows[n - 1].fish_after > 0;
		while (n > 1 && stood && c->rows[n - 2].fish_after > 0)
			n--;
		if (stood)
			add_spell(w, c, n - 1, until);
		if (c->rows[n - 1].instant != until)
			return;
		n--;
	}
}

static int64_t species_of(const struct treated *t, int64_t lot_id)
{
	const int at = id_set_find(&t->view.lot_ids, lot_id);

	return at < 0 ? 0 : t->view.lots[at].facts.species_id;
}

/* What was taken as lot_id out of tank_id may be of any lot of its species in that tank. */
static void add_taken(struct walk *w, int64_t lot_id, int64_t tank_id, int64_t instant)
{
	const struct fish_view *v = &w->t->view;
	const int64_t species = species_of(w->t, lot_id);

	for (size_t i = 0; i < v->n_cells; i++) {
		const struct fish_view_cell *c = &v->cells[i];
		if (v->tank_ids.ids[c->tank] == tank_id &&
		    (!species || v->lots[c->lot].facts.species_id == species))
			add_spells(w, c, instant);
	}
}

/* Fish that the book knows in no place may have come from anywhere that their lot stood. */
static void add_lot(struct walk *w, int64_t lot_id, int64_t instant)
{
	const struct fish_view *v = &w->t->view;

	for (size_t i = 0; i < v->n_cells; i++)
		if (v->lot_ids.ids[v->cells[i].lot] == lot_id)
			add_spells(w, &v->cells[i], instant);
}

/* An entry that names a tank where its lot never stood is a slip, and may mean the lot. */
static void add_asked(struct walk *w, int64_t lot_id, int64_t tank_id, int64_t instant)
{
	bool stands = false;

	add_taken(w, lot_id, tank_id, instant);
	for (size_t i = 0; i < w->n; i++)
		stands = stands || w->t->view.lot_ids.ids[w->spells[i].cell->lot] == lot_id;
	if (!stands)
		add_lot(w, lot_id, instant);
}

/* Whether a tank stood in the water of a loop on one of these farm days (both included). */
static enum err_code was_in_loop(const struct treated *t, int64_t tank_id, int64_t loop_id,
				 int64_t from_day, int64_t to_day, bool *in, struct err *err)
{
	struct tank_facts at_first;
	enum err_code rc = tank_facts_load(t->b, tank_id, from_day, t->arena, &at_first, err);

	if (rc)
		return rc;
	*in = at_first.loop_id == loop_id;
	for (size_t i = 0; i < t->n_loop_changes; i++) {
		const struct loop_change *c = &t->loop_changes[i];

		if (c->tank_id == tank_id && c->from_day > from_day && c->from_day <= to_day)
			*in = *in || c->loop_id == loop_id;
	}
	return ERR_NONE;
}

static enum err_code had(const struct treated *t, const struct treatment *given,
			 const struct spell *s, bool *out, struct err *err)
{
	const int64_t lot_id = t->view.lot_ids.ids[s->cell->lot];
	const int64_t tank_id = t->view.tank_ids.ids[s->cell->tank];
	const int64_t last = given->loop_id ? given->ends_day - 1 : given->last_day;
	int64_t from = s->cell->rows[s->first].day, to = book_day(t->b, s->until);

	*out = false;
	if (to < given->first_day || from > last)
		return ERR_NONE;
	if (from < given->first_day)
		from = given->first_day;
	if (to > last)
		to = last;
	if (given->loop_id)
		return was_in_loop(t, tank_id, given->loop_id, from, to, out, err);
	*out = given->fish_lot_id == lot_id || given->tank_id == tank_id;
	return ERR_NONE;
}

static enum err_code meet(struct walk *w, const struct spell *s, struct err *err)
{
	for (size_t i = 0; i < w->t->n; i++) {
		const struct treatment *given = &w->t->all[i];
		bool has = false;

		if (given->first_day > w->day || given->ends_day <= w->day)
			continue;
		if (w->found && w->found <= given) /* they stand in order, the longest first */
			return ERR_NONE;

		enum err_code rc = had(w->t, given, s, &has, err);

		if (rc)
			return rc;
		if (has)
			w->found = given;
	}
	return ERR_NONE;
}

static void follow_back(struct walk *w, const struct spell *s)
{
	const struct fish_view_cell *c = s->cell;

	if (c->rows[s->first].effect == EFFECT_FOUND)
		add_lot(w, c->rows[s->first].lot, c->rows[s->first].instant);
	for (size_t i = s->first; i < c->n_rows && c->rows[i].instant <= s->until; i++)
		if (c->rows[i].effect == EFFECT_MOVED_IN && c->rows[i].other_tank >= 0)
			add_taken(w, c->rows[i].other_lot, c->rows[i].other_tank,
				  c->rows[i].instant);
}

enum err_code treated_find(const struct treated *t, int64_t lot_id, int64_t tank_id,
			   int64_t instant, int64_t day, const struct treatment **out,
			   struct err *err)
{
	struct walk w = { .t = t, .day = day };
	enum err_code rc = ERR_NONE;
	bool done = t->n == 0;

	if (!done)
		add_asked(&w, lot_id, tank_id, instant);
	while (!rc && !done) {
		done = true;
		for (size_t i = 0; !rc && i < w.n; i++) {
			const struct spell s = w.spells[i]; /* the array may move */

			if (s.followed)
				continue;
			w.spells[i].followed = true;
			done = false;
			rc = meet(&w, &s, err);
			follow_back(&w, &s);
		}
	}
	if (!rc)
		*out = w.found;
	return rc;
}

static bool stood_between(const struct fish_view_cell *c, int64_t begin, int64_t end)
{
	for (size_t i = 0; i < c->n_rows; i++) {
		const int64_t until = i + 1 < c->n_rows ? c->rows[i + 1].instant : INT64_MAX;
		if (c->rows[i].fish_after > 0 && c->rows[i].instant <= end && until >= begin)
			return true;
	}
	return false;
}

/* Whether a treated lot stood in a tank of the loop while it was treated. */
static enum err_code stood_in_loop(const struct treated *t, const struct treatment *given,
				   int64_t loop_id, bool *in, struct err *err)
{
	const struct fish_view *v = &t->view;
	const int64_t begin = book_day_start(t->b, given->first_day);
	const int64_t end = book_day_start(t->b, given->last_day + 1) - 1;
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && !*in && i < v->n_cells; i++) {
		const struct fish_view_cell *c = &v->cells[i];
		if (v->lot_ids.ids[c->lot] == given->fish_lot_id && stood_between(c, begin, end))
			rc = was_in_loop(t, v->tank_ids.ids[c->tank], loop_id, given->first_day,
					 given->last_day, in, err);
	}
	return rc;
}

enum err_code treated_water(const struct treated *t, int64_t loop_id, int64_t day,
			    const struct treatment **out, struct err *err)
{
	enum err_code rc = ERR_NONE;
	bool in = false;

	*out = NULL;
	for (size_t i = 0; !rc && !in && i < t->n; i++) {
		const struct treatment *given = &t->all[i];
		if (!given->fish_lot_id || given->first_day > day || given->ends_day <= day)
			continue;
		rc = stood_in_loop(t, given, loop_id, &in, err);
		if (in)
			*out = given;
	}
	return rc;
}
