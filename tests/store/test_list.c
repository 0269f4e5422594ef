/* Lists: order, cursor, filters, days, struck rows. */
#include <stdlib.h>

#include "model/kinds.h"
#include "store_tests.h"

enum { FIRST_DAY = 19700, DAYS = 10, A_DAY = 40, ROWS = DAYS * A_DAY };

static int64_t tanks[2], feed;

/* Many feedings, some of one instant, entered in no order. */
static void set_up_feedings(void)
{
	set_up();
	tanks[0] = keep_tank("T1");
	tanks[1] = keep_tank("T2");
	feed = keep_feed("Sinking 3 mm");
	for (int i = 0; i < ROWS; i++) {
		int n = i * 149 % ROWS; /* each once: 149 and ROWS have no common factor */
		int64_t at = (FIRST_DAY + n / A_DAY) * INT64_C(86400) + n % A_DAY / 3 * 600;

		keep_feeding(tanks[n % 2], feed, at, 100 + n);
	}
}

static struct list_query feedings(void)
{
	return (struct list_query){ .kind = &feedings_kind,
				    .from_day = INT64_MIN,
				    .to_day = INT64_MAX };
}

static void strike(int64_t id)
{
	struct record *r = NULL;

	ck_ok(store_get(st, &feedings_kind, id, &arena, &r, &err));
	record_set_int(r, "struck_at", 1800000000);
	ck_ok(store_update(st, r, &err));
}

/* Does b come after a in (instant, id), or before when newest first? */
static bool follows(const struct list_query *q, const struct record *a, int64_t instant, int64_t id)
{
	bool after = a->instant > instant || (a->instant == instant && a->id > id);

	return q->newest_first ? !after : after;
}

START_TEST(a_list_stands_in_the_order_of_instant_and_id)
{
	struct list_query q = feedings();
	struct record_list *l = NULL;
	const struct record *r = NULL;
	int64_t n = 0, instant = 0, id = 0;

	q.newest_first = _i;
	ck_ok(record_list_open(st, &q, &l, &err));
	while (record_list_next(l, &r, &err) == ERR_NONE) {
		ck_assert(n == 0 || follows(&q, r, instant, id));
		instant = r->instant;
		id = r->id;
		n++;
	}
	ck_assert_int_eq(record_list_next(l, &r, &err), ERR_NOT_FOUND); /* and so it stays */
	record_list_close(l);
	ck_assert_int_eq(n, ROWS);
}
END_TEST

/* Pages of 7, each begun behind the last row of the one before, are the whole list. */
START_TEST(a_cursor_goes_on_where_the_page_ended)
{
	struct list_query q = feedings();
	struct list_filter filter = { .field = kind_field(&feedings_kind, 0),
				      .equals = { .type = VALUE_INT, .i = tanks[1] } };
	bool seen[ROWS + 1000] = { false };
	int64_t total = 0, page;

	q.newest_first = _i & 1;
	q.filters = &filter;
	q.n_filters = _i & 2 ? 1 : 0;
	q.limit = 7;
	do {
		struct record_list *l = NULL;
		const struct record *r = NULL;

		page = 0;
		ck_ok(record_list_open(st, &q, &l, &err));
		while (record_list_next(l, &r, &err) == ERR_NONE) {
			ck_assert(!q.has_cursor || follows(&q, r, q.after_instant, q.after_id));
			ck_assert(!seen[r->id]);
			seen[r->id] = true;
			q.has_cursor = true;
			q.after_instant = r->instant;
			q.after_id = r->id;
			page++;
		}
		record_list_close(l);
		ck_assert_int_le(page, 7);
		total += page;
	} while (page > 0);
	ck_assert_int_eq(total, q.n_filters ? ROWS / 2 : ROWS);
}
END_TEST

START_TEST(set_up_stands_in_the_order_of_id_with_a_cursor)
{
	struct list_query q = { .kind = &tanks_kind, .from_day = INT64_MIN, .to_day = INT64_MAX };
	struct record_list *l = NULL;
	const struct record *r = NULL;

	q.has_cursor = true;
	q.after_id = tanks[0];
	ck_ok(record_list_open(st, &q, &l, &err));
	ck_ok(record_list_next(l, &r, &err));
	ck_assert_int_eq(r->id, tanks[1]);
	ck_assert_int_eq(record_list_next(l, &r, &err), ERR_NOT_FOUND);
	record_list_close(l);
}
END_TEST

START_TEST(from_and_to_are_farm_days_both_included)
{
	struct list_query q = feedings();

	q.from_day = FIRST_DAY + 2;
	q.to_day = FIRST_DAY + 4;
	ck_assert_int_eq(count_rows(q), 3 * A_DAY);
	q.to_day = q.from_day;
	ck_assert_int_eq(count_rows(q), A_DAY);
	q.to_day = INT64_MAX;
	ck_assert_int_eq(count_rows(q), 8 * A_DAY);
	q.from_day = INT64_MIN;
	q.to_day = FIRST_DAY;
	ck_assert_int_eq(count_rows(q), A_DAY);
	q.from_day = q.to_day + 1;
	ck_assert_int_eq(count_rows(q), 0);
}
END_TEST

/* A day by its column, although the instant lies as far from UTC's day as zone and hour can bring it:
 * 14 h ahead, or 12 h behind with a day that begins at 12. */
START_TEST(a_day_is_the_farms_whatever_the_zone)
{
	static const int64_t shifts[] = { -14 * 3600, 24 * 3600, 48 * 3600 - 1 };
	struct list_query q = feedings();
	int64_t day = FIRST_DAY + 100;

	for (size_t i = 0; i < sizeof(shifts) / sizeof(shifts[0]); i++) {
		int64_t id = keep_feeding(tanks[0], feed, day * 86400 + shifts[i], 1);
		struct record *r = NULL;

		ck_ok(store_get(st, &feedings_kind, id, &arena, &r, &err));
		record_set_int(r, "day", day);
		ck_ok(store_update(st, r, &err));
	}
	q.from_day = q.to_day = day;
	ck_assert_int_eq(count_rows(q), 3);
}
END_TEST

START_TEST(filters_hold_all_at_once)
{
	struct list_filter filters[] = {
		{ .field = kind_field(&feedings_kind, kind_field_index(&feedings_kind, "tank_id")),
		  .equals = { .type = VALUE_INT, .i = tanks[0] } },
		{ .field = kind_field(&feedings_kind, kind_field_index(&feedings_kind, "amount_g")),
		  .equals = { .type = VALUE_REAL, .r = 106 } },
		{ .field = kind_field(&feedings_kind, kind_field_index(&feedings_kind, "appetite")),
		  .equals = { .type = VALUE_NONE } },
	};
	struct list_query q = feedings();

	q.filters = filters;
	q.n_filters = 3;
	ck_assert_int_eq(count_rows(q), 1);
	filters[0].equals.i = tanks[1];
	ck_assert_int_eq(count_rows(q), 0);
	filters[2].equals = (struct value){ .type = VALUE_TEXT, .text = "keen" };
	filters[0].equals.i = tanks[0];
	ck_assert_int_eq(count_rows(q), 0);
}
END_TEST

START_TEST(a_filter_on_a_code_ignores_case)
{
	struct list_filter filter = { .field = kind_field(&tanks_kind, 0),
				      .equals = { .type = VALUE_TEXT, .text = "t2" } };
	struct list_query q = { .kind = &tanks_kind,
				.from_day = INT64_MIN,
				.to_day = INT64_MAX,
				.filters = &filter,
				.n_filters = 1 };

	ck_assert_str_eq(filter.field->name, "code");
	ck_assert_int_eq(count_rows(q), 1);
}
END_TEST

START_TEST(struck_rows_come_only_when_asked_for)
{
	struct list_query q = feedings();

	strike(3);
	strike(5);
	ck_assert_int_eq(count_rows(q), ROWS - 2);
	q.with_struck = true;
	ck_assert_int_eq(count_rows(q), 2);
	q.with_struck = false;
	q.all = true;
	ck_assert_int_eq(count_rows(q), ROWS);
}
END_TEST

START_TEST(export_stands_in_the_order_of_instant_and_key)
{
	struct list_query q = feedings();
	struct record_list *l = NULL;
	const struct record *r = NULL;
	struct uuid key = { { 0 } };
	int64_t instant = INT64_MIN;

	q.by_key = q.all = true;
	ck_ok(record_list_open(st, &q, &l, &err));
	while (record_list_next(l, &r, &err) == ERR_NONE) {
		ck_assert(r->instant > instant ||
			  (r->instant == instant && uuid_compare(&r->key, &key) > 0));
		instant = r->instant;
		key = r->key;
	}
	record_list_close(l);
}
END_TEST

START_TEST(export_of_set_up_stands_in_the_order_of_code)
{
	struct list_query q = {
		.kind = &tanks_kind, .from_day = INT64_MIN, .to_day = INT64_MAX, .by_key = true
	};
	struct record_list *l = NULL;
	const struct record *r = NULL;
	const char *codes[] = { "A1", "T1", "T2" };

	keep_tank("A1");
	ck_ok(record_list_open(st, &q, &l, &err));
	for (int i = 0; i < 3; i++) {
		ck_ok(record_list_next(l, &r, &err));
		ck_assert_str_eq(record_text(r, "code"), codes[i]);
	}
	record_list_close(l);
}
END_TEST

/* More lists of one form than are kept prepared, all open at once, do not disturb each other. */
START_TEST(many_lists_may_be_open_at_once)
{
	enum { LISTS = 40 };
	struct record_list *lists[LISTS];
	const struct record *r = NULL;

	for (int i = 0; i < LISTS; i++) {
		struct list_query q = feedings();

		q.limit = 1 + i;
		ck_ok(record_list_open(st, &q, &lists[i], &err));
	}
	for (int step = 0; step < LISTS; step++)
		for (int i = 0; i < LISTS; i++)
			ck_assert_int_eq(record_list_next(lists[i], &r, &err),
					 step <= i ? ERR_NONE : ERR_NOT_FOUND);
	for (int i = 0; i < LISTS; i++)
		record_list_close(lists[i]);
	ck_assert_int_eq(count_rows(feedings()), ROWS);
}
END_TEST

/* More forms than are kept prepared: the oldest give way, and come back right. */
START_TEST(many_forms_of_lists_follow_each_other)
{
	for (int round = 0; round < 3; round++)
		for (size_t i = 0; kinds[i]; i++) {
			struct list_query q = { .kind = kinds[i],
						.from_day = FIRST_DAY,
						.to_day = FIRST_DAY + DAYS };

			int64_t n = count_rows(q);
			if (kinds[i] == &feedings_kind)
				ck_assert_int_eq(n, ROWS);
			if (kinds[i] == &tanks_kind)
				ck_assert_int_eq(n, 2);
		}
}
END_TEST

Suite *list_suite(void)
{
	Suite *s = suite_create("list");
	TCase *c = tcase_create("lists");

	tcase_add_checked_fixture(c, set_up_feedings, tear_down);
	tcase_add_loop_test(c, a_list_stands_in_the_order_of_instant_and_id, 0, 2);
	tcase_add_loop_test(c, a_cursor_goes_on_where_the_page_ended, 0, 4);
	tcase_add_test(c, set_up_stands_in_the_order_of_id_with_a_cursor);
	tcase_add_test(c, from_and_to_are_farm_days_both_included);
	tcase_add_test(c, a_day_is_the_farms_whatever_the_zone);
	tcase_add_test(c, filters_hold_all_at_once);
	tcase_add_test(c, a_filter_on_a_code_ignores_case);
	tcase_add_test(c, struck_rows_come_only_when_asked_for);
	tcase_add_test(c, export_stands_in_the_order_of_instant_and_key);
	tcase_add_test(c, export_of_set_up_stands_in_the_order_of_code);
	tcase_add_test(c, many_lists_may_be_open_at_once);
	tcase_add_test(c, many_forms_of_lists_follow_each_other);
	suite_add_tcase(s, c);
	return s;
}
