/* Asks a report in all the ways there are: see explained_tests.h. */
#include "api/api_tests.h"
#include "explained_tests.h"

#include <stdio.h>
#include <string.h>

#include "base/zone.h"

enum { SHOWN_FAULTS = 3 };

struct walk {
	const struct report *report;
	size_t opened, *faults, shown;
};

static const struct report_question *question(const struct report *r, const char *name)
{
	for (size_t i = 0; i < r->n_questions; i++)
		if (strcmp(r->questions[i].name, name) == 0)
			return &r->questions[i];
	return NULL;
}

static void judge_rows(struct walk *w, const char *target, const char *by)
{
	const struct answer a = get(target);
	const json_t *rows = json_object_get(a.json, "rows"), *row;
	size_t i;

	ck_assert_msg(a.status == 200, "%s: %s", target, a.body);
	json_array_foreach(rows, i, row)
	{
		const struct row_asked asked = { w->report, target, by, a.json, row };
		const char *wrong = wrong_with(&asked, &w->opened);

		if (!wrong)
			wrong = wrong_footing(&asked);
		if (!wrong)
			continue;
		(*w->faults)++;
		if (w->shown++ < SHOWN_FAULTS)
			fprintf(stderr, "%s, row %zu: %s\n", target, i, wrong);
	}
	forget_lists();
}

/* Today, of a day long past, and over some weeks that are over. */
static void ask_spans(struct walk *w, const char *by, const char *rest, bool whole)
{
	char target[256], first[TIME_TEXT_MAX], last[TIME_TEXT_MAX];
	const int64_t today = book_day(bench.book, bench.now);

	day_write(first, today - 75);
	day_write(last, today - 40);
	if (whole) {
		snprintf(target, sizeof(target), "/api/reports/%s?explain=1%s", w->report->name,
			 rest);
		judge_rows(w, target, by);
	}
	if (question(w->report, "day")) {
		snprintf(target, sizeof(target), "/api/reports/%s?explain=1&day=%s%s",
			 w->report->name, last, rest);
		judge_rows(w, target, by);
	}
	if (question(w->report, "from") && question(w->report, "to")) {
		snprintf(target, sizeof(target), "/api/reports/%s?explain=1&from=%s&to=%s%s",
			 w->report->name, first, last, rest);
		judge_rows(w, target, by);
	}
}

static void ask_steps(struct walk *w, const char *by)
{
	const struct report_question *step = question(w->report, "step");
	char rest[160];

	for (const char *const *word = step->words; *word; word++) {
		snprintf(rest, sizeof(rest), "&step=%s%s%s", *word, *by ? "&by=" : "", by);
		ask_spans(w, by, rest, strcmp(*word, "week") != 0);
	}
}

static bool is_period(const char *word)
{
	return !strcmp(word, "day") || !strcmp(word, "week") || !strcmp(word, "month");
}

/* Of two words, some weeks will do. */
static void ask_pairs(struct walk *w, const struct report_question *by)
{
	char both[96], rest[128];

	for (const char *const *a = by->words; *a; a++)
		for (const char *const *b = by->words; *b; b++) {
			if (a == b || (is_period(*a) && is_period(*b)))
				continue;
			snprintf(both, sizeof(both), "%s,%s", *a, *b);
			snprintf(rest, sizeof(rest), "&by=%s", both);
			ask_spans(w, both, rest, false);
		}
}

static void ask_groupings(struct walk *w)
{
	const struct report_question *by = question(w->report, "by");
	char rest[128];

	ask_spans(w, "", "", true);
	for (const char *const *word = by ? by->words : NULL; word && *word; word++) {
		snprintf(rest, sizeof(rest), "&by=%s", *word);
		if (question(w->report, "step"))
			ask_steps(w, *word);
		else
			ask_spans(w, *word, rest, true);
	}
	if (by && by->list)
		ask_pairs(w, by);
}

/* Whatever a row is called, the report can be asked for this alone. */
static void ask_only(struct walk *w)
{
	static const char *const names[] = { "tank", "bed",     "fish_lot", "crop_lot", "lot",
					     "crop", "variety", "species",  "loop",     "product" };
	char target[160], rest[160], only[64];

	if (!question(w->report, "only"))
		return;
	for (size_t i = 0; i < sizeof(names) / sizeof(names[0]); i++) {
		const struct report_question *by = question(w->report, "by");

		snprintf(target, sizeof(target), "/api/reports/%s%s%s", w->report->name,
			 by ? "?by=" : "", by ? names[i] : "");

		const struct answer a = get(target);
		const char *text = NULL;
		const json_t *row;
		size_t r;

		json_array_foreach(json_object_get(a.json, "rows"), r, row) if (!text || r % 7 == 3)
			text = json_string_value(json_object_get(row, names[i]));
		if (!text)
			continue;
		snprintf(only, sizeof(only), "%s", text);
		snprintf(rest, sizeof(rest), "&only=%s", only);
		ask_spans(w, "", rest, true);
	}
}

size_t walk_report(const struct report *report, size_t *faults)
{
	struct walk w = { .report = report, .faults = faults };

	ask_groupings(&w);
	ask_only(&w);
	forget_rows();
	return w.opened;
}
