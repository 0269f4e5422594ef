/*
 * What a day's feed asks of the water: ammonia to nitrify, oxygen, carbon dioxide to drive off,
 * solids to take out, alkalinity to give back.  And how far a filter, and a planted area, go with
 * it.
 */
#ifndef WEIRBOOK_DOMAIN_LOADING_H
#define WEIRBOOK_DOMAIN_LOADING_H

/* Shares of feed, each with its usual range; see feed_loads_usual. */
struct feed_loads {
	double tan_per_protein;    /* g TAN a g of protein fed; 0.092 */
	double oxygen_per_feed;    /* g a g; 0.25 to 0.50 */
	double co2_per_oxygen;     /* g a g; 1.375 */
	double solids_per_feed;    /* g dry a g; 0.25 */
	double alkalinity_per_tan; /* g CaCO3 a g of TAN that is nitrified; 7.05 */
};

/*
 * 0.092: Timmons and Ebeling (2013), Recirculating Aquaculture, 3rd edition (from memory).  0.40:
 * within 0.25 to 0.50 of the same.  1.375 = 44/32, one mole for one.  0.25: the same.  7.05:
 * Ebeling, Timmons and Bisogni (2006), Aquaculture 257, 346-358, with growth of the bacteria (from
 * memory).
 */
extern const struct feed_loads feed_loads_usual;

struct feed_load {
	double tan_g, oxygen_g, co2_g, solids_g, alkalinity_g;
};

/*
 * The loads of feed_g of feed (0 or more) with protein_pct of protein (0 to 100).  All NAN when one
 * is NAN or out of range.
 */
struct feed_load feed_load_of(double feed_g, double protein_pct, const struct feed_loads *loads);

/* g of TAN that a filter nitrifies in a day: media area (m2, 0 or more) x rate (g/m2/day, 0 or
 * more); else NAN. */
double filter_capacity_g_day(double media_area_m2, double rate_g_m2_day);

/*
 * Feed for a planted area at a ratio, g/day; the other way round divide.  Published: 60 to 100
 * g/m2/day on rafts, Rakocy (2007), Ten guidelines for aquaponic systems.  NAN unless both are 0 or
 * more.
 */
double feed_of_area_g_day(double area_m2, double ratio_g_m2_day);

/*
 * Minutes until the oxygen of a tank without any supply falls to its stop: volume x (DO - stop) /
 * uptake.
 *
 *   volume_l      above 0
 *   do_mg_l       0 to 40
 *   stop_mg_l     0 to 40
 *   biomass_kg    0.001 or more (a gram)
 *   uptake_mg_kg_h  1 or more: what fish take, mg a kg and hour (300 for warm-water fish at rest
 *                   after a meal: common practice, no source)
 *   returns       minutes, 0 when it is at the stop already; NAN when one is NAN or out of range
 */
double air_left_minutes(double volume_l, double do_mg_l, double stop_mg_l, double biomass_kg,
			double uptake_mg_kg_h);

#endif
