/* docs/API.md from the tables: see describe.h. */
#include <string.h>

#include "api/describe.h"
#include "api/names.h"
#include "api/routes.h"
#include "base/number.h"
#include "book/calculator.h"
#include "book/report.h"

static const char head[] =
	"# The API\n"
	"\n"
	"Made by `weirbook describe` from the service's own tables; a test holds them together. "
	"Change the\n"
	"tables, not this page. `GET /api/openapi.json` says the same to programs (OpenAPI 3.1), "
	"and\n"
	"`GET /api/record` gives kinds, fields and reports as data.\n"
	"\n"
	"## What holds everywhere\n"
	"\n"
	"- JSON, UTF-8. Instants are RFC 3339 with `Z`, whole seconds; days are `YYYY-MM-DD` of "
	"the farm.\n"
	"  Reals have at most 15 digits. A field that is not given is left out; in a report it is "
	"null.\n"
	"- A write carries `X-Weirbook: 1` and `Content-Type: application/json`; an `Origin` must "
	"be our own.\n"
	"- An entry is `{\"id\", \"key\", \"version\", ...fields}`. `key` is a UUID of version 4 "
	"or 7 that the\n"
	"  client makes (`Idempotency-Key` does as well). The same key with equal content answers "
	"201 again\n"
	"  and changes nothing; with other content 422 `key_used`.\n"
	"- A reference is an id in answers; an id or a key when sent.\n"
	"- Lists take a filter by any field (`?tank_id=3`; of a reference several, `tank_id=3,5`), "
	"by a field of what is\n"
	"  referred to (`crop_lot_id.variety_id=4`), by `id=7,9`, `without=grade,tank_id` (fields "
	"not given), `from`\n"
	"  and `to` (days or instants, both included), `order=at`\n"
	"  or `-at`, `struck=1` for struck entries, `limit` (100, at most 1000), `after` (what "
	"`next` was) and\n"
	"  `fields=a,b`. They answer `{\"items\": [...], \"next\": \"...\"}`; `next` is missing at "
	"the end.\n"
	"- A correction is `PATCH` with `If-Match: \"<version>\"` (428 without, 412 with `current` "
	"when stale);\n"
	"  filling empty fields needs none. null clears a field. `change_why` says why "
	"(`why` too, where\n"
	"  the kind has no field of that name); `from_day` changes a dated field from that day on, "
	"unless the\n"
	"  kind has a field of that name. `W/\"3\"`, the tag of a packed answer, is good for "
	"If-Match too: it\n"
	"  names the same version.\n"
	"- Beside the fields: `confirm` (a 409 question is answered yes), `queued` (it waited on a "
	"tablet:\n"
	"  never asked), `clock_offset_s` (service minus tablet). `X-Weirbook-Tablet` names the "
	"tablet's letter.\n"
	"- Batch items: `{\"op\": \"create\" | \"patch\" | \"strike\" | \"restore\", \"kind\", "
	"\"key\", ...}`;\n"
	"  `version` stands for If-Match. At most 500; each is kept or refused by itself.\n"
	"- Answers carry an ETag; `If-None-Match` is answered 304 before anything is read.\n"
	"- `Accept: text/csv` on a list or report answers what its `.csv` does.\n"
	"- Errors are `application/problem+json` (RFC 9457) with `errors: [{field, code, message, "
	"args}]`:\n"
	"  400 cannot be read, 403, 404, 405, 409 a question, 412 stale, 413, 415, 422 breaks a "
	"rule, 428,\n"
	"  429, 503.\n"
	"\n"
	"## Addresses\n"
	"\n"
	"| method | path | what | body at most |\n"
	"|---|---|---|---|\n";

const char how_a_logger_sends[] =
	"A logger posts a batch to `/api/readings` when it has one, with `X-Weirbook: 1`:\n"
	"\n"
	"- `application/json`: `{\"probe\": \"DO-T1\", \"readings\": [{\"at\": "
	"\"2026-11-25T07:58:00Z\", \"value\": 7.1}]}`.\n"
	"  `probe` (code or key) or `probe_id` stands once for all, or in each; a single reading "
	"may be "
	"the body.\n"
	"- `text/csv`: a head `probe,at,value`, then a line each; `at` may also be by the farm's "
	"clock, "
	"`2026-11-25 07:58`.\n"
	"- `application/x-ndjson`: an object `{\"probe\", \"at\", \"value\"}` on each line.\n"
	"\n"
	"It answers 200 `{\"kept\", \"same\", \"refused\", \"errors\": [{\"line\", \"field\", "
	"\"code\", \"message\", \"args\"}]}`:\n"
	"each reading is kept or refused by itself, and the first 100 that are refused are told "
	"(422 when "
	"none could be taken).\n"
	"What is answered is on the disk. A probe has one reading for an instant (whole seconds): "
	"the same "
	"again is `same`,\n"
	"another value takes its place, and late ones find theirs. So a logger that got no answer, "
	"or 503, "
	"sends the same batch\n"
	"again; after 200 or 422 it drops it. A value that the quantity cannot have, and a time "
	"more than "
	"10 minutes ahead, are refused.\n"
	"A stretch in which a probe told wrong is a row of `probe-faults`: its readings stay and "
	"count for "
	"nothing.\n"
	"\n"
	"`GET /api/readings?probe=DO-T1&from=2016-01-01` answers `{\"probe\", ..., \"newest\", "
	"\"step\", \"series\": {\"at\", \"mean\",\n"
	"\"low\", \"high\", \"readings\"}}`, lists of equal length. `step` is the finest that "
	"gives at "
	"most `points`: `each` (then\n"
	"`mean` is the reading, and `low`, `high` and `readings` are left out), `minute`, "
	"`five_minutes`, "
	"`quarter_hour`, `hour`,\n"
	"`six_hours`, `day`, `week`. In a gap every figure is null. A gap is longer than the step "
	"and than "
	"the probe's\n"
	"`silent_after_min`; where that is not set, than three times its usual pace.\n";

static void describe_routes(struct strbuf *out)
{
	for (size_t i = 0; i < n_routes; i++) {
		const struct route *r = &routes[i];

		strbuf_addf(out, "| %s | `%s` | %s | ", r->method, r->path, r->summary);
		if (r->body_limit)
			strbuf_addf(out, "%zu KiB", r->body_limit >> 10);
		strbuf_adds(out, " |\n");
	}
}

static void describe_limits(struct strbuf *out, const struct field *f)
{
	char low[NUMBER_TEXT_MAX], high[NUMBER_TEXT_MAX];

	if (f->has_range) {
		number_write_real(low, f->lo);
		number_write_real(high, f->hi);
		strbuf_addf(out, "%s to %s", low, high);
	}
	if (f->refers_to)
		strbuf_addf(out, "of `%s`", f->refers_to);
	for (const char *const *word = f->words; word && *word; word++)
		strbuf_addf(out, "%s%s", word == f->words ? "" : ", ", *word);
	strbuf_adds(out, " | ");
}

static void describe_field(struct strbuf *out, const struct field *f)
{
	strbuf_addf(out, "| `%s` | %s | %s | ", f->name, field_kind_name(f->kind),
		    f->unit ? f->unit : "");
	describe_limits(out, f);
	if (f->required)
		strbuf_adds(out, "required ");
	if (f->dated)
		strbuf_adds(out, "dated ");
	if (f->server_set)
		strbuf_adds(out, "set by the service ");
	strbuf_adds(out, "|\n");
}

static void describe_choices(struct strbuf *out, const struct choice_of *choice)
{
	for (; choice && choice->fields[0]; choice++) {
		if (choice->min == choice->max)
			strbuf_addf(out, "\nExactly %d of", choice->min);
		else
			strbuf_addf(out, "\n%d to %d of", choice->min, choice->max);
		for (const char *const *name = choice->fields; *name; name++)
			strbuf_addf(out, "%s `%s`", name == choice->fields ? "" : ",", *name);
		strbuf_adds(out, ".\n");
	}
}

static void describe_kind(struct strbuf *out, const struct kind *k)
{
	strbuf_addf(out, "\n### %s\n\n%s%s.", k->name, kind_class_name(k->class),
		    k->is_place ? ", a place" : "");
	if (k->line_of)
		strbuf_addf(out, " A line of its head, by `%s`.", k->line_of);
	strbuf_adds(out, "\n");
	describe_choices(out, k->choices);
	strbuf_adds(out, "\n| field | kind | unit | limits | |\n|---|---|---|---|---|\n");
	for (size_t i = 0; i < k->n_fields; i++)
		describe_field(out, &k->fields[i]);
}

static void describe_common(struct strbuf *out, const char *of, const struct field *fields,
			    size_t n)
{
	strbuf_addf(out, "\n### Every row of %s has also\n\n", of);
	strbuf_adds(out, "| field | kind | unit | limits | |\n|---|---|---|---|---|\n");
	for (size_t i = 0; i < n; i++)
		describe_field(out, &fields[i]);
}

static void describe_question(struct strbuf *out, const struct report_question *q)
{
	strbuf_addf(out, "- `%s`%s%s", q->name, q->help ? ": " : "", q->help ? q->help : "");
	for (const char *const *word = q->words; word && *word; word++)
		strbuf_addf(out, "%s`%s`", word == q->words ? ": " : ", ", *word);
	strbuf_adds(out, q->list ? "; several, with commas.\n" : ".\n");
}

static void describe_report(struct strbuf *out, const struct report *r)
{
	strbuf_addf(out, "\n### %s\n\n%s\n\n", r->name, r->summary);
	for (size_t i = 0; i < r->n_questions; i++)
		describe_question(out, &r->questions[i]);
	strbuf_adds(out,
		    "- `explain`: 1 adds to each row its formula, source, inputs and entries.\n");
	strbuf_adds(out, "\n| column | kind | unit |\n|---|---|---|\n");
	for (size_t i = 0; i < r->n_columns; i++)
		strbuf_addf(out, "| `%s` | %s | %s |\n", r->columns[i].name,
			    field_kind_name(r->columns[i].kind),
			    r->columns[i].unit ? r->columns[i].unit : "");
}

static void describe_number(struct strbuf *out, const struct calc_field *f)
{
	char low[NUMBER_TEXT_MAX], high[NUMBER_TEXT_MAX], usual[NUMBER_TEXT_MAX];

	number_write_real(low, f->low);
	number_write_real(high, f->high);
	strbuf_addf(out, "%s to %s | ", low, high);
	if (!f->has_usual)
		return;
	number_write_real(usual, f->usual);
	strbuf_addf(out, "not given: %s ", usual);
}

static void describe_input(struct strbuf *out, const struct calc_field *f)
{
	strbuf_addf(out, "| `%s` | %s | ", f->name, f->unit ? f->unit : "");
	for (const char *const *word = f->words; word && *word; word++)
		strbuf_addf(out, "%s%s", word == f->words ? "" : ", ", *word);
	if (f->kind == CALC_NUMBER)
		describe_number(out, f);
	else
		strbuf_adds(out, f->kind == CALC_TEXT ? "text | " : " | ");
	if (f->words && !f->required)
		strbuf_addf(out, "not given: %s ", f->words[0]);
	strbuf_addf(out, "%s|\n", f->required ? "required " : "");
}

static void describe_calculator(struct strbuf *out, const struct calculator *c)
{
	strbuf_addf(out, "\n### %s\n\n%s.\n\n", c->name, c->summary);
	strbuf_adds(out, "| input | unit | limits | |\n|---|---|---|---|\n");
	for (size_t i = 0; i < c->n_inputs; i++)
		describe_input(out, &c->inputs[i]);
	strbuf_adds(out, "\nGives");
	for (size_t i = 0; i < c->n_outputs; i++)
		strbuf_addf(out, "%s `%s`%s%s", i ? "," : "", c->outputs[i].name,
			    c->outputs[i].unit ? " " : "",
			    c->outputs[i].unit ? c->outputs[i].unit : "");
	strbuf_addf(out, ".\nFormula: %s.\nSource: %s.\n", c->formula, c->source);
	if (c->caution)
		strbuf_addf(out, "Caution: %s\n", c->caution);
}

static void describe_calculators(struct strbuf *out)
{
	strbuf_adds(
		out,
		"\n## Calculators\n\n"
		"`GET /api/calc/NAME?input=value` answers `{\"name\", \"summary\", \"formula\", "
		"\"source\", \"caution\",\n\"inputs\": {...}, \"outputs\": {...}}`: inputs as "
		"used; an "
		"output that they do not lead to is null. 422\nnames every input that is missing "
		"or out of range. `weirbook calc NAME input=value` answers the same.\nWorked "
		"examples: docs/formulas/calculators.md.\n");
	for (size_t i = 0; calculators[i]; i++)
		describe_calculator(out, calculators[i]);
}

void api_describe(struct strbuf *out)
{
	strbuf_adds(out, head);
	describe_routes(out);
	strbuf_adds(out, "\n## How a logger sends readings\n\n");
	strbuf_adds(out, how_a_logger_sends);
	strbuf_adds(
		out,
		"\n## Reports\n\n"
		"`{\"from\", \"to\", \"as_of\", \"rows\": [...], \"notes\": [{\"code\", "
		"\"message\", \"of\"}]}`\n\n"
		"`explain.entries` of a row are the lists that it was computed from: "
		"`[{\"kind\", \"count\", \"sum\",\n"
		"\"sum_of\", \"part\", \"of\", \"address\"}]`. The list at `address` holds just "
		"these entries; `part` tells lists of\n"
		"one kind apart: `in` and `out` of moves; of other times than the row's "
		"`ends`, `week`, `planted`, `cleared`,\n"
		"`past`; `elsewhere`: of other tanks. `of` names what a list is of, where "
		"there are several.\n");
	for (size_t i = 0; reports[i]; i++)
		describe_report(out, reports[i]);
	describe_calculators(out);
	strbuf_adds(out, "\n## Kinds\n");
	describe_common(out, "set-up and lots", set_up_common, n_set_up_common);
	describe_common(out, "entries", entry_common, n_entry_common);
	describe_common(out, "lines", line_common, n_line_common);
	for (size_t i = 0; kinds[i]; i++)
		describe_kind(out, kinds[i]);
}
