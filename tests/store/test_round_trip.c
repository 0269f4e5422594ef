/* Every kind of the dictionary comes back from its table as it went in. */
#include <string.h>

#include "model/kinds.h"
#include "store_tests.h"

/* Fields differ by index, so that two columns that were exchanged show. */
static void ck_same(const struct record *a, const struct record *b)
{
	ck_assert_ptr_eq(a->kind, b->kind);
	ck_assert_int_eq(a->id, b->id);
	ck_assert_int_eq(uuid_compare(&a->key, &b->key), 0);
	ck_assert_int_eq(a->version, b->version);
	ck_assert_int_eq(a->instant, b->instant);
	for (size_t i = 0; i < kind_field_count(a->kind); i++)
		ck_assert_msg(value_equal(&a->values[i], &b->values[i]), "%s.%s", a->kind->name,
			      kind_field(a->kind, i)->name);
}

/* Makes numbers of one record differ from each other. */
static void spread(struct record *r)
{
	for (size_t i = 0; i < kind_field_count(r->kind); i++) {
		const struct field *f = kind_field(r->kind, i);

		if (f->kind == KIND_REFERENCE || strcmp(f->name, "changed_at") == 0)
			continue;
		if (r->values[i].type == VALUE_INT)
			r->values[i].i += 100 * (int64_t)i;
		if (r->values[i].type == VALUE_REAL)
			r->values[i].r += 100 * (double)i;
	}
}

static struct record *got(const struct record *r)
{
	struct record *back = NULL;

	ck_ok(store_get(st, r->kind, r->id, &arena, &back, &err));
	return back;
}

/* The row as the list that holds it alone gives it; a copy. */
static struct record *listed(const struct record *r)
{
	struct list_query q = {
		.kind = r->kind, .from_day = INT64_MIN, .to_day = INT64_MAX, .all = true
	};
	struct record_list *l = NULL;
	const struct record *row = NULL;
	struct record *copy = NULL;

	ck_ok(record_list_open(st, &q, &l, &err));
	while (record_list_next(l, &row, &err) == ERR_NONE) {
		if (row->id != r->id || (r->kind == &places_kind && copy))
			continue;
		copy = record_copy(row, &arena);
		for (size_t i = 0; i < kind_field_count(r->kind); i++)
			if (copy->values[i].type == VALUE_TEXT)
				copy->values[i].text = arena_strdup(&arena, copy->values[i].text);
	}
	record_list_close(l);
	ck_assert_ptr_nonnull(copy);
	return copy;
}

static struct record *new_row(const struct kind *k, int seed, struct samples *samples)
{
	int64_t own_id = 5000;

	sample_rows(st, k, samples, &arena);
	struct record *r = sample_record(k, seed, samples, own_id, &arena);
	if (k != &readings_kind)
		r->id = own_id;
	if (k != &readings_kind)
		spread(r);
	return r;
}

START_TEST(every_field_comes_back)
{
	const struct kind *k = kinds[_i];
	struct samples samples;

	if (k == &farm_kind)
		return; /* see the_farm_is_there_and_can_be_set_up */
	struct record *r = new_row(k, 7, &samples);
	ck_ok(store_insert(st, r, sample_fingerprint, &err));
	if (k == &readings_kind) { /* a reading is found by probe and time, through a list alone */
		r->id = record_int(r, "probe_id", 0);
		memset(&r->key, 0, sizeof(r->key));
	} else {
		ck_same(r, got(r));
	}
	ck_same(r, listed(r));
}
END_TEST

START_TEST(every_field_can_be_corrected)
{
	const struct kind *k = kinds[_i];
	struct samples samples;

	if (k == &farm_kind || k == &readings_kind)
		return;
	struct record *r = new_row(k, 7, &samples);
	struct record *other = sample_record(k, 8, &samples, r->id, &arena);
	ck_ok(store_insert(st, r, sample_fingerprint, &err));
	spread(other);
	other->id = r->id;
	other->key = r->key;
	other->version = 2;
	ck_ok(store_update(st, other, &err));
	ck_same(other, got(r));
}
END_TEST

START_TEST(a_field_not_given_stays_none)
{
	const struct kind *k = kinds[_i];
	struct samples samples;

	if (k == &farm_kind || k == &readings_kind)
		return;
	struct record *r = new_row(k, 7, &samples);
	for (size_t i = 0; i < kind_field_count(k); i++) {
		const struct field *f = kind_field(k, i);

		if (!f->required && strcmp(f->name, "day") != 0 && strcmp(f->name, "sort") != 0)
			r->values[i].type = VALUE_NONE;
	}
	ck_ok(store_insert(st, r, sample_fingerprint, &err));
	ck_same(r, got(r));
}
END_TEST

START_TEST(the_farm_is_there_and_can_be_set_up)
{
	struct samples samples = { { 0 } };
	struct record *farm = NULL;

	ck_ok(store_get(st, &farm_kind, 1, &arena, &farm, &err));
	ck_assert_str_eq(record_text(farm, "time_zone"), "UTC");
	struct record *r = sample_record(&farm_kind, 3, &samples, 1, &arena);
	r->id = 1;
	r->key = farm->key;
	r->version = 2;
	ck_ok(store_update(st, r, &err));
	ck_same(r, got(r));
}
END_TEST

START_TEST(extreme_numbers_come_back)
{
	static const double reals[] = { 0.1, 1e-300, 1.7e308, -0.5, 123456789012345.0 };
	int64_t tank = keep_tank("T1"), feed = keep_feed("Sinking 3 mm");

	for (size_t i = 0; i < sizeof(reals) / sizeof(reals[0]); i++) {
		struct record *back = NULL;
		int64_t id = keep_feeding(tank, feed, 1700000000 + (int64_t)i, reals[i]);

		ck_ok(store_get(st, &feedings_kind, id, &arena, &back, &err));
		ck_assert(record_real(back, "amount_g") == reals[i]);
	}
}
END_TEST

START_TEST(a_row_that_is_not_there_is_not_found)
{
	struct record *back = NULL;

	ck_refused(store_get(st, &tanks_kind, 77, &arena, &back, &err), ERR_NOT_FOUND, "not_found");
	struct record *r = record_new(&feeds_kind, &arena);
	r->id = 77;
	record_set_text(r, "name", "Nothing");
	record_set_real(r, "protein_pct", 1);
	ck_refused(store_update(st, r, &err), ERR_NOT_FOUND, "not_found");
}
END_TEST

START_TEST(a_place_of_every_sort_is_listed_among_places)
{
	struct samples samples;
	struct list_query q = { .kind = &places_kind, .from_day = INT64_MIN, .to_day = INT64_MAX };
	int64_t n = 0;

	sample_rows(st, &staff_kind, &samples, &arena);
	for (size_t i = 0; kinds[i]; i++)
		n += kinds[i]->is_place;
	ck_assert_int_eq(count_rows(q), n);
	struct record *tank = NULL;
	ck_ok(store_get(st, &places_kind, samples.ids[kind_index(&tanks_kind)], &arena, &tank,
			&err));
	ck_assert_str_eq(record_text(tank, "sort"), "tanks");
}
END_TEST

START_TEST(a_tank_mended_through_places_stays_a_tank)
{
	int64_t id = keep_tank("T1"), found = 0;
	struct record *place = NULL, *tank = NULL;
	const struct kind *k = NULL;

	ck_ok(store_get(st, &places_kind, id, &arena, &place, &err));
	record_set_text(place, "code", "T9");
	record_set_text(place, "sort", "beds"); /* not for an update to say */
	place->version++;
	ck_ok(store_update(st, place, &err));
	ck_ok(store_get(st, &tanks_kind, id, &arena, &tank, &err));
	ck_assert_str_eq(record_text(tank, "code"), "T9");
	ck_ok(store_find_code(st, "t9", &k, &found, &err));
	ck_assert_ptr_eq(k, &tanks_kind);
	ck_assert_int_eq(found, id);
	ck_ok(store_get(st, &places_kind, id, &arena, &place, &err));
	ck_assert_str_eq(record_text(place, "sort"), "tanks");
}
END_TEST

Suite *round_trip_suite(void)
{
	Suite *s = suite_create("round trip");
	TCase *c = tcase_create("all kinds");

	tcase_add_checked_fixture(c, set_up, tear_down);
	tcase_add_loop_test(c, every_field_comes_back, 0, (int)kind_count());
	tcase_add_loop_test(c, every_field_can_be_corrected, 0, (int)kind_count());
	tcase_add_loop_test(c, a_field_not_given_stays_none, 0, (int)kind_count());
	tcase_add_test(c, the_farm_is_there_and_can_be_set_up);
	tcase_add_test(c, extreme_numbers_come_back);
	tcase_add_test(c, a_row_that_is_not_there_is_not_found);
	tcase_add_test(c, a_place_of_every_sort_is_listed_among_places);
	tcase_add_test(c, a_tank_mended_through_places_stays_a_tank);
	suite_add_tcase(s, c);
	return s;
}
