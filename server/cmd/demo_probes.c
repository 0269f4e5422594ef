/* See demo_probes.h. */
#include "cmd/demo_probes.h"

#include "base/log.h"
#include "book/readings_series.h"
#include "store/store.h"

enum { WEEK_S = 7 * 86400 };

/* Of fixtures/demo/probes.csv; DO-T7, which went silent, is left out.  What is not found is passed over: the farm may
 * have been changed by who tries it. */
static const char *const living[] = { "DO-T4", "DO-T8", "TC-A" };
enum { N_LIVING = sizeof(living) / sizeof(living[0]) };

/* Whole weeks back from at, to where the probe has told already. */
static int64_t source_of(int64_t at, int64_t last)
{
	return at - (at - last + WEEK_S - 1) / WEEK_S * WEEK_S;
}

static enum err_code tell_one(struct readings_in *in, const char *code, int64_t now,
			      struct err *err)
{
	struct series_point there = { 0 };
	struct probe p;
	enum err_code rc = probe_find(in->b, code, &in->arena, &p, err);

	if (!rc)
		rc = reading_newest(in->b, p.id, now, &there, err);
	if (rc)
		return rc;
	const int64_t last = there.at;
	/* After a longer rest of the program the gap stays a gap. */
	int64_t at = last > now - WEEK_S ? last : now - WEEK_S;
	for (at -= at % DEMO_PROBE_STEP_S; !rc && (at += DEMO_PROBE_STEP_S) <= now;) {
		const int64_t from = source_of(at, last);

		rc = reading_newest(in->b, p.id, from, &there, err);
		if (!rc && from - there.at < DEMO_PROBE_STEP_S)
			rc = readings_take(in, code, at, there.mean, err);
	}
	return rc;
}

static bool is_passed_over(enum err_code rc)
{
	return rc == ERR_NOT_FOUND || rc == ERR_INPUT;
}

bool demo_probes_step(struct book *b, int64_t now, int64_t *told)
{
	struct store *st = book_store(b);
	const int64_t quarter = now / DEMO_PROBE_STEP_S;
	struct readings_in in;
	struct err err;
	enum err_code rc;

	if (quarter == *told)
		return false;
	*told = quarter;
	err_clear(&err);
	rc = store_begin(st, &err);
	if (rc)
		return false;
	readings_begin(&in, b, now);
	for (size_t i = 0; !rc && i < N_LIVING; i++) {
		rc = tell_one(&in, living[i], now, &err);
		if (is_passed_over(rc)) {
			err_clear(&err);
			rc = ERR_NONE;
		}
	}
	rc = readings_end(&in, rc, &err);
	if (!rc)
		rc = store_commit(st, &err);
	if (rc) {
		store_rollback(st);
		log_line("demo probes: %s", err.n_items ? err.items[0].message : "not told");
	}
	return !rc;
}
