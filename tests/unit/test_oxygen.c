/* Oxygen at saturation against published tables. */
#include "unit_tests.h"

#include <math.h>

#include "domain/oxygen.h"

/* Fresh water at 101.325 kPa: Standard Methods 4500-O, table of solubility, chlorinity 0 (from memory). */
static const struct {
	double temperature_c, mg_l;
} fresh[] = {
	{ 0.0, 14.621 }, { 10.0, 11.288 }, { 20.0, 9.092 }, { 25.0, 8.263 }, { 30.0, 7.559 }
};

START_TEST(saturation_matches_the_published_table)
{
	ck_assert_double_eq_tol(
		oxygen_saturation_mg_l(fresh[_i].temperature_c, 0, STANDARD_ATMOSPHERE_KPA),
		fresh[_i].mg_l, 0.0006);
}
END_TEST

/* Worked by hand from the formulas of USGS memorandum 2011.03: 25 degC at 1000 m is 7.300 mg/L. */
START_TEST(thin_air_holds_less)
{
	ck_assert_double_eq_tol(air_pressure_kpa(1000), 89.875,
				0.001); /* ASHRAE (2017), ch. 1, table 1 */
	ck_assert_double_eq_tol(oxygen_saturation_mg_l(25, 0, air_pressure_kpa(1000)), 7.300,
				0.001);
}
END_TEST

START_TEST(salt_water_holds_less)
{
	const double fresh_mg_l = oxygen_saturation_mg_l(20, 0, STANDARD_ATMOSPHERE_KPA);

	/* Fs of 1 g/kg at 20 degC: 0.99412, worked by hand from Benson and Krause (1984). */
	ck_assert_double_eq_tol(oxygen_saturation_mg_l(20, 1, STANDARD_ATMOSPHERE_KPA) / fresh_mg_l,
				0.99412, 0.00001);
}
END_TEST

START_TEST(saturation_outside_its_range_is_nan)
{
	ck_assert(isnan(oxygen_saturation_mg_l(-0.1, 0, 101.325)));
	ck_assert(isnan(oxygen_saturation_mg_l(40.1, 0, 101.325)));
	ck_assert(isnan(oxygen_saturation_mg_l(NAN, 0, 101.325)));
	ck_assert(isnan(oxygen_saturation_mg_l(20, -1, 101.325)));
	ck_assert(isnan(oxygen_saturation_mg_l(20, 0, 40)));
	ck_assert(isnan(oxygen_saturation_mg_l(20, 0, NAN)));
	ck_assert(isnan(air_pressure_kpa(NAN)));
	ck_assert(isnan(air_pressure_kpa(-600)));
}
END_TEST

Suite *oxygen_suite(void)
{
	Suite *s = suite_create("oxygen");
	TCase *t = tcase_create("saturation");

	tcase_add_loop_test(t, saturation_matches_the_published_table, 0,
			    (int)(sizeof(fresh) / sizeof(fresh[0])));
	tcase_add_test(t, thin_air_holds_less);
	tcase_add_test(t, salt_water_holds_less);
	tcase_add_test(t, saturation_outside_its_range_is_nan);
	suite_add_tcase(s, t);
	return s;
}
