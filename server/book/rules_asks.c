/* What seems unlikely is asked, rules 6, 7 and 8 of docs/rules.md: on screen 409, kept with
 * confirm; from a queue kept and marked. */
#include <math.h>
#include <string.h>

#include "base/zone.h"
#include "book/fish_sample.h"
#include "book/inside.h"
#include "book/ledger.h"
#include "book/rules.h"
#include "book/withdrawal.h"
#include "model/fish_kinds.h"
#include "model/kinds.h"

enum {
	TOO_OLD_S = 400 * 86400, /* rule 6: times older than 400 days */
	SAME_DOSE_S = 12 * 3600  /* rule 6: a second dose within 12 hours */
};
static const double weight_factor = 3.0; /* rule 6: a weighing a factor of 3 from expectation */
static const double ration_factor = 2.0; /* rule 6: a feeding above twice the ration */

/* Rule 6: a weighing a factor of 3 from expectation. */
static enum err_code weight_is_likely(const struct judgement *j)
{
	struct weighing w;
	double expected;

	record_unpack(j->r, &w);

	const double mean =
		fish_sample_read(w.nets, w.weights_g, (double)w.fish, w.weight_g).mean_g;
	enum err_code rc = ledger_expected_weight(j->b, w.tank_id, w.fish_lot_id, j->r->instant,
						  &expected, j->err);

	if (rc || !(mean > 0 && expected > 0))
		return rc;
	if (mean <= expected * weight_factor && mean >= expected / weight_factor)
		return ERR_NONE;
	err_set(j->err, ERR_CONFLICT, "", "unlikely_weight",
		"That is %.1f g a fish; the book expects about %.1f g. Is it right?", mean,
		expected);
	err_arg(j->err, "mean_g", "%.1f", mean);
	err_arg(j->err, "expected_g", "%.1f", expected);
	return ERR_CONFLICT;
}

static enum err_code fed_that_day(const struct judgement *j, const struct feeding *f, double *g)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(j->b->store, Q_FED_ON_DAY, &q, j->err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":tank", f->tank_id);
	stmt_bind_int(q, ":day", record_int(j->r, "day", 0));
	stmt_bind_int(q, ":self", j->r->id);
	rc = stmt_row(q, j->err);
	if (!rc)
		*g = stmt_real(q, 0);
out:
	stmt_done(q);
	return rc;
}

/* Rule 6: a feeding above twice the ration: of its slot as it was shown, else of the whole day. */
static enum err_code feeding_is_likely(const struct judgement *j)
{
	struct feeding f;
	double ration, fed;
	enum err_code rc = ERR_NONE;

	record_unpack(j->r, &f);
	ration = f.planned_g;
	fed = f.amount_g;
	if (!(ration > 0)) {
		rc = ledger_day_ration_g(j->b, f.tank_id, record_int(j->r, "day", 0), &ration,
					 j->err);
		if (!rc)
			rc = fed_that_day(j, &f, &fed);
		fed += f.amount_g;
	}
	/* A small feeding is not asked about because the day's others were large. */
	if (rc || !(ration > 0) || fed <= ration * ration_factor || !(f.amount_g > 0))
		return rc;
	err_set(j->err, ERR_CONFLICT, "amount_g", "unlikely_feeding",
		"That makes %.0f g; the ration is %.0f g. Is it right?", fed, ration);
	err_arg(j->err, "fed_g", "%.0f", fed);
	err_arg(j->err, "ration_g", "%.0f", ration);
	return ERR_CONFLICT;
}

/* Rule 6: a second dose of the same purpose in a loop within 12 hours. */
static enum err_code dose_is_not_second(const struct judgement *j)
{
	struct dose d;
	struct stmt *q = NULL;
	char at[TIME_TEXT_MAX];
	enum err_code rc = store_query(j->b->store, Q_DOSE_OF_PURPOSE, &q, j->err);

	if (rc)
		goto out;
	record_unpack(j->r, &d);
	stmt_bind_int(q, ":loop", d.loop_id);
	stmt_bind_int(q, ":material", d.material_id);
	stmt_bind_int(q, ":instant", j->r->instant);
	stmt_bind_int(q, ":after", j->r->instant - SAME_DOSE_S);
	stmt_bind_int(q, ":before", j->r->instant + SAME_DOSE_S);
	stmt_bind_int(q, ":self", j->r->id);
	rc = stmt_row(q, j->err);
	if (rc) {
		rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
		goto out;
	}
	time_write(at, stmt_int(q, 0));
	rc = err_set(j->err, ERR_CONFLICT, "", "second_dose",
		     "%.0f g of %.60s went into this loop at %s, for the same purpose. Dose again?",
		     stmt_real(q, 1), stmt_text(q, 2), at);
	err_arg(j->err, "at", "%s", at);
	err_arg(j->err, "amount_g", "%.0f", stmt_real(q, 1));
	err_arg(j->err, "material", "%s", stmt_text(q, 2));
out:
	stmt_done(q);
	return rc;
}

/* Rule 6: times older than 400 days. */
static enum err_code time_is_not_too_old(const struct judgement *j)
{
	if (j->r->instant >= j->hand->now - TOO_OLD_S)
		return ERR_NONE;

	const char *day = book_day_text(j->arena, record_int(j->r, "day", 0));

	err_set(j->err, ERR_CONFLICT, record_has(j->r, "at") ? "at" : "day", "too_old",
		"%s is more than 400 days ago. Is it right?", day);
	err_arg(j->err, "day", "%s", day);
	return ERR_CONFLICT;
}

static enum err_code ask_hold(const struct judgement *j, const struct block *block)
{
	err_set(j->err, ERR_CONFLICT, "", "on_hold",
		"%s is on hold: %.100s. Was it harvested or sold all the same?", block->code,
		block->why);
	err_arg(j->err, "lot", "%s", block->code);
	err_arg(j->err, "why", "%s", block->why);
	return ERR_CONFLICT;
}

/* Rule 8: a harvest that was made is always recorded; under a withdrawal or hold it asks, as a sale
 * of live fish does. */
static enum err_code is_free(const struct judgement *j)
{
	struct block block;
	bool blocked;
	enum err_code rc = withdrawal_find(j->b, j->r, j->arena, &block, &blocked, j->err);

	if (rc || !blocked)
		return rc;
	if (!block.medicine)
		return ask_hold(j, &block);

	const char *day = block.free_day == NO_DAY ? "?" : book_day_text(j->arena, block.free_day);

	err_set(j->err, ERR_CONFLICT, "", "withdrawal",
		"The withdrawal of %.60s runs; free on %s. The label and the veterinarian decide. "
		"Was it harvested or sold all the same?",
		block.medicine, day);
	err_arg(j->err, "medicine", "%s", block.medicine);
	err_arg(j->err, "day", "%s", day);
	return ERR_CONFLICT;
}

static enum err_code sale_is_free(const struct judgement *j)
{
	const char *reason = record_text(j->r, "reason");

	return reason && strcmp(reason, "sold_live") == 0 ? is_free(j) : ERR_NONE;
}

static void clear_slot(struct record *r)
{
	record_clear(r, "slot");
}

/* Who fed, for the question. */
static const char *feeder(const struct judgement *j, int64_t staff_id)
{
	return staff_id ? book_label(j->b, "staff", staff_id, j->arena) : "?";
}

/* Rule 7: one feeding for each (tank, day, slot, feed); more are extra, without the slot. */
static enum err_code slot_is_free(const struct judgement *j)
{
	struct feeding f;
	struct stmt *q = NULL;
	char at[TIME_TEXT_MAX];
	int64_t staff_id;
	double amount_g;
	enum err_code rc = ERR_NONE;

	record_unpack(j->r, &f);
	if (!f.slot)
		return ERR_NONE;
	rc = store_query(j->b->store, Q_SLOT_HOLDER, &q, j->err);
	if (rc)
		goto out;
	stmt_bind_int(q, ":tank", f.tank_id);
	stmt_bind_int(q, ":day", record_int(j->r, "day", 0));
	stmt_bind_int(q, ":slot", f.slot);
	stmt_bind_int(q, ":feed", f.feed_id);
	stmt_bind_int(q, ":self", j->r->id);
	rc = stmt_row(q, j->err);
	if (rc)
		goto out;
	time_write(at, stmt_int(q, 0));
	amount_g = stmt_real(q, 1);
	staff_id = stmt_int(q, 2);
out:
	stmt_done(q);
	if (rc)
		return rc == ERR_NOT_FOUND ? ERR_NONE : rc;

	const char *who = feeder(j, staff_id);

	err_set(j->err, ERR_CONFLICT, "slot", "slot_fed",
		"%s fed this at %s: %.0f g. Feed again as extra?", who, at, amount_g);
	err_arg(j->err, "who", "%s", who);
	err_arg(j->err, "at", "%s", at);
	err_arg(j->err, "amount_g", "%.0f", amount_g);
	return ERR_CONFLICT;
}

const struct rule ask_rules[] = {
	{ .code = "unlikely_weight",
	  .sort = RULE_ASK,
	  .kind = &weighings_kind,
	  .judge = weight_is_likely },
	{ .code = "unlikely_feeding",
	  .sort = RULE_ASK,
	  .kind = &feedings_kind,
	  .judge = feeding_is_likely },
	{ .code = "second_dose",
	  .sort = RULE_ASK,
	  .kind = &doses_kind,
	  .judge = dose_is_not_second },
	{ .code = "too_old", .sort = RULE_ASK, .judge = time_is_not_too_old },
	{ .code = "under_withdrawal", .sort = RULE_ASK, .kind = &harvests_kind, .judge = is_free },
	{ .code = "under_withdrawal",
	  .sort = RULE_ASK,
	  .kind = &fish_moves_kind,
	  .judge = sale_is_free },
	{ .code = "slot_fed",
	  .sort = RULE_ASK,
	  .kind = &feedings_kind,
	  .keep = clear_slot,
	  .judge = slot_is_free },
	{ .code = NULL },
};
