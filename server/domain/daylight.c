/* See daylight.h. */
#include "domain/daylight.h"

#include <math.h>
#include <stdbool.h>

static const double pi = 3.14159265358979323846;

static bool is_known(double latitude_deg, double day_of_year)
{
	return latitude_deg >= -90 && latitude_deg <= 90 && day_of_year >= 1 && day_of_year <= 366;
}

static double declination(double day_of_year)
{
	return 0.409 * sin(2 * pi * day_of_year / 365 - 1.39);
}

/* Beyond the polar circles the sun never sets, or never rises. */
static double sunset_angle(double latitude, double declination_rad)
{
	return acos(fmax(-1, fmin(1, -tan(latitude) * tan(declination_rad))));
}

double sun_extraterrestrial_mj_m2_day(double latitude_deg, double day_of_year)
{
	if (!is_known(latitude_deg, day_of_year))
		return NAN;

	const double f = latitude_deg * pi / 180, d = declination(day_of_year);
	const double w = sunset_angle(f, d);
	const double nearness = 1 + 0.033 * cos(2 * pi * day_of_year / 365);
	const double ra =
		1440 / pi * 0.0820 * nearness * (w * sin(f) * sin(d) + cos(f) * cos(d) * sin(w));

	return fmax(0, ra);
}

double sun_day_length_h(double latitude_deg, double day_of_year)
{
	if (!is_known(latitude_deg, day_of_year))
		return NAN;
	return 24 / pi * sunset_angle(latitude_deg * pi / 180, declination(day_of_year));
}

double sun_on_ground_mj_m2_day(double latitude_deg, double day_of_year, double sunshine)
{
	if (!(sunshine >= 0 && sunshine <= 1))
		return NAN;
	return (0.25 + 0.50 * sunshine) * sun_extraterrestrial_mj_m2_day(latitude_deg, day_of_year);
}

double light_integral_mol_m2(double ppfd, double hours)
{
	if (!(ppfd >= 0 && hours >= 0 && hours <= 24))
		return NAN;
	return ppfd * hours * 3600 / 1e6;
}

double light_of_radiation_mol_m2(double radiation_mj_m2, double umol_per_j)
{
	if (!(radiation_mj_m2 >= 0 && umol_per_j > 0))
		return NAN;
	return radiation_mj_m2 * umol_per_j;
}

static const struct {
	double lux_per_umol, umol_per_j;
} sources[] = {
	[LIGHT_SUN_AND_SKY] = { 54, 4.57 }, [LIGHT_BLUE_SKY] = { 52, 4.24 },
	[LIGHT_SODIUM] = { 82, 4.98 },      [LIGHT_METAL_HALIDE] = { 71, 4.59 },
	[LIGHT_FLUORESCENT] = { 74, 4.59 }, [LIGHT_INCANDESCENT] = { 50, 5.00 },
};

double light_lux_per_umol(enum light_source source)
{
	return sources[source].lux_per_umol;
}

double light_umol_per_j(enum light_source source)
{
	return sources[source].umol_per_j;
}

double lamp_hours(double target_mol_m2, double sun_mol_m2, double ppfd)
{
	if (!(target_mol_m2 >= 0 && sun_mol_m2 >= 0 && ppfd > 0))
		return NAN;

	const double hours = fmax(0, target_mol_m2 - sun_mol_m2) / light_integral_mol_m2(ppfd, 1);

	return hours > 24 ? NAN : hours;
}
