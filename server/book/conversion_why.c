/* See conversion_why.h. */
#include "book/conversion_why.h"

#include "book/feed_shares.h"
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

/* Which of the moves a row comes from; NULL for what is no move. */
static const char *way_of(const struct fish_row *r)
{
	if (r->kind != &fish_moves_kind)
		return NULL;
	return r->effect == EFFECT_ARRIVED || r->effect == EFFECT_MOVED_IN ? "in" : "out";
}

/* A weighing outside the time, on which the mass at an end rests. */
static void choose_end(struct listing *l, const struct fish_row *r)
{
	chosen_add(&l->chosen, r->kind, "ends", r->id, l->out->arena);
}

/* The last weighing that the cell's mean at row n - 1 goes on from. */
static void choose_before(struct listing *l, const struct fish_view_cell *c, size_t n)
{
	for (size_t i = n; i > 0 && c->rows[i - 1].fish_after > 0; i--)
		if (c->rows[i - 1].kind == &weighings_kind) {
			choose_end(l, &c->rows[i - 1]);
			return;
		}
}

/* The weighing that ends the stretch in which the cell stands after row n - 1. */
static void choose_after(struct listing *l, const struct fish_view_cell *c, size_t n)
{
	const struct fish_row *last = n ? &c->rows[n - 1] : NULL;

	if (!last || last->fish_after == 0 || last->stretch < 0 ||
	    last->weighed_at == l->f->end - 1) /* nothing after it is needed */
		return;
	const int64_t ends = l->v->lots[c->lot].stretches[last->stretch].ends_at;
	for (size_t i = n; ends != NO_INSTANT && i < c->n_rows && c->rows[i].instant <= ends; i++)
		if (c->rows[i].kind == &weighings_kind && c->rows[i].instant == ends)
			choose_end(l, &c->rows[i]);
}

static void choose_cell(struct listing *l, const struct fish_view_cell *c)
{
	const size_t first = fish_rows_until(c, l->f->begin - 1);
	const size_t end = fish_rows_until(c, l->f->end - 1);

	choose_before(l, c, first);
	for (size_t i = first; i < end; i++)
		if (conversion_counts(l->v, l->groups, &c->rows[i]))
			chosen_add(&l->chosen, c->rows[i].kind, way_of(&c->rows[i]), c->rows[i].id,
				   l->out->arena);
	choose_after(l, c, end);
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
