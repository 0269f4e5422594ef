/* The balance's pure functions against published values: each row names its source. */
#include "balance_tests.h"

#include <math.h>

#include "domain/balance.h"
#include "domain/dosing.h"
#include "domain/loading.h"

static double tan_g(double feed_g, double protein_pct)
{
	return feed_load_of(feed_g, protein_pct, &feed_loads_usual).tan_g;
}

/*
 * TAN of feed: Hager, Bright, Dusci and Tidwell (2021), Aquaponics Production Manual, Kentucky State University.
 * Feed of the second row: Rakocy and others (2004), Acta Horticulturae 648, 81.4 g/m2/d on 214 m2.
 */
START_TEST(ammonia_of_feed_is_as_published)
{
	ck_assert_double_eq_tol(tan_g(2000, 32), 58.9, 0.05);
	ck_assert_double_eq_tol(tan_g(17400, 32), 512.3, 1);
	ck_assert_double_eq_tol(tan_g(100, 32), 3, 0.1); /* "3 % of the feed" */
}
END_TEST

/* 58.9 g TAN a day x 7.05: Ebeling, Timmons and Bisogni (2006), Aquaculture 257; solids: Timmons and Ebeling (2010). */
START_TEST(alkalinity_and_solids_of_feed_are_as_published)
{
	const struct feed_load load = feed_load_of(2000, 32, &feed_loads_usual);

	ck_assert_double_eq_tol(load.alkalinity_g, 415.2, 1);
	ck_assert_double_eq_tol(load.alkalinity_g / base_alkalinity_per_gram(BASE_KOH), 465.6, 1);
	ck_assert_double_eq_tol(load.alkalinity_g / base_alkalinity_per_gram(BASE_CA_OH_2), 307.4,
				1);
	ck_assert_double_eq_tol(feed_load_of(20000, 32, &feed_loads_usual).solids_g, 5000, 500);
}
END_TEST

/* Rakocy (2007), Ten guidelines, guideline 1 and its worked example; Somerville and others (2014), FAO 589. */
START_TEST(bands_and_their_worked_example_are_as_published)
{
	ck_assert_double_eq(feed_bands[0].low, 60);
	ck_assert_double_eq(feed_bands[0].high, 100);
	ck_assert_double_eq(feed_bands[1].low, 40);
	ck_assert_double_eq(feed_bands[1].high, 50);
	ck_assert_double_eq(feed_bands[2].low, 50);
	ck_assert_double_eq(feed_bands[2].high, 80);
	ck_assert_double_eq_tol(1000 / feed_bands[0].low, 16.7, 0.05);
	ck_assert_double_eq(feed_of_area_g_day(200, feed_bands[0].high), 20000);
	ck_assert_int_eq(feed_band_side(99.6, 60, 100), 0);
	ck_assert_int_eq(feed_band_side(100.1, 60, 100), 1);
	ck_assert_int_eq(feed_band_side(59.9, 60, 100), -1);
	ck_assert_int_eq(feed_band_side(59.9, NAN, NAN), 0);
}
END_TEST

/*
 * Nitrogen of feed: Nozzi and others (2018), Agronomy 8, 375 g/kg protein is 60 g N/kg; Quillere and others (1995),
 * 35 % protein is 5.6 % N; Somerville and others (2014), 200 g at 32 % is 10.24 g N.  Licamele (2009) measured 59.7
 * g N in a kilogram of a 35 % feed, 7 % more than protein / 6.25: the tag's protein is the stand taken.
 */
START_TEST(nitrogen_of_feed_is_as_published)
{
	ck_assert_double_eq_tol(nitrogen_of_feed_g(1000, 37.5), 60, 1e-9);
	ck_assert_double_eq_tol(nitrogen_of_feed_g(100, 35), 5.6, 0.05);
	ck_assert_double_eq_tol(nitrogen_of_feed_g(200, 32), 10.24, 0.01);
	ck_assert_double_eq_tol(nitrogen_of_feed_g(1000, 35), 59.7, 59.7 * 0.07);
}
END_TEST

/* A head of 176.75 g with 2.47 % dry matter at 3.38 % holds 0.147 g N: Licamele (2009), University of Arizona.
 * 1000 kg of dry trout manure hold 28.3 kg N: Naylor, Moccia and Durant (1999). */
START_TEST(nitrogen_of_crop_and_manure_is_as_published)
{
	ck_assert_double_eq_tol(nitrogen_of_crop_g(176.75, 2.47, 3.38), 0.147, 0.002);
	ck_assert_double_eq_tol(nitrogen_of_solids_g(1000, 100), 28300, 1);
}
END_TEST

/* Fish keep 18 to 32 % of the nitrogen fed: Quillere and others (1995), p. 25.  At the conversion of 1.7 with 32 %
 * protein of Rakocy and others (2004) our 2.4 % of the gain lies inside. */
START_TEST(fish_keep_a_published_share_of_the_nitrogen)
{
	const double share = nitrogen_of_fish_g(1000) / nitrogen_of_feed_g(1700, 32);

	ck_assert_double_ge(share, 0.18);
	ck_assert_double_le(share, 0.32);
}
END_TEST

START_TEST(what_is_out_of_range_is_not_a_number)
{
	ck_assert(isnan(nitrogen_of_feed_g(-1, 32)));
	ck_assert(isnan(nitrogen_of_feed_g(1, 101)));
	ck_assert(isnan(nitrogen_of_feed_g(1, NAN)));
	ck_assert(isnan(nitrogen_of_crop_g(1, NAN, 4)));
	ck_assert(isnan(nitrogen_of_crop_g(1, 5, NAN)));
	ck_assert(isnan(nitrogen_of_solids_g(1, NAN)));
	ck_assert(isnan(tan_g(NAN, 32)));
}
END_TEST

Suite *published_suite(void)
{
	Suite *s = suite_create("published balance");
	TCase *t = tcase_create("rows");

	tcase_add_test(t, ammonia_of_feed_is_as_published);
	tcase_add_test(t, alkalinity_and_solids_of_feed_are_as_published);
	tcase_add_test(t, bands_and_their_worked_example_are_as_published);
	tcase_add_test(t, nitrogen_of_feed_is_as_published);
	tcase_add_test(t, nitrogen_of_crop_and_manure_is_as_published);
	tcase_add_test(t, fish_keep_a_published_share_of_the_nitrogen);
	tcase_add_test(t, what_is_out_of_range_is_not_a_number);
	suite_add_tcase(s, t);
	return s;
}
