/* See fish_farm.h. */
#include "support/fish_farm.h"

struct report_result got;

/* Lots FA and FB have no fish yet. */
void fish_farm_open(void)
{
	mini_farm_open(&own_farm);
	own_farm.hand.arrival = ARRIVES_IMPORTED;
	own_farm.hand.now = instant_of("2026-12-01T12:00:00Z");
	mini_keep(&own_farm, mini_row(&own_farm, "tanks", "code", "X", "loop_id", "L1", "volume_l",
				      "10000", NULL));
	mini_keep(&own_farm, mini_row(&own_farm, "tanks", "code", "Y", "loop_id", "L1", "volume_l",
				      "10000", NULL));
	mini_keep(&own_farm,
		  mini_row(&own_farm, "species", "name", "Test fish", "tgc_prior", "1",
			   "conversion_floor", "1", "temperature_optimum_c", "28", NULL));
	mini_keep(&own_farm,
		  mini_row(&own_farm, "feeds", "name", "Test feed", "protein_pct", "36", NULL));
	mini_keep(&own_farm,
		  mini_row(&own_farm, "fish-lots", "code", "FA", "species_id", "Test fish", NULL));
	mini_keep(&own_farm,
		  mini_row(&own_farm, "fish-lots", "code", "FB", "species_id", "Test fish", NULL));
}

void fish_farm_close(void)
{
	mini_farm_close(&own_farm);
}

struct record *stock(const char *lot, const char *tank, const char *fish, const char *weight_g,
		     const char *at)
{
	return mini_keep(&own_farm, mini_row(&own_farm, "fish-moves", "fish_lot_id", lot,
					     "to_tank_id", tank, "fish", fish, "weight_g", weight_g,
					     "reason", "stocking", "at", at, NULL));
}

struct record *weigh(const char *lot, const char *tank, const char *fish, const char *weight_g,
		     const char *at)
{
	return mini_keep(&own_farm,
			 mini_row(&own_farm, "weighings", "fish_lot_id", lot, "tank_id", tank,
				  "fish", fish, "weight_g", weight_g, "at", at, NULL));
}

struct record *move(const char *lot, const char *from, const char *to, const char *fish,
		    const char *weight_g, const char *at)
{
	return mini_keep(&own_farm,
			 mini_row(&own_farm, "fish-moves", "fish_lot_id", lot, "from_tank_id", from,
				  "to_tank_id", to, "fish", fish, "weight_g", weight_g, "reason",
				  "grading", "at", at, NULL));
}

struct record *dead(const char *lot, const char *tank, const char *fish, const char *weight_g,
		    const char *at)
{
	return mini_keep(&own_farm,
			 mini_row(&own_farm, "fish-deaths", "fish_lot_id", lot, "tank_id", tank,
				  "fish", fish, "weight_g", weight_g, "at", at, NULL));
}

struct record *feed(const char *tank, const char *amount_g, const char *at)
{
	return mini_keep(&own_farm, mini_row(&own_farm, "feedings", "tank_id", tank, "feed_id",
					     "Test feed", "amount_g", amount_g, "at", at, NULL));
}

struct record *warm(const char *place, const char *temperature_c, const char *at)
{
	return mini_keep(&own_farm, mini_row(&own_farm, "water-tests", "place_id", place,
					     "temperature_c", temperature_c, "at", at, NULL));
}

void stock_at(const char *at)
{
	struct report_query q = report_query_at(instant_of(at));

	report_run(own_farm.book, "stock", &q, &own_farm.arena, &got);
}

size_t row_of(const char *tank, const char *lot)
{
	return report_row2(&got, "tank", tank, "fish_lot", lot);
}

int64_t fish_in(const char *tank, const char *lot)
{
	return report_int(&got, row_of(tank, lot), "fish");
}

double mean_in(const char *tank, const char *lot)
{
	return report_real(&got, row_of(tank, lot), "mean_weight_g");
}

void conversion(const char *by, const char *from, const char *to)
{
	struct report_query q = report_query_at(instant_of("2026-12-01T12:00:00Z"));

	q.by = by;
	q.from_day = day_of(from);
	q.to_day = day_of(to);
	report_run(own_farm.book, "feed-conversion", &q, &own_farm.arena, &got);
}

double se_in(const char *tank, const char *lot)
{
	return report_real(&got, row_of(tank, lot), "mean_weight_se_g");
}
