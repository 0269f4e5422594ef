/*
 * Whether the lists behind a row are what the row was computed from: see explained_tests.h.
 *
 * Of every list: it opens, holds no struck entry, as many entries as are told and their sum, each of a day that
 * the row stands for, and each of what the row names.  Of plain sums: the figure is that of the entries.
 */
#include "explained_tests.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/zone.h"

static char fault[600];

#define WRONG(...) (snprintf(fault, sizeof(fault), __VA_ARGS__), fault)

static const char *text_of(const json_t *object, const char *name)
{
	return json_string_value(json_object_get(object, name));
}

/* --- what an entry is about ------------------------------------------------------------------------------ */

/* The row that an entry refers to by a field; NULL when it is not given. */
static const json_t *referred(const json_t *entry, const char *field, const char *kind)
{
	const json_t *id = entry ? json_object_get(entry, field) : NULL;

	return id ? row_of_kind(kind, json_integer_value(id)) : NULL;
}

static bool is_called(const json_t *row, const char *name)
{
	const char *code = text_of(row, "code"), *own = text_of(row, "name");

	return (code && !strcmp(code, name)) || (own && !strcmp(own, name));
}

/* What a place is by its id: all places share their ids. */
static const json_t *place_of(const json_t *entry)
{
	return referred(entry, "place_id", "places");
}

/* A column names what an entry refers to along a way of fields: "crop_lot_id:crop-lots variety_id:varieties". */
struct way {
	const char *column;
	const char *steps[3][2]; /* field, kind that it refers to */
};

static const struct way ways[] = {
	{ "tank", { { "tank_id", "tanks" } } },
	{ "tank", { { "to_tank_id", "tanks" } } },
	{ "tank", { { "from_tank_id", "tanks" } } },
	{ "bed", { { "bed_id", "beds" } } },
	{ "bed", { { "to_bed_id", "beds" } } },
	{ "bed", { { "from_bed_id", "beds" } } },
	{ "fish_lot", { { "fish_lot_id", "fish-lots" } } },
	{ "fish_lot", { { "into_lot_id", "fish-lots" } } },
	{ "crop_lot", { { "crop_lot_id", "crop-lots" } } },
	{ "lot", { { "crop_lot_id", "crop-lots" } } },
	{ "lot", { { "fish_lot_id", "fish-lots" } } },
	{ "variety", { { "crop_lot_id", "crop-lots" }, { "variety_id", "varieties" } } },
	{ "variety", { { "variety_id", "varieties" } } },
	{ "crop",
	  { { "crop_lot_id", "crop-lots" },
	    { "variety_id", "varieties" },
	    { "crop_id", "crops" } } },
	{ "crop", { { "variety_id", "varieties" }, { "crop_id", "crops" } } },
	{ "species", { { "fish_lot_id", "fish-lots" }, { "species_id", "species" } } },
	{ "loop", { { "loop_id", "loops" } } },
	{ "loop", { { "tank_id", "tanks" }, { "loop_id", "loops" } } },
	{ "loop", { { "to_tank_id", "tanks" }, { "loop_id", "loops" } } },
	{ "loop", { { "from_tank_id", "tanks" }, { "loop_id", "loops" } } },
	{ "loop", { { "bed_id", "beds" }, { "loop_id", "loops" } } },
	{ "loop", { { "to_bed_id", "beds" }, { "loop_id", "loops" } } },
	{ "loop", { { "from_bed_id", "beds" }, { "loop_id", "loops" } } },
	{ "loop", { { "unit_id", "units" }, { "loop_id", "loops" } } },
	{ "zone", { { "zone_id", "zones" } } },
	{ "product", { { "product_id", "products" } } },
};
enum { N_WAYS = sizeof(ways) / sizeof(ways[0]) };

static const json_t *end_of_way(const struct way *w, const json_t *entry)
{
	const json_t *at = entry;

	for (size_t i = 0; at && i < 3 && w->steps[i][0]; i++)
		at = referred(at, w->steps[i][0], w->steps[i][1]);
	return at;
}

/* A place of the water is a loop, or what stands in its water. */
static bool place_is_of(const json_t *entry, const char *column, const char *name)
{
	const json_t *place = place_of(entry);
	const char *sort = place ? text_of(place, "sort") : NULL;

	if (!place)
		return false;
	if (is_called(place, name))
		return true;
	if (strcmp(column, "loop") != 0 || !sort)
		return false;
	if (strcmp(sort, "tanks") != 0 && strcmp(sort, "units") != 0 && strcmp(sort, "beds") != 0)
		return false;
	return is_called(
		referred(row_of_kind(sort, json_integer_value(json_object_get(place, "id"))),
			 "loop_id", "loops"),
		name);
}

static bool is_about(const json_t *entry, const char *column, const json_t *named)
{
	const char *name = json_string_value(named);
	bool refers = false;

	for (size_t i = 0; i < N_WAYS; i++) {
		const json_t *end =
			strcmp(ways[i].column, column) == 0 ? end_of_way(&ways[i], entry) : NULL;

		refers = refers || end;
		if (end && name && is_called(end, name))
			return true;
	}
	if (!name)
		return !refers; /* the row stands for entries without one */
	return place_is_of(entry, column, name) || is_called(entry, name);
}

/* Why an entry need not be of what a column names; each with its reason. */
static bool is_excused(const struct row_asked *a, const json_t *list, const json_t *entry,
		       const char *column)
{
	const char *report = a->report->name, *kind = text_of(list, "kind");
	const char *part = text_of(list, "part");
	const bool of_lot = !strcmp(column, "fish_lot") || !strcmp(column, "species");

	if (of_lot && !strcmp(kind, "feedings"))
		return true; /* a tank is fed, not a lot: its feed is shared */
	if (of_lot && !strcmp(kind, "fish-deaths") && !json_object_get(entry, "fish_lot_id"))
		return true; /* shared by number over the lots in the tank */
	if (!strcmp(column, "tank") && part && !strcmp(part, "elsewhere"))
		return true; /* a lot's growth is learned in every tank that it was in */
	if (!strcmp(report, "beds") && !strcmp(column, "bed"))
		return true; /* a lot's plants come from bed to bed */
	return false;
}

static const char *wrong_names(const struct row_asked *a, const json_t *list, const json_t *entry)
{
	const char *kind = text_of(list, "kind");
	static const char *const columns[] = { "tank", "bed",     "fish_lot", "crop_lot",
					       "lot",  "crop",    "variety",  "species",
					       "loop", "product", "zone",     "place" };

	if (!strcmp(a->report->name, "yield") &&
	    !is_about(entry, *a->by ? a->by : "variety", json_object_get(a->row, "name")))
		return WRONG("an entry of %s is not of %s", kind, text_of(a->row, "name"));
	for (size_t i = 0; i < sizeof(columns) / sizeof(columns[0]); i++) {
		const json_t *named = json_object_get(a->row, columns[i]);

		if (!named || is_excused(a, list, entry, columns[i]) ||
		    is_about(entry, columns[i], named))
			continue;
		return WRONG("an entry of %s (id %lld) is not of %s %s", kind,
			     (long long)json_integer_value(json_object_get(entry, "id")),
			     columns[i], json_string_value(named) ? json_string_value(named) : "-");
	}
	for (const char *const *same = (const char *const[]){ "grade", "cause", NULL }; *same;
	     same++) {
		const json_t *named = json_object_get(a->row, *same);

		if (named && strcmp(a->report->name, "sizes") != 0 &&
		    (json_is_null(named) ? json_object_get(entry, *same) != NULL
					 : !json_equal(named, json_object_get(entry, *same))))
			return WRONG("an entry of %s has another %s", kind, *same);
	}
	return NULL;
}

/* --- when it was ------------------------------------------------------------------------------------------ */

struct span {
	int64_t first, last;
};

static bool day_at(const json_t *object, const char *name, int64_t *out)
{
	const char *text = text_of(object, name);

	return text && day_read(text, out);
}

static int64_t last_of_period(const char *by, int64_t first, int64_t last)
{
	if (strstr(by, "day"))
		return first;
	if (strstr(by, "month"))
		return day_month_start(day_month_start(first) + 31) - 1;
	return strstr(by, "week") ? day_week_start(first) + 6 : last;
}

/* The farm days that a row stands for. */
static struct span span_of(const struct row_asked *a)
{
	/* these tell how things stand: all that was until then */
	static const char *const until[] = { "stock", "beds", "sizes", "survival", "water", NULL };
	struct span s = { INT64_MIN, INT64_MAX };
	int64_t first;
	const char *by = *a->by || strcmp(a->report->name, "harvest") ? a->by : "week";

	day_at(a->answer, "to", &s.last);
	if (!strcmp(a->report->name, "growth")) /* its days lie ahead */
		return (struct span){ INT64_MIN, s.last };
	for (const char *const *name = until; *name; name++)
		if (!strcmp(a->report->name, *name))
			return s;
	day_at(a->answer, "from", &s.first);
	if (day_at(a->row, "day", &first))
		s = (struct span){ first, first };
	if (day_at(a->row, "period", &first)) {
		const int64_t last = last_of_period(by, first, s.last);

		s.first = first > s.first ? first : s.first;
		s.last = last < s.last ? last : s.last;
	}
	if (day_at(a->row, "month", &first))
		s = (struct span){ first, last_of_period("month", first, 0) };
	day_at(a->row, "from", &s.first);
	day_at(a->row, "to", &s.last);
	return s;
}

/* A list says so when it tells of days that are not the row's. */
static bool is_of_other_days(const json_t *list)
{
	static const char *const parts[] = { "ends", "week", "planted", "cleared", "past", NULL };
	const char *part = text_of(list, "part");

	for (const char *const *p = parts; part && *p; p++)
		if (!strcmp(part, *p))
			return true;
	return false;
}

static const char *wrong_day(const struct row_asked *a, const json_t *list, const json_t *entry)
{
	const char *kind = text_of(list, "kind");
	const struct span s = span_of(a);
	const char *at = text_of(entry, "at"), *as_of = text_of(a->answer, "as_of");
	int64_t day;

	if (at && as_of && strcmp(at, as_of) > 0)
		return WRONG("an entry of %s at %s, after %s", kind, at, as_of);
	if (!day_at(entry, "day", &day) || is_of_other_days(list))
		return NULL;
	if (day > s.last || day < s.first)
		return WRONG("an entry of %s (id %lld) of %s", kind,
			     (long long)json_integer_value(json_object_get(entry, "id")),
			     text_of(entry, "day"));
	return NULL;
}

/* --- how many, and how much -------------------------------------------------------------------------------- */

/* In thousandths: sums of grams are kept in whole milligrams. */
static long long thousandths(double value)
{
	return llround(value * 1000.0);
}

static long long sum_of(const json_t *entries, const char *field)
{
	const json_t *entry;
	long long sum = 0;
	size_t i;

	json_array_foreach(entries, i, entry) sum +=
		thousandths(json_number_value(json_object_get(entry, field)));
	return sum;
}

/* Rows of one thing, day by day, may rest on the same list: what was found good is not read again. */
static bool is_known(const struct row_asked *a, const json_t *list, bool add)
{
	static json_t *known;
	const struct span s = span_of(a);
	json_t *names = json_copy((json_t *)a->row);
	const json_t *value;
	const char *name;
	char key[64];
	void *next;
	bool found;

	if (!known)
		known = json_object();
	if (is_of_other_days(list))
		snprintf(key, sizeof(key), "any");
	else
		snprintf(key, sizeof(key), "%lld %lld", (long long)s.first, (long long)s.last);
	json_object_foreach_safe(names, next, name,
				 value) if (!json_is_string(value) && !json_is_null(value))
		json_object_del(names, name);
	json_object_del(names, "day");
	json_object_set_new(names, ".span", json_string(key));
	json_object_set(names, ".list", (json_t *)list);
	char *text = json_dumps(names, JSON_SORT_KEYS | JSON_COMPACT);
	found = json_object_get(known, text) != NULL;
	if (add)
		json_object_set_new(known, text, json_true());
	free(text);
	json_decref(names);
	return found;
}

static const char *wrong_list(const struct row_asked *a, const json_t *list)
{
	const char *kind = text_of(list, "kind"), *address = text_of(list, "address");
	const json_t *entries, *entry;
	const json_t *count = json_object_get(list, "count"), *sum = json_object_get(list, "sum");
	const char *wrong;
	size_t i;

	if (is_known(a, list, false))
		return NULL;
	entries = entries_at(address);
	if (!entries)
		return WRONG("%s cannot be opened", address);
	if (strncmp(address + strlen("/api/"), kind, strlen(kind)) != 0)
		return WRONG("%s is no list of %s", address, kind);
	if (count && (size_t)json_integer_value(count) != json_array_size(entries))
		return WRONG("%s holds %zu entries, not %lld", address, json_array_size(entries),
			     (long long)json_integer_value(count));
	if (sum && thousandths(json_number_value(sum)) != sum_of(entries, text_of(list, "sum_of")))
		return WRONG("%s adds up to %.3f, not %.3f", address,
			     (double)sum_of(entries, text_of(list, "sum_of")) / 1000.0,
			     json_number_value(sum));
	json_array_foreach(entries, i, entry)
	{
		if (json_object_get(entry, "struck_at"))
			return WRONG("%s holds a struck entry", address);
		wrong = wrong_day(a, list, entry);
		if (!wrong)
			wrong = wrong_names(a, list, entry);
		if (wrong) {
			static char longer[800];

			snprintf(longer, sizeof(longer), "%s: %s", address, wrong);
			return longer;
		}
	}
	is_known(a, list, true);
	return NULL;
}

/* A figure that is plainly the sum of a field (or the number) of the entries behind it. */
static const struct plain {
	const char *report, *figure;
	const char *given; /* only where the row has this column */
	struct {
		const char *kind, *field; /* field "": how many */
		int times;
	} terms[2];
} plains[] = {
	{ "feed-conversion", "feed_g", "tank", { { "feedings", "amount_g", 1 } } },
	{ "feed-conversion", "uneaten_g", "tank", { { "feedings", "uneaten_g", 1 } } },
	{ "feed-conversion",
	  "dead_fish",
	  "tank",
	  { { "fish-deaths", "fish", 1 }, { "harvests", "culled_pieces", 1 } } },
	{ "feed-conversion", "feed_g", "loop", { { "feedings", "amount_g", 1 } } },
	{ "feed-conversion", "uneaten_g", "loop", { { "feedings", "uneaten_g", 1 } } },
	{ "feed-conversion",
	  "dead_fish",
	  "loop",
	  { { "fish-deaths", "fish", 1 }, { "harvests", "culled_pieces", 1 } } },
	{ "harvest", "harvests", NULL, { { "harvests", "", 1 } } },
	{ "harvest", "pieces", NULL, { { "harvests", "pieces", 1 } } },
	{ "harvest", "weight_g", NULL, { { "harvests", "weight_g", 1 } } },
	{ "harvest", "culled_pieces", NULL, { { "harvests", "culled_pieces", 1 } } },
	{ "harvest", "culled_g", NULL, { { "harvests", "culled_g", 1 } } },
	{ "packed", "packings", NULL, { { "packings", "", 1 } } },
	{ "packed", "packs", NULL, { { "packings", "packs", 1 } } },
	{ "losses", "entries", NULL, { { "crop-losses", "", 1 } } },
	{ "losses", "plants", NULL, { { "crop-losses", "plants", 1 } } },
	{ "climate", "notes", NULL, { { "climate-notes", "", 1 } } },
	{ "restated", "feed_g_now", NULL, { { "feedings", "amount_g", 1 } } },
	{ "yield", "sown_cubes", NULL, { { "crop-lots", "cubes", 1 } } },
	{ "yield", "lots", NULL, { { "crop-lots", "", 1 } } },
	{ "yield", "harvests", NULL, { { "harvests", "", 1 } } },
	{ "yield", "pieces", NULL, { { "harvests", "pieces", 1 } } },
	{ "yield", "weight_g", NULL, { { "harvests", "weight_g", 1 } } },
	{ "survival", "dead", NULL, { { "fish-deaths", "fish", 1 } } },
	{ "survival", "harvested", NULL, { { "harvests", "pieces", 1 } } },
	{ "survival", "culled", NULL, { { "harvests", "culled_pieces", 1 } } },
	{ "loading",
	  "feed_g",
	  NULL,
	  { { "feedings", "amount_g", 1 }, { "feedings", "uneaten_g", -1 } } },
};
enum { N_PLAINS = sizeof(plains) / sizeof(plains[0]) };

/* Over all lists of the kind: an entry that stands in two of them counts once. */
static long long sum_over_lists(const json_t *lists, const char *kind, const char *field)
{
	json_t *seen = json_object();
	long long sum = 0;
	const json_t *list, *entry;
	size_t i, n;
	char id[32];

	json_array_foreach(lists, i, list)
	{
		if (strcmp(text_of(list, "kind"), kind) != 0 ||
		    (is_of_other_days(list) && strcmp(text_of(list, "part"), "past") != 0))
			continue;
		json_array_foreach(entries_at(text_of(list, "address")), n, entry)
		{
			snprintf(id, sizeof(id), "%lld",
				 (long long)json_integer_value(json_object_get(entry, "id")));
			if (json_object_get(seen, id))
				continue;
			json_object_set_new(seen, id, json_true());
			sum += *field ? thousandths(
						json_number_value(json_object_get(entry, field)))
				      : 1000;
		}
	}
	json_decref(seen);
	return sum;
}

static const char *wrong_sum(const struct row_asked *a, const struct plain *p, const json_t *lists)
{
	const json_t *figure = json_object_get(a->row, p->figure);
	long long sum = 0;

	if (strcmp(p->report, a->report->name) != 0 || !json_is_number(figure) ||
	    (p->given && !json_object_get(a->row, p->given)))
		return NULL;
	for (size_t i = 0; i < 2 && p->terms[i].kind; i++)
		sum += p->terms[i].times *
		       sum_over_lists(lists, p->terms[i].kind, p->terms[i].field);
	if (sum == thousandths(json_number_value(figure)))
		return NULL;
	return WRONG("%s is %.3f, and the entries make %.3f", p->figure, json_number_value(figure),
		     (double)sum / 1000.0);
}

const char *wrong_with(const struct row_asked *a, size_t *opened)
{
	const json_t *lists = json_object_get(json_object_get(a->row, "explain"), "entries"), *list;
	const char *wrong = NULL;
	size_t i;

	json_array_foreach(lists, i, list)
	{
		(*opened)++;
		wrong = wrong_list(a, list);
		if (wrong)
			return wrong;
	}
	for (i = 0; i < N_PLAINS && lists && !wrong; i++)
		wrong = wrong_sum(a, &plains[i], lists);
	return wrong;
}
