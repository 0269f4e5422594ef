/* Sun and lamps: what light a day brings. */
#ifndef WEIRBOOK_DOMAIN_DAYLIGHT_H
#define WEIRBOOK_DOMAIN_DAYLIGHT_H

/*
 * Radiation outside the air, MJ/m2/day, and the day's length by geometry, hours (the sun's centre
 * at the horizon: an almanac's sunrise to sunset is some 0.2 h longer).
 *
 *   latitude_deg  -90 to 90, south negative; from 55 on toward the pole the figures grow rough
 *   day_of_year   1 to 366
 *   returns       NAN when one is NAN or out of range
 *
 * dr = 1 + 0.033 cos(2 pi J/365); d = 0.409 sin(2 pi J/365 - 1.39); w = arccos(-tan f tan d),
 * clipped; Ra = 1440/pi 0.0820 dr (w sin f sin d + cos f cos d sin w); N = 24 w/pi.  Source: Allen
 * and others (1998), FAO Irrigation and Drainage Paper 56, equations 21 to 25 and 34.
 */
double sun_extraterrestrial_mj_m2_day(double latitude_deg, double day_of_year);
double sun_day_length_h(double latitude_deg, double day_of_year);

/*
 * Radiation on the ground, MJ/m2/day: (0.25 + 0.50 sunshine) Ra, with sunshine as a share of the
 * day's length, 0 (closed sky) to 1 (clear).  NAN when one is NAN or out of range.  FAO-56,
 * equation 35, with the shares it gives for places where nobody measured them.
 */
double sun_on_ground_mj_m2_day(double latitude_deg, double day_of_year, double sunshine);

/*
 * Light that plants use in a day, mol/m2.  From lamps: ppfd (umol/m2/s, 0 or more) x hours (0 to
 * 24) x 3600 / 1e6.  From global radiation: MJ/m2/day x umol_per_j.  NAN outside.
 */
double light_integral_mol_m2(double ppfd, double hours);
double light_of_radiation_mol_m2(double radiation_mj_m2, double umol_per_j);

/* mol of usable light a MJ of sunlight: Britton and Dodd (1976), Agric. Meteorol. 17, 57-67.
 * Others print 1.9 to 2.35: a setting. */
#define SUN_UMOL_PER_J 2.114

/* Where light comes from, as far as it is known what other meters show of it.  Of light emitting
 * diodes only the maker can say. */
enum light_source {
	LIGHT_SUN_AND_SKY,
	LIGHT_BLUE_SKY,
	LIGHT_SODIUM,
	LIGHT_METAL_HALIDE,
	LIGHT_FLUORESCENT,
	LIGHT_INCANDESCENT,
	LIGHT_SOURCE__MAX
};
/*
 * What a meter that is no quantum meter shows of usable light (400 to 700 nm): lux of 1 umol/m2/s,
 * and umol/m2/s of 1 W/m2 of usable light.  Any source but LIGHT_SOURCE__MAX.
 *
 * Source: Thimijan and Heins (1983), HortScience 18, 818-822.
 */
double light_lux_per_umol(enum light_source source);
double light_umol_per_j(enum light_source source);

/*
 * Hours of lamps that bring the light of a day from what the sun gives to a target: (target - sun)
 * / light_integral of an hour.
 *
 *   target_mol_m2, sun_mol_m2  of the day, 0 or more
 *   ppfd                       of the lamps, umol/m2/s, above 0
 *   returns                    0 to 24; NAN when one is NAN or out of range, or when even 24
 *                              hours do not reach it
 */
double lamp_hours(double target_mol_m2, double sun_mol_m2, double ppfd);

#endif
