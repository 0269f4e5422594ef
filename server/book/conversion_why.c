/* See conversion_why.h. */
#include "book/conversion_why.h"

#include "book/feed_shares.h"
#include "book/fish_entries.h"
#include "model/kinds.h"

struct listing {
	struct book *b;
	const struct fish_view *v;
	const struct conversion_groups *groups;
	const struct conversion *f;
	const struct tank_facts *tanks;
	struct explained_lists *out;
	struct chosen_entries chosen;
};

static void add_feedings(const struct listing *l, const char *tanks, const struct feed_span *span,
			 const char *of)
{
	struct arena *arena = l->out->arena;
	const char *when = explained_span(l->b, span->begin, span->end, arena);
	struct explained_entries *e =
		explained_add(l->out, "feedings",
			      arena_printf(arena, "/api/feedings?tank_id=%s&%s", tanks, when));

	e->count = span->feedings;
	e->sum = span->feed_g;
	e->sum_of = "amount_g";
	e->of = of;
}

/* Tanks that count whole over the same time stand in one list. */
static void list_whole(const struct listing *l, const struct feed_span *spans, size_t n)
{
	struct id_set tanks = { 0 };
	struct feed_span all = { .begin = l->f->begin, .end = l->f->end };

	for (size_t i = 0; i < n; i++) {
		id_set_add(&tanks, spans[i].tank_id, l->out->arena);
		all.feedings += spans[i].feedings;
	}
	all.feed_g = l->f->feed_g;
	if (n)
		add_feedings(l, explained_ids(tanks.ids, tanks.n, l->out->arena), &all, NULL);
}

static enum err_code list_feedings(const struct listing *l, size_t g, struct err *err)
{
	struct feed_span *spans = NULL;
	size_t n = 0;
	enum err_code rc = feed_spans_of_group(l->b, l->v, l->groups, g, l->f->begin, l->f->end,
					       l->out->arena, &spans, &n, err);

	if (rc)
		return rc;
	if (l->groups->by == BY_TANK || l->groups->by == BY_LOOP) {
		list_whole(l, spans, n);
		return ERR_NONE;
	}
	for (size_t i = 0; i < n; i++) {
		const int tank = id_set_find(&l->v->tank_ids, spans[i].tank_id);

		add_feedings(l, explained_ids(&spans[i].tank_id, 1, l->out->arena), &spans[i],
			     l->tanks[tank].code);
	}
	return ERR_NONE;
}

/* The last weighing that the cell's mean at row n - 1 goes on from. */
static const struct fish_row *weighing_before(const struct fish_view_cell *c, size_t n)
{
	for (size_t i = n; i > 0 && c->rows[i - 1].fish_after > 0; i--)
		if (c->rows[i - 1].kind == &weighings_kind)
			return &c->rows[i - 1];
	return NULL;
}

/* The weighing that ends the stretch in which the cell stands after row n - 1. */
static const struct fish_row *weighing_after(const struct fish_view *v,
					     const struct fish_view_cell *c, size_t n, int64_t end)
{
	const struct fish_row *last = n ? &c->rows[n - 1] : NULL;

	if (!last || last->fish_after == 0 || last->stretch < 0 ||
	    last->weighed_at == end - 1) /* nothing after it is needed */
		return NULL;
	const int64_t ends = v->lots[c->lot].stretches[last->stretch].ends_at;
	for (size_t i = n; ends != NO_INSTANT && i < c->n_rows && c->rows[i].instant <= ends; i++)
		if (c->rows[i].kind == &weighings_kind && c->rows[i].instant == ends)
			return &c->rows[i];
	return NULL;
}

void conversion_choose_ends(const struct fish_view *v, const struct fish_view_cell *cell,
			    int64_t begin, int64_t end, struct chosen_entries *c,
			    struct arena *arena)
{
	const struct fish_row *const ends[] = {
		weighing_before(cell, fish_rows_until(cell, begin - 1)),
		weighing_after(v, cell, fish_rows_until(cell, end - 1), end),
	};

	for (size_t i = 0; i < sizeof(ends) / sizeof(ends[0]); i++)
		if (ends[i])
			chosen_add(c, &weighings_kind, "ends", ends[i]->id, arena);
}

static void choose_cell(struct listing *l, const struct fish_view_cell *c)
{
	const size_t first = fish_rows_until(c, l->f->begin - 1);
	const size_t end = fish_rows_until(c, l->f->end - 1);

	conversion_choose_ends(l->v, c, l->f->begin, l->f->end, &l->chosen, l->out->arena);
	for (size_t i = first; i < end; i++)
		if (conversion_counts(l->v, l->groups, &c->rows[i]))
			fish_choose(&c->rows[i], &l->chosen, l->out->arena);
}

enum err_code conversion_lists(struct book *b, const struct fish_view *v,
			       const struct conversion_groups *groups, size_t g,
			       const struct conversion *f, const struct tank_facts *tanks,
			       struct explained_lists *out, struct err *err)
{
	struct listing l = { .b = b, .v = v, .groups = groups, .f = f, .tanks = tanks, .out = out };
	const enum err_code rc = list_feedings(&l, g, err);

	if (rc)
		return rc;
	for (size_t i = 0; i < v->n_cells; i++)
		if (groups->of_cell[i] == (int)g)
			choose_cell(&l, &v->cells[i]);
	chosen_list(&l.chosen, out);
	return ERR_NONE;
}

void conversion_lists_of_empty_tank(struct book *b, int64_t tank_id, const struct conversion *f,
				    struct explained_lists *out)
{
	const struct listing l = { .b = b, .f = f, .out = out };
	const struct feed_span span = {
		.begin = f->begin, .end = f->end, .feedings = f->feedings, .feed_g = f->feed_g
	};

	if (f->feedings)
		add_feedings(&l, explained_ids(&tank_id, 1, out->arena), &span, NULL);
}
