/*
 * Entries in any order give the same record.  The entries of a simulated farm and of some plants arrive in
 * shuffled order; some come wrong and are corrected, some that never were come and are struck out, in between
 * the ledger is settled or not.  Every report must say what it says when all came in order.  Two farms are
 * compared by their rows, without ids, versions and the time of asking.
 */
#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/csv.h"
#include "base/strbuf.h"
#include "book/import.h"
#include "book/import_row.h"
#include "book/report.h"
#include "simulated/sim_farm.h"
#include "store/record.h"
#include "support/csv_farm.h"
#include "support/report_cells.h"
#include "support/run_suites.h"

enum { ORDERS = 25, ENTRIES_MAX = 4000 };

/* What happens to one entry, in this order. */
enum step { STEP_CREATE, STEP_CORRECT, STEP_STRIKE };

struct act {
	size_t entry;
	enum step step;
	uint64_t place; /* in the shuffled order */
};

struct world {
	struct csv_farm farm;
	struct record *entries[ENTRIES_MAX]; /* as they should stand; references as text */
	bool never_was[ENTRIES_MAX];         /* to be struck out again */
	size_t n;
	int64_t now;
	uint64_t state;
};

static uint64_t next_bits(struct world *w)
{
	uint64_t z = (w->state += 0x9E3779B97F4A7C15u); /* SplitMix64 */

	z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
	z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
	return z ^ (z >> 31);
}

static const char crop_lots[] = "code,day,variety,bed,cubes\n"
				"P1,2026-02-02,Oak,G,200\nP2,2026-02-09,Oak,G,150\n";
static const char crop_counts[] = "day,bed,crop_lot,counted,method\n"
				  "2026-02-07,G,P1,180,germination\n2026-02-20,N,P1,170,counted\n";
static const char crop_moves[] =
	"day,crop_lot,from_bed,to_bed,plants,end,empties\n"
	"2026-02-10,P1,G,N,178,,1\n2026-02-17,P2,G,N,140,,1\n2026-02-24,P1,N,B,168,head,1\n"
	"2026-03-03,P2,N,B,100,head,\n2026-03-05,P2,N,B,35,foot,1\n";
static const char crop_losses[] = "day,crop_lot,bed,plants,cause\n"
				  "2026-02-28,P1,B,4,pest\n2026-03-08,P2,B,6,root_rot\n";
static const char crop_harvests[] = "code,day,crop_lot,bed,pieces,weight_g,culled_pieces,empties\n"
				    "H1,2026-03-20,P1,B,80,12800,2,\nH2,2026-03-25,P1,B,79,13100,1,"
				    "1\nH3,2026-04-01,P2,B,60,9000,,\n";
static const char chemistry[] =
	"at,place,ph,tan_mg_l,nitrite_n_mg_l,nitrate_n_mg_l,alkalinity_mg_l,do_mg_l\n"
	"2026-02-03 08:00,W1,6.9,0.4,0.1,40,70,6.1\n2026-02-10 08:00,W1,6.8,0.5,0.1,44,62,6\n"
	"2026-02-17 08:00,W1,6.7,0.6,0.2,47,55,5.8\n2026-02-24 08:00,SA,6.8,0.6,0.2,49,58,5.2\n"
	"2026-03-03 08:00,W1,6.6,0.7,0.2,52,41,5.6\n2026-03-10 08:00,W1,6.7,0.5,0.1,55,48,4.1\n"
	"2026-03-30 08:00,W1,6.9,0.3,0.1,57,60,5.9\n";
static const char doses[] = "at,loop,material,amount_g,ph_before,ph_after\n"
			    "2026-02-18 09:00,W1,Potash,900,6.7,7\n"
			    "2026-03-04 09:00,W1,Potash,1500,6.6,7\n";
static const char water_moves[] = "at,loop,makeup_l\n2026-02-05 09:00,W1,1200\n"
				  "2026-02-20 09:00,W1,900\n2026-03-06 09:00,W1,1500\n";
static const char solids[] = "at,unit,volume_l,went_to\n2026-02-06 08:00,SWIRL,200,mineralizer\n"
			     "2026-02-27 08:00,SWIRL,240,mineralizer\n";
static const char treatments[] = "at,tank,medicine,first_day,last_day,withdrawal_days\n"
				 "2026-03-01 10:00,SB,A medicine,2026-03-01,2026-03-05,2\n";
static const char climate_notes[] = "at,zone,temperature_c,humidity_pct,ppfd\n"
				    "2026-03-20 07:00,GLASS,19,80,90\n"
				    "2026-03-20 13:00,GLASS,26,60,600\n";
static const char packings[] = "code,at,product,packs\nK1,2026-03-20 12:00,HEADS,70\n"
			       "K2,2026-04-01 12:00,HEADS,55\n";
static const char packing_lines[] = "packing,harvest,pieces\nK1,H1,70\nK2,H3,55\n";
static const char materials[] = "name,formula,purpose,purity_pct\n"
				"Potash,KOH,alkalinity,90\n";
static const char ration_steps[] =
	"species,weight_from_g,pct_body_weight_day,source\nFish,5,6,a table\n"
	"Fish,100,3,a table\nFish,300,1.8,a table\n";
static const char feeding_plans[] = "tank,from_day,feed,times\nSA,2026-01-20,Pellet,07:30 16:00\n"
				    "SB,2026-02-20,Pellet,08:00 12:00 16:00\n";
static const char zones[] = "code,name\nGLASS,Glasshouse\n";
static const char units[] = "code,name,loop,role\nSWIRL,Swirl separator,W1,swirl_separator\n";
static const char products[] = "code,name,crop,unit,pack_size\nHEADS,Heads,Lettuce,head,1\n";
static const char crop_set_up[] = "name,cut\nLettuce,once\n";
static const char varieties[] = "name,crop,days_germination,days_nursery,days_raft,days_hold\n"
				"Oak,Lettuce,4,14,28,5\n";
static const char beds[] =
	"code,loop,zone,role,length_m,width_m,raft_length_m,raft_width_m,sites_per_raft\n"
	"G,W1,GLASS,germination,4,2,,,\nN,W1,GLASS,nursery,8,2,,,\n"
	"B,W1,GLASS,raft,12,2.4,0.6,1.2,28\n";

#define TEXT_FILE(n, t)                                                                            \
	{                                                                                          \
		.name = n, .text = t, .length = sizeof(t) - 1                                      \
	}

/* Beside the fish of the simulated farm; each after what it refers to. */
static const struct import_file more_set_up[] = {
	TEXT_FILE("zones.csv", zones),
	TEXT_FILE("crops.csv", crop_set_up),
	TEXT_FILE("varieties.csv", varieties),
	TEXT_FILE("beds.csv", beds),
	TEXT_FILE("ration-steps.csv", ration_steps),
	TEXT_FILE("feeding-plans.csv", feeding_plans),
	TEXT_FILE("units.csv", units),
	TEXT_FILE("materials.csv", materials),
	TEXT_FILE("products.csv", products),
	TEXT_FILE("crop-lots.csv", crop_lots),
	TEXT_FILE("packings.csv", packings),
};
static const struct import_file more_entries[] = {
	TEXT_FILE("crop-counts.csv", crop_counts),
	TEXT_FILE("crop-moves.csv", crop_moves),
	TEXT_FILE("crop-losses.csv", crop_losses),
	TEXT_FILE("harvests.csv", crop_harvests),
	TEXT_FILE("water-tests.csv", chemistry),
	TEXT_FILE("doses.csv", doses),
	TEXT_FILE("water-moves.csv", water_moves),
	TEXT_FILE("solids.csv", solids),
	TEXT_FILE("treatments.csv", treatments),
	TEXT_FILE("climate-notes.csv", climate_notes),
	TEXT_FILE("packing-lines.csv", packing_lines),
};
enum {
	N_MORE_SET_UP = sizeof(more_set_up) / sizeof(more_set_up[0]),
	N_MORE_ENTRIES = sizeof(more_entries) / sizeof(more_entries[0])
};

/* Lots are needed by what refers to them, so they come with the set-up. */
static bool is_set_up(const char *name)
{
	const struct kind *k = kind_find(strndup(name, strlen(name) - 4));

	return k->class != CLASS_ENTRY || strcmp(name, "crop-lots.csv") == 0;
}

/* Reads a file's rows as records with keys of their own. */
static void read_entries(struct world *w, const struct import_file *file)
{
	const struct import_options o = { .separator = ',', .decimal = '.' };
	struct import_head head;
	struct csv_reader reader;
	struct csv_row row;
	struct err err;

	err_clear(&err);
	ck_assert(!import_head_read(file, &o, &reader, &w->farm.arena, &head, &err));
	while (!csv_read(&reader, &w->farm.arena, &row, &err)) {
		struct record *r;
		ck_assert(
			!import_row_read(w->farm.book, &head, &row, &o, &w->farm.arena, &r, &err));
		r->key =
			uuid_v7_from(1767225600000 + (int64_t)w->n, (uint16_t)(w->n & 0xFFF), w->n);
		ck_assert(w->n < ENTRIES_MAX);
		w->entries[w->n++] = r;
	}
}

static void set_up(struct world *w, uint64_t farm_seed)
{
	const struct sim_options o = { .seed = farm_seed, .days = 70, .k_spread = 0.08 };
	struct sim_farm sim;
	struct import_file files[SIM_FILES + N_MORE_SET_UP];
	struct import_result result = { 0 };
	size_t n = 0;
	struct err err;

	memset(w, 0, sizeof(*w));
	err_clear(&err);
	csv_farm_new(&w->farm);
	sim_farm_run(&o, &w->farm.arena, &sim);
	w->now = sim.truth.last_instant + 30 * 86400;
	for (size_t i = 0; i < sim.n_files; i++)
		if (is_set_up(sim.files[i].name))
			files[n++] = sim.files[i];
	for (size_t i = 0; i < N_MORE_SET_UP; i++)
		files[n++] = more_set_up[i];
	const struct import_options io = { .separator = ',', .decimal = '.', .now = w->now };
	ck_assert(!store_begin(w->farm.store, &err));
	ck_assert_msg(!book_import(w->farm.book, files, n, &io, &w->farm.arena, &result, &err),
		      "%s", result.n_errors ? result.errors[0].item.message : "");
	ck_assert(!store_commit(w->farm.store, &err));
	for (size_t i = 0; i < sim.n_files; i++)
		if (!is_set_up(sim.files[i].name))
			read_entries(w, &sim.files[i]);
	for (size_t i = 0; i < N_MORE_ENTRIES; i++)
		read_entries(w, &more_entries[i]);
}

/* The field whose slip is corrected later: a number of this kind. */
static const char *field_to_spoil(const struct kind *k)
{
	static const char *const fields[] = { "amount_g",      "fish",     "counted",
					      "temperature_c", "plants",   "weight_g",
					      "makeup_l",      "volume_l", "tan_mg_l" };

	for (size_t i = 0; i < sizeof(fields) / sizeof(fields[0]); i++)
		if (kind_field_index(k, fields[i]) != SIZE_MAX)
			return fields[i];
	return NULL;
}

/* The entry as it first came: with a slip in one number. */
static struct record *spoiled(struct world *w, const struct record *r)
{
	struct record *s = record_copy(r, &w->farm.arena);
	const char *field = field_to_spoil(r->kind);

	if (!field || !record_has(r, field))
		return s;
	if (record_value(r, field)->type == VALUE_INT)
		record_set_int(s, field, record_int(r, field, 0) + 3);
	else
		record_set_real(s, field, record_real(r, field) * 1.25 + 1.0);
	return s;
}

static void create(struct world *w, const struct record *as)
{
	const struct hand hand = { .arrival = ARRIVES_QUEUED, .now = w->now };
	struct record *r = record_copy(as, &w->farm.arena), *kept;
	bool repeat;
	struct err err;

	err_clear(&err);
	ck_assert(!book_resolve(w->farm.book, r, false, &err));
	const enum err_code rc =
		book_create(w->farm.book, r, &hand, &w->farm.arena, &kept, &repeat, &err);
	ck_assert_msg(!rc, "%s: %s", r->kind->name, err.n_items ? err.items[0].message : "?");
}

static int64_t id_of(struct world *w, const struct record *r)
{
	struct key_row row;
	struct err err;

	err_clear(&err);
	ck_assert(!store_find_key(w->farm.store, &r->key, &row, &err));
	return row.id;
}

static void correct(struct world *w, const struct record *to)
{
	const struct hand hand = { .arrival = ARRIVES_QUEUED, .now = w->now };
	const char *field = field_to_spoil(to->kind);
	bool *given = arena_array(&w->farm.arena, kind_field_count(to->kind), sizeof(*given));
	struct record *kept, *there;
	struct err err;

	if (!field || !record_has(to, field))
		return;
	err_clear(&err);
	given[kind_field_index(to->kind, field)] = true;
	const int64_t id = id_of(w, to);
	ck_assert(!store_get(w->farm.store, to->kind, id, &w->farm.arena, &there, &err));
	ck_assert_msg(!book_patch(w->farm.book, to->kind, id, to, given, there->version, INT64_MIN,
				  &hand, &w->farm.arena, &kept, &err),
		      "%s", err.n_items ? err.items[0].message : "?");
}

static void strike(struct world *w, const struct record *r)
{
	const struct hand hand = { .arrival = ARRIVES_QUEUED, .now = w->now };
	struct record *kept;
	struct err err;

	err_clear(&err);
	ck_assert(!book_strike(w->farm.book, r->kind, id_of(w, r), &hand, &w->farm.arena, &kept,
			       &err));
}

static int by_place(const void *a, const void *b)
{
	const struct act *x = a, *y = b;

	return x->place < y->place ? -1 : x->place > y->place;
}

/* What names a harvest by its code cannot come before it: these come last. */
static uint64_t earliest(const struct kind *k)
{
	return k == kind_find("packing-lines") ? UINT64_MAX / 2 : 0;
}

/* Every entry once; one in eight comes with a slip and is mended, one in sixteen comes a second time under
 * another key, as if it had been, and is struck out. */
static size_t plan(struct world *w, struct act *acts)
{
	const size_t n = w->n;
	size_t n_acts = 0;

	for (size_t i = 0; i < n; i++) {
		const uint64_t made = earliest(w->entries[i]->kind) + (next_bits(w) >> 2);
		acts[n_acts++] = (struct act){ i, STEP_CREATE, made };
		if (i % 8 == 3)
			acts[n_acts++] = (struct act){ i, STEP_CORRECT,
						       made + next_bits(w) % (UINT64_MAX / 4) };
		if (i % 16 != 5 || w->entries[i]->kind == kind_find("harvests"))
			continue;
		struct record *ghost = record_copy(w->entries[i], &w->farm.arena);
		ghost->key = uuid_v7_from(1767225600000, (uint16_t)(i & 0xFFF), 1000000 + i);
		w->entries[w->n] = ghost;
		w->never_was[w->n] = true;
		const uint64_t came = earliest(ghost->kind) + (next_bits(w) >> 2);
		acts[n_acts++] = (struct act){ w->n, STEP_CREATE, came };
		acts[n_acts++] =
			(struct act){ w->n, STEP_STRIKE, came + next_bits(w) % (UINT64_MAX / 4) };
		w->n++;
	}
	return n_acts;
}

static void act_out(struct world *w, const struct act *a, bool slips)
{
	const struct record *r = w->entries[a->entry];

	switch (a->step) {
	case STEP_CREATE:
		create(w,
		       slips && !w->never_was[a->entry] && a->entry % 8 == 3 ? spoiled(w, r) : r);
		break;
	case STEP_CORRECT:
		correct(w, r);
		break;
	case STEP_STRIKE:
		strike(w, r);
		break;
	}
}

/* Alarms are raised by their job, months closed by hand and holds refuse entries: tests/book has these three. */
static bool is_without_rows(const struct report *r)
{
	return strcmp(r->name, "alarms") == 0 || strcmp(r->name, "restated") == 0 ||
	       strcmp(r->name, "held") == 0;
}

/* How many rows it has. */
static size_t add_report(struct world *w, const struct report *report, const struct report_query *q,
			 struct strbuf *out)
{
	struct report_result got;

	report_run(w->farm.book, report->name, q, &w->farm.arena, &got);
	strbuf_addf(out, "== %s %s %s\n", report->name, q->by ? q->by : "", q->step ? q->step : "");
	report_add_text(report, &got, out);
	return got.n_rows;
}

/* Where a question's answer goes, of those that have words. */
static const char **answer_to(struct report_query *q, const char *question)
{
	if (strcmp(question, "by") == 0)
		return &q->by;
	if (strcmp(question, "step") == 0)
		return &q->step;
	if (strcmp(question, "only") == 0)
		return &q->only;
	return &q->size;
}

/* As nobody asks, over all that was, of a day long past, and with each word of each question. */
static void ask_all_of(struct world *w, const struct report *report, struct strbuf *out)
{
	struct report_query plain = report_query_at(w->now), q = plain;

	q.explain = true;
	size_t rows = add_report(w, report, &q, out);
	q.from_day = w->now / 86400 - 150;
	q.to_day = w->now / 86400;
	rows += add_report(w, report, &q, out);
	const struct report_query whole = q;
	q = plain;
	q.day = w->now / 86400 - 60;
	rows += add_report(w, report, &q, out);
	for (size_t i = 0; i < report->n_questions; i++)
		for (size_t word = 0;
		     report->questions[i].words && report->questions[i].words[word]; word++) {
			q = whole;
			*answer_to(&q, report->questions[i].name) =
				report->questions[i].words[word];
			rows += add_report(w, report, &q, out);
		}
	ck_assert_msg(rows > 0 || is_without_rows(report), "%s has no row", report->name);
}

/* Owned. */
static char *all_reports(struct world *w)
{
	struct strbuf out;

	strbuf_init(&out);
	for (size_t i = 0; reports[i]; i++)
		ask_all_of(w, reports[i], &out);
	return strbuf_detach(&out, NULL);
}

/* In the order of the files, with nothing to mend. */
static char *in_order(uint64_t farm_seed)
{
	struct world *w = malloc(sizeof(*w));
	struct err err;

	err_clear(&err);
	set_up(w, farm_seed);
	ck_assert(!store_begin(w->farm.store, &err));
	for (size_t i = 0; i < w->n; i++)
		create(w, w->entries[i]);
	ck_assert(!store_commit(w->farm.store, &err));
	while (book_settle(w->farm.book))
		;
	char *text = all_reports(w);
	csv_farm_close(&w->farm);
	free(w);
	return text;
}

static char *shuffled(uint64_t farm_seed, uint64_t order_seed)
{
	struct world *w = malloc(sizeof(*w));
	struct act *acts = malloc(4 * ENTRIES_MAX * sizeof(*acts));
	struct err err;

	err_clear(&err);
	set_up(w, farm_seed);
	w->state = order_seed;
	const size_t n = plan(w, acts);
	qsort(acts, n, sizeof(*acts), by_place);
	ck_assert(!store_begin(w->farm.store, &err));
	for (size_t i = 0; i < n; i++) {
		act_out(w, &acts[i], true);
		if (next_bits(w) % 200 == 0) {
			ck_assert(!store_commit(w->farm.store, &err));
			while (book_settle(w->farm.book))
				;
			ck_assert(!store_begin(w->farm.store, &err));
		}
	}
	ck_assert(!store_commit(w->farm.store, &err));
	char *text = all_reports(w); /* some lots are settled, some are not */
	csv_farm_close(&w->farm);
	free(acts);
	free(w);
	return text;
}

static void show_first_difference(const char *a, const char *b, char out[400])
{
	size_t i = 0;

	while (a[i] && a[i] == b[i])
		i++;
	const size_t from = i > 100 ? i - 100 : 0;
	snprintf(out, 400, "in order  ...%.160s\nshuffled  ...%.160s", a + from, b + from);
}

START_TEST(entries_in_any_order_give_the_same_reports)
{
	char difference[400];
	const uint64_t order_seed = 7000 + (uint64_t)_i;
	char *expected = in_order(42), *got = shuffled(42, order_seed);

	if (strcmp(expected, got) != 0) {
		show_first_difference(expected, got, difference);
		ck_abort_msg("order %llu:\n%s", (unsigned long long)order_seed, difference);
	}
	ck_assert(strlen(expected) > 1000);
	free(expected);
	free(got);
}
END_TEST

static Suite *any_order_suite(void)
{
	Suite *s = suite_create("any order");
	TCase *c = tcase_create("shuffled");

	tcase_set_timeout(c, 300);
	tcase_add_loop_test(c, entries_in_any_order_give_the_same_reports, 0, ORDERS);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	static Suite *(*const suites[])(void) = {
		any_order_suite,
		NULL,
	};

	return run_suites(suites);
}
