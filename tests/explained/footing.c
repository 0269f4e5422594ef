/*
 * What a figure stands on is said beside it, in words that the screens turn into footing marks: measured, estimated,
 * unknown.  Every report is here: with its word, or with why its figures need none.
 */
#include "explained_tests.h"

#include <stdio.h>
#include <string.h>

#define FISH_WORDS "supplier", "weighed", "between", "projected", "carried_back", "unknown"

static const struct footing {
	const char *report, *column;
	const char *words[8]; /* NULL-ended; none: true or false */
	const char *figure;   /* is null exactly when the word is `unknown`; NULL: no such figure */
	const char *unknown;  /* that word; NULL: the column itself is null */
} footings[] = {
	{ "stock", "basis", { FISH_WORDS }, "mean_weight_g", "unknown" },
	{ "growth", "basis", { FISH_WORDS }, "mean_weight_g", "unknown" },
	{ "growth", "fit", { "none", "thermal", "specific" }, "k", "none" },
	{ "feed-conversion", "basis", { FISH_WORDS }, NULL, NULL },
	{ "sizes", "cv_from", { "weights", "nets", "assumed" }, NULL, NULL },
	{ "beds", "basis", { "own_month", "own", "planned" }, "ready_on", NULL },
	{ "nitrogen", "basis", { "measured", "estimated", "unknown" }, "nitrogen_g", "unknown" },
	{ "unease", "state", { "quiet", "unease", "unknown" }, "level", "unknown" },
	{ "base", "state", { "ok", "due", "late", "low_ph", "stalls", "unknown" }, NULL, NULL },
	{ "water", "computed", { NULL }, NULL, NULL },
	{ "water-history", "computed", { NULL }, NULL, NULL },
};
enum { N_FOOTINGS = sizeof(footings) / sizeof(footings[0]) };

/* Their figures are what was entered, or have their estimate or range in columns of its own. */
static const char *const without[] = {
	"survival", /* counts; what is unexplained stands beside */
	"harvest",  /* weight_g was weighed, estimated_g was not */
	"packed",   /* as entered */
	"bed-flow", /* where lots stood by their moves; ready_on as report beds */
	"climate",  /* a low and a high of what is reckoned */
	"ration",   /* a plan, beside what was fed */
	"alarms",   /* readings */
	"air",      /* all reckoned, and is_old */
	"restated", /* then and now */
	"loading",  /* from feed on record; null without */
	"nitrate",  /* measured_mg_l apart, the forecast with low and high */
	"waters",   /* report water, loading and base in one line */
	"in-store", /* as entered */
	"held",     /* as entered */
	"yield",    /* harvests and losses as entered */
	"losses",   /* as entered */
	NULL
};

static char fault[300];

static bool is_word(const struct footing *f, const char *word)
{
	for (size_t i = 0; word && i < 8 && f->words[i]; i++)
		if (strcmp(f->words[i], word) == 0)
			return true;
	return false;
}

static const char *wrong_by(const struct footing *f, const json_t *row)
{
	const json_t *value = json_object_get(row, f->column);
	const json_t *figure = f->figure ? json_object_get(row, f->figure) : NULL;
	const char *word = json_string_value(value);
	const bool is_unknown =
		f->unknown ? word && !strcmp(word, f->unknown) : json_is_null(value);

	if (!f->words[0])
		return json_is_boolean(value) ? NULL : "does not say whether it was computed";
	if (!is_word(f, word) && !(json_is_null(value) && f->figure && !f->unknown))
		snprintf(fault, sizeof(fault), "%s is %s", f->column, word ? word : "not there");
	else if (figure && json_is_null(figure) != is_unknown)
		snprintf(fault, sizeof(fault), "%s is %s, and %s is %sknown", f->column,
			 word ? word : "not there", f->figure, json_is_null(figure) ? "not " : "");
	else
		return NULL;
	return fault;
}

const char *wrong_footing(const struct row_asked *a)
{
	const char *wrong = NULL;

	for (size_t i = 0; i < N_FOOTINGS && !wrong; i++)
		if (strcmp(footings[i].report, a->report->name) == 0)
			wrong = wrong_by(&footings[i], a->row);
	return wrong;
}

bool says_footing(const struct report *r)
{
	for (size_t i = 0; i < N_FOOTINGS; i++)
		if (strcmp(footings[i].report, r->name) == 0)
			return true;
	for (size_t i = 0; without[i]; i++)
		if (strcmp(without[i], r->name) == 0)
			return true;
	return false;
}
