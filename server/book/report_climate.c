/*
 * Report climate: air and light in each zone, day by day.  Air is what was noted; the sun's light
 * is bounded by a sky that is closed all day and one that is clear all day, since nobody measures
 * it here; lamps shine by their clock.
 */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "book/report.h"
#include "book/report_list.h"
#include "domain/daylight.h"
#include "domain/moist_air.h"

enum { DAYS_BACK = 6, DAYS_MAX = 400 };

struct climate_row {
	uint64_t has;
	const struct explanation *explain;
	int64_t day;
	const char *zone;
	int64_t notes; /* climate notes of the day */
	double temperature_low_c, temperature_c, temperature_high_c;
	double humidity_pct, deficit_kpa, dew_point_c;
	const char *state; /* ok, low, high, unknown: temperature against the zone's band */
	double day_length_h;
	double sun_low_mol_m2, sun_high_mol_m2, lamp_mol_m2;
	double target_mol_m2; /* the most that a variety in the zone's beds wants */
	double lamp_hours_low, lamp_hours_high;
};

static const struct field climate_columns[] = {
	FIELD(climate_row, day, KIND_DAY),
	FIELD(climate_row, zone, KIND_TEXT),
	FIELD(climate_row, notes, KIND_INTEGER),
	FIELD(climate_row, temperature_low_c, KIND_REAL, .unit = "degC"),
	FIELD(climate_row, temperature_c, KIND_REAL, .unit = "degC"),
	FIELD(climate_row, temperature_high_c, KIND_REAL, .unit = "degC"),
	FIELD(climate_row, humidity_pct, KIND_REAL, .unit = "%"),
	FIELD(climate_row, deficit_kpa, KIND_REAL, .unit = "kPa"),
	FIELD(climate_row, dew_point_c, KIND_REAL, .unit = "degC"),
	FIELD(climate_row, state, KIND_TEXT),
	FIELD(climate_row, day_length_h, KIND_REAL, .unit = "h"),
	FIELD(climate_row, sun_low_mol_m2, KIND_REAL, .unit = "mol/m2/day"),
	FIELD(climate_row, sun_high_mol_m2, KIND_REAL, .unit = "mol/m2/day"),
	FIELD(climate_row, lamp_mol_m2, KIND_REAL, .unit = "mol/m2/day"),
	FIELD(climate_row, target_mol_m2, KIND_REAL, .unit = "mol/m2/day"),
	FIELD(climate_row, lamp_hours_low, KIND_REAL, .unit = "h"),
	FIELD(climate_row, lamp_hours_high, KIND_REAL, .unit = "h"),
};

static const double closed_sky = 0.0, clear_sky = 1.0; /* sunshine, as a share of the day */

struct zone_facts {
	int64_t id;
	const char *code;
	double transmission, lamp_ppfd, lamp_hours; /* NAN: not given */
	double low_c, high_c;
	double target_mol_m2; /* NAN: nothing stands there, or nobody said what it wants */
};

struct climate {
	struct book *b;
	const struct report_query *q;
	struct report_result *out;
	double latitude_deg; /* NAN: not given */
	struct zone_facts *zones;
	size_t n_zones, zones_room;
	struct climate_row *rows;
	size_t room;
};

/* Hours between two clocks, over midnight where they turn. */
static double hours_between(const char *on, const char *off)
{
	int from, to;

	if (!on || !off || !time_of_day_read(on, &from) || !time_of_day_read(off, &to))
		return NAN;
	return ((to - from + 1440) % 1440) / 60.0;
}

static enum err_code read_zones(struct climate *c, int64_t from, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(c->b), Q_CLIMATE_ZONES, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":from", from);
	while (!(rc = stmt_row(q, err))) {
		c->zones = arena_grow(c->out->arena, c->zones, c->n_zones, &c->zones_room,
				      sizeof(*c->zones));
		c->zones[c->n_zones++] = (struct zone_facts){
			.id = stmt_int(q, 0),
			.code = arena_strdup(c->out->arena, stmt_text(q, 1)),
			.transmission = stmt_real(q, 2),
			.lamp_ppfd = stmt_real(q, 3),
			.lamp_hours = hours_between(stmt_text(q, 4), stmt_text(q, 5)),
			.low_c = stmt_real(q, 6),
			.high_c = stmt_real(q, 7),
			.target_mol_m2 = NAN,
		};
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static enum err_code read_latitude(struct climate *c, struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(c->b), Q_FARM_LATITUDE, &q, err);

	c->latitude_deg = NAN;
	if (!rc)
		rc = stmt_row(q, err);
	if (!rc)
		c->latitude_deg = stmt_real(q, 0);
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

/* The most light that is wanted in the zone of a bed by what stands in it. */
static enum err_code raise_target(struct climate *c, const char *bed, const char *variety,
				  struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(book_store(c->b), Q_LIGHT_WANTED_IN_BED, &q, err);

	if (rc)
		goto out;
	stmt_bind_text(q, ":bed", bed);
	stmt_bind_text(q, ":variety", variety);
	rc = stmt_row(q, err);
	for (size_t z = 0; !rc && z < c->n_zones; z++)
		if (c->zones[z].id == stmt_int(q, 0))
			c->zones[z].target_mol_m2 =
				fmax(c->zones[z].target_mol_m2, stmt_real(q, 1));
out:
	stmt_done(q);
	return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
}

/* What stands in the zones' beds on the last day wants. */
static enum err_code read_targets(struct climate *c, int64_t day, struct err *err)
{
	const struct report_query q = {
		.from_day = NO_INT, .to_day = NO_INT, .day = day, .at = NO_INT, .now = c->q->now
	};
	struct report_result r = { .arena = c->out->arena };
	enum err_code rc = beds_report.run(c->b, &q, &r, err);

	for (size_t i = 0; !rc && i < r.n_rows; i++)
		rc = raise_target(c, report_named_cell(&r, &beds_report, i, "bed").text,
				  report_named_cell(&r, &beds_report, i, "variety").text, err);
	return rc;
}

/* What the notes of a zone's day add up to. */
struct air_sums {
	int64_t warm; /* notes with a temperature */
	double temperature_c;
	int64_t whole; /* with both */
	double humidity_pct, deficit_kpa;
};

static void add_note(struct climate_row *row, double temperature_c, double humidity_pct,
		     struct air_sums *sums)
{
	row->notes++;
	if (isnan(temperature_c))
		return;
	row->temperature_low_c = fmin(row->temperature_low_c, temperature_c);
	row->temperature_high_c = fmax(row->temperature_high_c, temperature_c);
	sums->temperature_c += temperature_c;
	sums->warm++;
	if (isnan(humidity_pct))
		return;
	sums->humidity_pct += humidity_pct;
	sums->deficit_kpa += vapour_deficit_kpa(temperature_c, humidity_pct, NAN);
	sums->whole++;
}

static void set_means(struct climate_row *row, const struct air_sums *sums)
{
	if (sums->warm)
		row->temperature_c = sums->temperature_c / (double)sums->warm;
	if (!sums->whole)
		return;
	row->humidity_pct = sums->humidity_pct / (double)sums->whole;
	row->deficit_kpa = sums->deficit_kpa / (double)sums->whole;
	row->dew_point_c = dew_point_c(vapour_actual_kpa(row->temperature_c, row->humidity_pct));
}

static enum err_code read_air(struct climate *c, const struct zone_facts *z,
			      struct climate_row *row, struct err *err)
{
	struct stmt *q = NULL;
	struct air_sums sums = { 0 };
	enum err_code rc = store_query(book_store(c->b), Q_CLIMATE_NOTES_BETWEEN, &q, err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":begin", book_day_start(c->b, row->day));
	stmt_bind_int(q, ":end", book_day_start(c->b, row->day + 1));
	stmt_bind_int(q, ":zone", z->id);
	while (!(rc = stmt_row(q, err)))
		add_note(row, stmt_real(q, 0), stmt_real(q, 1), &sums);
	rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
	set_means(row, &sums);
out:
	stmt_done(q);
	return rc;
}

static const char *judge(const struct climate_row *row, const struct zone_facts *z)
{
	if (isnan(row->temperature_c))
		return "unknown";
	if (row->temperature_low_c < z->low_c)
		return "low";
	return row->temperature_high_c > z->high_c ? "high" : "ok";
}

static void fill_light(const struct climate *c, const struct zone_facts *z, struct climate_row *row)
{
	struct civil civil;

	day_to_civil(row->day, &civil);
	const double of_year = (double)(row->day - day_from_civil(civil.year, 1, 1) + 1);
	const double low = sun_on_ground_mj_m2_day(c->latitude_deg, of_year, closed_sky);
	const double high = sun_on_ground_mj_m2_day(c->latitude_deg, of_year, clear_sky);

	row->day_length_h = sun_day_length_h(c->latitude_deg, of_year);
	row->sun_low_mol_m2 = light_of_radiation_mol_m2(low * z->transmission, SUN_UMOL_PER_J);
	row->sun_high_mol_m2 = light_of_radiation_mol_m2(high * z->transmission, SUN_UMOL_PER_J);
	row->lamp_mol_m2 = light_integral_mol_m2(z->lamp_ppfd, z->lamp_hours);
	row->target_mol_m2 = z->target_mol_m2;
	row->lamp_hours_low = lamp_hours(z->target_mol_m2, row->sun_high_mol_m2, z->lamp_ppfd);
	row->lamp_hours_high = lamp_hours(z->target_mol_m2, row->sun_low_mol_m2, z->lamp_ppfd);
}

static const struct explanation *explain(struct climate *c, const struct zone_facts *z,
					 const struct climate_row *row)
{
	struct arena *arena = c->out->arena;
	struct explanation *e = arena_alloc(arena, sizeof(*e));
	struct explained_input *in = arena_array(arena, 4, sizeof(*in));
	struct explained_entries *of = arena_alloc(arena, sizeof(*of));
	char day[TIME_TEXT_MAX];

	day_write(day, row->day);
	in[0] = (struct explained_input){ "latitude_deg", c->latitude_deg };
	in[1] = (struct explained_input){ "glazing_transmission", z->transmission };
	in[2] = (struct explained_input){ "lamp_ppfd", z->lamp_ppfd };
	in[3] = (struct explained_input){ "lamp_hours", z->lamp_hours };
	*of = (struct explained_entries){
		.kind = "climate-notes",
		.count = row->notes,
		.sum = NAN,
		.address = arena_printf(arena, "/api/climate-notes?zone_id=%lld&from=%s&to=%s",
					(long long)z->id, day, day),
	};
	*e = (struct explanation){
		.formula = "sun = (0.25 to 0.75) x radiation above the air x transmission x 2.114 "
			   "mol/MJ; lamps = ppfd x hours x "
			   "3600 / 1e6; deficit = mean over the notes of saturation - actual",
		.source = "FAO-56, equations 11, 21 to 25, 35; Britton and Dodd (1976); the notes "
			  "of this farm",
		.inputs = in,
		.n_inputs = 4,
		.entries = of,
		.n_entries = 1,
	};
	return e;
}

static enum err_code add_row(struct climate *c, const struct zone_facts *z, int64_t day,
			     struct err *err)
{
	c->rows = arena_grow(c->out->arena, c->rows, c->out->n_rows, &c->room, sizeof(*c->rows));

	struct climate_row *row = &c->rows[c->out->n_rows++];

	*row = (struct climate_row){ .day = day,
				     .zone = z->code,
				     .temperature_low_c = NAN,
				     .temperature_c = NAN,
				     .temperature_high_c = NAN,
				     .humidity_pct = NAN,
				     .deficit_kpa = NAN,
				     .dew_point_c = NAN };

	const enum err_code rc = read_air(c, z, row, err);

	row->state = judge(row, z);
	fill_light(c, z, row);
	if (!rc && c->q->explain)
		row->explain = explain(c, z, row);
	return rc;
}

static enum err_code run_climate(struct book *b, const struct report_query *q,
				 struct report_result *out, struct err *err)
{
	struct climate c = { .b = b, .q = q, .out = out };
	const int64_t to = q->to_day == NO_INT ? book_day(b, q->now) : q->to_day;
	const int64_t from = q->from_day == NO_INT ? to - DAYS_BACK : q->from_day;
	enum err_code rc;

	if (to - from >= DAYS_MAX)
		return err_set(err, ERR_INPUT, "to", "too_many", "Ask for %d days at most.",
			       DAYS_MAX);
	rc = read_latitude(&c, err);
	if (!rc)
		rc = read_zones(&c, from, err);
	if (!rc)
		rc = read_targets(&c, to, err);
	for (int64_t day = to; !rc && day >= from; day--)
		for (size_t z = 0; !rc && z < c.n_zones; z++)
			rc = add_row(&c, &c.zones[z], day, err);
	if (!rc && isnan(c.latitude_deg))
		report_add_note(out, "no_latitude", NULL,
				"The farm has no latitude: the sun's light is not known.");
	out->rows = (const char *)c.rows;
	out->from_day = from;
	out->to_day = to;
	out->as_of = q->now;
	return rc;
}

static const struct report_question climate_questions[] = {
	{ .name = "from", .help = "first farm day; a week back when not given" },
	{ .name = "to", .help = "last farm day; today when not given" },
};

const struct report climate_report = {
	.name = "climate",
	.summary = "Air and light in each zone, and the lamp hours that fill the gap",
	.columns = climate_columns,
	.n_columns = sizeof(climate_columns) / sizeof(climate_columns[0]),
	.row_size = sizeof(struct climate_row),
	.explain_offset = offsetof(struct climate_row, explain),
	.questions = climate_questions,
	.n_questions = sizeof(climate_questions) / sizeof(climate_questions[0]),
	.changes_by_clock = true,
	.run = run_climate,
};
