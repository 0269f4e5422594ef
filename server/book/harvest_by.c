/* See harvest_by.h. */
#include "book/harvest_by.h"

#include <stdlib.h>
#include <string.h>

#include "book/explained.h"

/* The filter of a list that a part is, and the field that is not given where there is none. */
static const struct {
	const char *filter, *field;
} filters[BY__MAX] = {
	[BY_CROP] = { "crop_lot_id.variety_id.crop_id", "crop_lot_id" },
	[BY_VARIETY] = { "crop_lot_id.variety_id", "crop_lot_id" },
	[BY_SPECIES] = { "fish_lot_id.species_id", "fish_lot_id" },
	[BY_BED] = { "bed_id", "bed_id" },
	[BY_TANK] = { "tank_id", "tank_id" },
	[BY_GRADE] = { "grade", "grade" },
	[BY_LOT] = { "crop_lot_id", "crop_lot_id,fish_lot_id" },
};

void harvest_look_up(const struct harvest_names *names, struct harvest_seen *h)
{
	const struct harvest_name *of = harvest_name_of(&names->crop_lots, h->crop_lot);

	if (of) {
		h->variety = of->belongs_to;
		of = harvest_name_of(&names->varieties, h->variety);
		h->crop = of ? of->belongs_to : 0;
	}
	of = harvest_name_of(&names->fish_lots, h->fish_lot);
	h->species = of ? of->belongs_to : 0;
}

/* Few grades are in use: a list does. */
static int64_t grade_part(struct harvest_grades *g, const char *grade)
{
	if (!grade)
		return 0;
	for (size_t i = 0; i < g->n; i++)
		if (strcmp(g->texts[i], grade) == 0)
			return (int64_t)i + 1;
	g->texts = arena_grow(g->arena, g->texts, g->n, &g->room, sizeof(*g->texts));
	g->texts[g->n++] = arena_strdup(g->arena, grade);
	return (int64_t)g->n;
}

int64_t harvest_part(struct harvest_grades *grades, enum harvest_by by,
		     const struct harvest_seen *h)
{
	switch (by) {
	case BY_CROP:
		return h->crop;
	case BY_VARIETY:
		return h->variety;
	case BY_SPECIES:
		return h->species;
	case BY_BED:
		return h->bed;
	case BY_TANK:
		return h->tank;
	case BY_GRADE:
		return grade_part(grades, h->grade);
	case BY_LOT:
		return h->crop_lot ? h->crop_lot : -h->fish_lot;
	case BY__MAX:
		break;
	}
	return 0;
}

static const char *text_of(const struct harvest_name_list *list, int64_t id)
{
	const struct harvest_name *name = harvest_name_of(list, id);

	return name ? name->text : NULL;
}

const char *harvest_part_text(const struct harvest_names *names,
			      const struct harvest_grades *grades, enum harvest_by by, int64_t part)
{
	switch (by) {
	case BY_CROP:
		return text_of(&names->crops, part);
	case BY_VARIETY:
		return text_of(&names->varieties, part);
	case BY_SPECIES:
		return text_of(&names->species, part);
	case BY_BED:
	case BY_TANK:
		return text_of(&names->places, part);
	case BY_GRADE:
		return part ? grades->texts[part - 1] : NULL;
	case BY_LOT:
		return part > 0 ? text_of(&names->crop_lots, part)
				: text_of(&names->fish_lots, -part);
	case BY__MAX:
		break;
	}
	return NULL;
}

struct harvest_only harvest_only_read(const struct harvest_names *names, const char *only)
{
	const struct {
		enum harvest_by by;
		const struct harvest_name_list *list;
		int64_t sign;
	} meanings[] = {
		{ BY_BED, &names->places, 1 },        { BY_LOT, &names->crop_lots, 1 },
		{ BY_LOT, &names->fish_lots, -1 },    { BY_CROP, &names->crops, 1 },
		{ BY_VARIETY, &names->varieties, 1 }, { BY_SPECIES, &names->species, 1 },
	};
	struct harvest_only out = { .asked = only != NULL };

	for (size_t i = 0; only && !out.part && i < sizeof(meanings) / sizeof(meanings[0]); i++) {
		const struct harvest_name *name = harvest_name_find(meanings[i].list, only);

		if (!name)
			continue;
		out.by = meanings[i].by;
		if (out.by == BY_BED && name->belongs_to) /* a place that is a tank */
			out.by = BY_TANK;
		out.part = meanings[i].sign * name->id;
	}
	return out;
}

bool harvest_only_has(const struct harvest_only *only, const struct harvest_seen *h)
{
	return !only->asked || (only->part && only->part == harvest_part(NULL, only->by, h));
}

void harvest_address_add(struct harvest_address *a, const struct harvest_grades *grades,
			 enum harvest_by by, int64_t part)
{
	const char *filter = by == BY_LOT && part < 0 ? "fish_lot_id" : filters[by].filter;
	const char *value;

	if (!part) {
		a->without = arena_printf(a->arena, "%s%s%s", a->without, *a->without ? "," : "",
					  filters[by].field);
		return;
	}
	value = by == BY_GRADE ? explained_text(grades->texts[part - 1], a->arena)
			       : arena_printf(a->arena, "%lld", (long long)llabs((long long)part));

	/* what is asked for may be what it is grouped by: a parameter stands once in an address */
	const char *pair = arena_printf(a->arena, "&%s=%s", filter, value);

	if (!strstr(a->filters, pair))
		a->filters = arena_printf(a->arena, "%s%s", a->filters, pair);
}

const char *harvest_address_text(const struct harvest_address *a, const char *span)
{
	return arena_printf(a->arena, "/api/harvests?%s%s%s%s", span, a->filters,
			    *a->without ? "&without=" : "", a->without);
}
