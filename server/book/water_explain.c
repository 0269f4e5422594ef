/* See water_explain.h. */
#include "book/water_explain.h"

#include <math.h>

#include "book/inside.h"

static void add_input(struct explained_input *inputs, size_t *n, const char *name, double value)
{
	if (!isnan(value))
		inputs[(*n)++] = (struct explained_input){ name, value };
}

static void explain_computed(enum quantity q, const struct reading_basis *f, struct explanation *e,
			     struct explained_input *inputs)
{
	add_input(inputs, &e->n_inputs, "tan_mg_l", f->tan_mg_l);
	add_input(inputs, &e->n_inputs, "ph", f->ph);
	add_input(inputs, &e->n_inputs, "do_mg_l", f->do_mg_l);
	add_input(inputs, &e->n_inputs, "temperature_c", f->temperature_c);
	add_input(inputs, &e->n_inputs, "salinity_g_kg", f->salinity_g_kg);
	add_input(inputs, &e->n_inputs, "pressure_kpa", f->pressure_kpa);
	e->formula = q == QUANTITY_NH3
			     ? "NH3-N = TAN / (1 + 10^(0.09018 + 2729.92/(273.15 + T) - pH))"
			     : "percent = 100 x DO / saturation(T, S, P)";
	e->source = q == QUANTITY_NH3 ? "Emerson, Russo, Lund and Thurston (1975)"
				      : "Benson and Krause (1980, 1984), USGS memorandum 2011.03; "
					"pressure from the "
					"farm's altitude by the ICAO standard atmosphere";
}

static void explain_read(const struct reading *r, struct explanation *e,
			 struct explained_input *inputs)
{
	add_input(inputs, &e->n_inputs, "as_read", r->as_read);
	e->formula = isnan(r->as_read)
			     ? "as it was read"
			     : "what the kit read x the element's share of the ion's mass";
	e->source = isnan(r->as_read) ? (r->probe_id ? "the probe's newest reading"
						     : "the newest test that has it")
				      : "IUPAC abridged standard atomic weights 2021";
}

const struct explanation *water_explain(struct book *b, int64_t place_id, enum quantity q,
					const struct reading *r, struct arena *arena)
{
	enum { INPUTS_MAX = 8 };
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *inputs = arena_array(arena, INPUTS_MAX, sizeof(*inputs));
	struct explained_entries *entries = arena_alloc(arena, sizeof(*entries));
	const char *day = book_day_text(arena, book_day(b, r->at));

	if (q >= QUANTITY_MEASURED_MAX)
		explain_computed(q, &r->basis, e, inputs);
	else
		explain_read(r, e, inputs);
	*entries = (struct explained_entries){
		.kind = "water-tests",
		.count = NO_INT,
		.sum = NAN,
		.address = arena_printf(arena, "/api/water-tests?place_id=%lld&from=%s&to=%s",
					(long long)place_id, day, day),
	};
	e->inputs = inputs;
	e->entries = entries;
	e->n_entries = r->probe_id ? 0 : 1;
	return e;
}
