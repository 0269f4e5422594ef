/* What an entry was before stands in `changes` and can be read back: every version of it, any kind of field. */
#include "book/before.h"
#include "book/history.h"
#include "book_tests.h"
#include "support/mini_farm.h"

#include <stdlib.h>
#include <string.h>

static struct mini_farm f;

static void open_farm(void)
{
	mini_farm_open(&f);
}

static void close_farm(void)
{
	mini_farm_close(&f);
}

/* kind, fields of the first version, then one field and text a correction. */
static const struct {
	const char *made[16];
	const char *corrections[12];
} lives[] = {
	{ { "feeding-plans", "tank_id", "T1", "from_day", "2026-03-10", "feed_id", "Grower 32",
	    "times", "07:00 12:30", NULL },
	  { "times", "06:30 12:30 18:00", "shares", "1 1 2.5", "feed_id", "Starter 45", "shares",
	    "", "fixed_pct", "0.1", NULL } },
	{ { "water-tests", "place_id", "T1", "at", "2026-03-10T08:00:00Z", "tan_mg_l", "0.25",
	    "below", "tan_mg_l", NULL },
	  { "ph", "6.85", "place_id", "L1", "below", "", "note",
	    "said \"no\"\n\\ back\ttab \xc3\xb1", "day", "2026-03-10", NULL } },
	{ { "fish-moves", "fish_lot_id", "F1", "from_tank_id", "T1", "to_tank_id", "T2", "fish",
	    "10", "reason", "transfer", "day", "2026-03-10", NULL },
	  { "empties", "1", "empties", "0", "to_tank_id", "", "at", "2026-03-10T08:00:00Z",
	    "weight_g", "812.125", NULL } },
};

START_TEST(every_version_can_be_read_back)
{
	struct record *versions[8], *now;
	size_t n = 0;
	const char *const *made = lives[_i].made, *const *c = lives[_i].corrections;
	struct record *r = record_new(kind_find(made[0]), &f.arena);

	for (size_t i = 1; made[i]; i += 2) {
		size_t field = kind_field_index(r->kind, made[i]);

		ck_assert(!field_read(kind_field(r->kind, field), made[i + 1], '.', &f.arena,
				      &r->values[field], &f.err));
	}
	f.hand.confirm = true;
	versions[n++] = mini_keep(&f, r);
	for (size_t i = 0; c[i]; i += 2)
		ck_assert_msg(!mini_patch(&f, versions[0], c[i], c[i + 1], &versions[n++]),
			      "%s: %s", c[i], f.err.items[0].message);
	now = mini_get(&f, versions[0]);
	ck_assert_int_eq(now->version, versions[n - 1]->version);
	for (size_t v = (size_t)now->version; v > 0; v--) {
		struct record *then = versions[v - 1];

		ck_assert_int_eq(then->version, (int64_t)v);
		for (size_t i = 0; i < kind_field_count(now->kind); i++)
			ck_assert_msg(value_equal(&now->values[i], &then->values[i]),
				      "version %zu: %s", v, kind_field(now->kind, i)->name);
		err_clear(&f.err);
		ck_assert_int_eq(history_step_back(f.book, now, &f.arena, &f.err),
				 v > 1 ? ERR_NONE : ERR_NOT_FOUND);
	}
}
END_TEST

static const char *const broken[] = { "",
				      "{",
				      "[]",
				      "{\"fish\"}",
				      "{\"fish\":}",
				      "{\"fish\":1",
				      "{\"fish\":1,}",
				      "{\"fish\":\"1}",
				      "{\"nets\":[1,2}",
				      "{\"fish\":x}",
				      "{\"tank_id\":\"not a key\"}",
				      "{\"tank_id\":\"0190a5c0-0000-7000-8000-00000000ffff\"}" };

START_TEST(a_line_that_is_broken_is_said_to_be)
{
	struct record *r = record_new(kind_find("weighings"), &f.arena);

	err_clear(&f.err);
	ck_assert(before_read(f.book, broken[_i], r, &f.arena, &f.err) != ERR_NONE);
}
END_TEST

START_TEST(an_empty_object_changes_nothing)
{
	struct record *r = record_new(kind_find("weighings"), &f.arena);

	err_clear(&f.err);
	ck_assert(!before_read(f.book, " { } ", r, &f.arena, &f.err));
	ck_assert(!record_has(r, "fish"));
}
END_TEST

START_TEST(a_field_that_is_no_more_is_passed_over)
{
	struct record *r = record_new(kind_find("weighings"), &f.arena);

	err_clear(&f.err);
	ck_assert(!before_read(f.book, "{\"colour\":\"red\",\"fish\":20}", r, &f.arena, &f.err));
	ck_assert_int_eq(record_int(r, "fish", 0), 20);
}
END_TEST

Suite *history_suite(void)
{
	Suite *s = suite_create("history");
	TCase *t = tcase_create("history");

	tcase_add_checked_fixture(t, open_farm, close_farm);
	tcase_add_loop_test(t, every_version_can_be_read_back, 0, sizeof(lives) / sizeof(lives[0]));
	tcase_add_loop_test(t, a_line_that_is_broken_is_said_to_be, 0,
			    sizeof(broken) / sizeof(broken[0]));
	tcase_add_test(t, an_empty_object_changes_nothing);
	tcase_add_test(t, a_field_that_is_no_more_is_passed_over);
	suite_add_tcase(s, t);
	return s;
}
