/* Keeps the day sums in step with the entries, and marks the fish lots whose kept rows no longer
 * hold.  See ledger.h and sql/migrations/0002_derived.sql. */
#include <math.h>

#include "book/alarm_marks.h"
#include "book/crop_ends.h"
#include "book/inside.h"
#include "book/ledger.h"
#include "book/readings.h"
#include "domain/temperature.h"
#include "model/kinds.h"

/* A day's temperature reaches as far back as a short gap is filled. */
static const int64_t gap_reach_s = (TEMPERATURE_GAP_DAYS + 1) * (int64_t)DAY_SECONDS;

static enum err_code mark_lot(struct book *b, int64_t lot_id, struct err *err)
{
	if (!lot_id)
		return ERR_NONE;
	return store_run_ints(b->store, Q_FISH_DIRTY_ADD, err, ":lot_id", lot_id, NULL);
}

/* Lots that were in the tank about then: deaths that name no lot fall to them.  One by day stands
 * at the day's end, and may count just before an emptying earlier that day: so two days back, and
 * one on. */
static enum err_code mark_meeting(struct book *b, int64_t tank_id, int64_t instant, struct err *err)
{
	return store_run_ints(b->store, Q_FISH_DIRTY_ADD_MEETING, err, ":tank_id", tank_id,
			      ":begin", instant - 2 * (int64_t)DAY_SECONDS, ":end",
			      instant + (int64_t)DAY_SECONDS, NULL);
}

static enum err_code mark_fish(struct book *b, const struct kind *k, const struct record *r,
			       struct err *err)
{
	const int64_t lot_id = record_int(r, "fish_lot_id", 0);
	enum err_code rc = mark_lot(b, lot_id, err);

	if (!rc && k == &fish_moves_kind)
		rc = mark_lot(b, record_int(r, "into_lot_id", 0), err);
	if (!rc && k == &fish_deaths_kind && !lot_id)
		rc = mark_meeting(b, record_int(r, "tank_id", 0), r->instant, err);
	return rc;
}

static int64_t milli(double value)
{
	return isnan(value) ? 0 : llround(value * 1000.0);
}

static enum err_code sum_feeding(struct book *b, const struct record *r, int64_t sign,
				 struct err *err)
{
	const int64_t tank_id = record_int(r, "tank_id", 0), day = record_int(r, "day", 0);
	enum err_code rc = store_run_ints(b->store, Q_TANK_FEED_ADD, err, ":tank_id", tank_id,
					  ":day", day, ":feedings", sign, ":feed_mg",
					  sign * milli(record_real(r, "amount_g")), ":uneaten_mg",
					  sign * milli(record_real(r, "uneaten_g")), NULL);

	if (!rc && sign < 0)
		rc = store_run_ints(b->store, Q_TANK_FEED_DROP_EMPTY, err, ":tank_id", tank_id,
				    ":day", day, NULL);
	return rc;
}

/* The instant from which a place's temperature of a day counts: its first one stands in for all
 * time before. */
static enum err_code warmed_since(struct book *b, int64_t place_id, int64_t day, int64_t *since,
				  struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_PLACE_TEMPERATURE_BEFORE, &q, err);

	if (!rc) {
		stmt_bind_int(q, ":place_id", place_id);
		stmt_bind_int(q, ":day", day);
		rc = stmt_row(q, err);
	}
	if (!rc)
		*since = stmt_is_null(q, 0) ? INT64_MIN : book_day_start(b, day) - gap_reach_s;
	stmt_done(q);
	return rc;
}

/* Lots in any tank of this water that have rows since shortly before the day. */
static enum err_code mark_warmed(struct book *b, int64_t place_id, int64_t day, struct err *err)
{
	struct stmt *q = NULL;
	int64_t since = INT64_MIN;
	enum err_code rc = warmed_since(b, place_id, day, &since, err);

	if (!rc)
		rc = store_query(b->store, Q_TANKS_OF_SAME_WATER, &q, err);
	if (rc)
		goto out;
	stmt_bind_int(q, ":place_id", place_id);
	while (!(rc = stmt_row(q, err))) {
		rc = store_run_ints(b->store, Q_FISH_DIRTY_ADD_ROWS_AFTER, err, ":tank_id",
				    stmt_int(q, 0), ":begin", since, NULL);
		if (rc)
			goto out;
	}
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static enum err_code sum_temperature(struct book *b, const struct record *r, int64_t sign,
				     struct err *err)
{
	const int64_t place_id = record_int(r, "place_id", 0), day = record_int(r, "day", 0);

	if (!record_has(r, "temperature_c"))
		return ERR_NONE;
	enum err_code rc = store_run_ints(b->store, Q_PLACE_TEMPERATURE_ADD, err, ":place_id",
					  place_id, ":day", day, ":tests", sign, ":sum_mc",
					  sign * milli(record_real(r, "temperature_c")), NULL);
	if (!rc && sign < 0)
		rc = store_run_ints(b->store, Q_PLACE_TEMPERATURE_DROP_EMPTY, err, ":place_id",
				    place_id, ":day", day, NULL);
	if (!rc)
		rc = mark_warmed(b, place_id, day, err);
	return rc;
}

/* Set-up that growth rests on: a loop, a sump, an optimum, a prior. */
static bool growth_rests_on(const struct kind *k)
{
	return k == &tanks_kind || k == &loops_kind || k == &units_kind || k == &farm_kind ||
	       k == &set_up_changes_kind;
}

/* One version of a row, counted in (sign 1) or out (-1). */
static enum err_code note_version(struct book *b, const struct kind *k, const struct record *r,
				  int64_t sign, struct err *err)
{
	if (k == &feedings_kind)
		return sum_feeding(b, r, sign, err);
	if (k == &water_tests_kind)
		return sum_temperature(b, r, sign, err);
	if (k == &fish_moves_kind || k == &fish_counts_kind || k == &fish_deaths_kind ||
	    k == &weighings_kind || k == &harvests_kind)
		return mark_fish(b, k, r, err);
	if (k == &probe_faults_kind)
		return readings_recount(b, record_int(r, "probe_id", 0),
					record_int(r, "began_at", 0),
					record_int(r, "ended_at", INT64_MAX), err);
	if (k == &fish_lots_kind)
		return mark_lot(b, r->id, err);
	if (k == &species_kind)
		return store_run_ints(b->store, Q_FISH_DIRTY_ADD_SPECIES, err, ":species_id", r->id,
				      NULL);
	return ERR_NONE;
}

enum err_code ledger_note_change(struct book *b, const struct kind *k, const struct record *before,
				 const struct record *after, struct err *err)
{
	enum err_code rc = ERR_NONE;

	if (before)
		rc = note_version(b, k, before, -1, err);
	if (!rc && after)
		rc = note_version(b, k, after, 1, err);
	if (!rc && before)
		rc = alarm_marks_note(b, before, err);
	if (!rc && after)
		rc = alarm_marks_note(b, after, err);
	/* a new place has no fish yet; a new dated change moves those that are there */
	if (!rc && (before || k == &set_up_changes_kind) && growth_rests_on(k))
		rc = store_run_ints(b->store, Q_FISH_DIRTY_ADD_ALL, err, NULL);
	return rc;
}

enum err_code ledger_rebuild(struct book *b, struct err *err)
{
	static const enum query steps[] = {
		Q_REBUILD_DROP_FISH_ROWS, Q_REBUILD_DROP_FISH_STRETCHES, Q_REBUILD_DROP_FISH_CELLS,
		Q_REBUILD_DROP_FEED,      Q_REBUILD_DROP_TEMPERATURE,    Q_REBUILD_FEED,
		Q_REBUILD_TEMPERATURE,    Q_FISH_DIRTY_ADD_ALL,
	};
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; !rc && i < sizeof(steps) / sizeof(steps[0]); i++)
		rc = store_run_ints(b->store, steps[i], err, NULL);
	for (bool more = true; !rc && more;)
		rc = ledger_settle_some(b, &more, err);
	return rc ? rc : crop_ends_rebuild(b, err);
}
