/* Rules between rows that an entry cannot break and still mean something: always refused.  What
 * holds within one row is in rules_checks.c. */
#include <string.h>

#include "base/zone.h"
#include "book/closing.h"
#include "book/inside.h"
#include "book/rules.h"
#include "book/withdrawal.h"
#include "model/fish_kinds.h"
#include "model/kinds.h"
#include "store/record.h"

static double number_of(const struct value *v)
{
	return v->type == VALUE_REAL ? v->r : (double)v->i;
}

static enum err_code is_cut_again(const struct judgement *j, int64_t lot, bool *again)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(j->b->store, Q_CROP_LOT_CUT, &q, j->err);

	*again = false;
	if (rc)
		goto out;
	stmt_bind_int(q, ":lot", lot);
	rc = stmt_row(q, j->err);
	if (!rc && !stmt_is_null(q, 0))
		*again = strcmp(stmt_text(q, 0), "again") == 0;
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

/* Harvests of plants: by weight alone the plants must be said, unless it empties or the crop
 * regrows. */
static enum err_code crop_harvest_counts_plants(const struct judgement *j)
{
	struct harvest h;
	bool again;

	record_unpack(j->r, &h);
	if (!h.crop_lot_id || h.empties || record_has(j->r, "pieces") || record_has(j->r, "plants"))
		return ERR_NONE;

	enum err_code rc = is_cut_again(j, h.crop_lot_id, &again);

	if (rc || again)
		return rc;
	return rules_refuse(
		j, "plants", "required",
		"By weight alone the book cannot tell how many plants went: give plants.");
}

/* Holds: of any lot, harvest or packing by its code. */
static enum err_code hold_is_of_something(const struct judgement *j)
{
	static const struct kind *const held[] = { &fish_lots_kind, &seed_lots_kind,
						   &feed_lots_kind, &material_lots_kind,
						   &crop_lots_kind, &harvests_kind,
						   &packings_kind };
	const struct kind *k;
	int64_t id;
	enum err_code rc =
		store_find_code(j->b->store, record_text(j->r, "of_code"), &k, &id, j->err);

	for (size_t i = 0; !rc && i < sizeof(held) / sizeof(held[0]); i++)
		if (held[i] == k)
			return ERR_NONE;
	if (rc && rc != ERR_NOT_FOUND)
		return rc;
	rules_refuse(j, "of_code", "unknown_reference",
		     "No lot, harvest or packing has this code.");
	err_arg(j->err, "given", "%s", record_text(j->r, "of_code"));
	return ERR_INPUT;
}

/* Rule 8: what is held is neither packed nor shipped.  An import brings what was packed before the
 * hold. */
static enum err_code is_not_held(const struct judgement *j)
{
	const bool packs = j->r->kind == &packing_lines_kind;
	const char *field = packs ? "harvest_id" : "packing_id";
	const int64_t of = record_int(j->r, field, 0);
	struct block block;
	bool blocked;
	enum err_code rc;

	if (j->hand->arrival == ARRIVES_IMPORTED ||
	    (j->before && record_int(j->before, field, 0) == of))
		return ERR_NONE;
	rc = hold_behind(j->b, packs ? of : 0, packs ? 0 : of, j->arena, &block, &blocked, j->err);
	if (rc || !blocked)
		return rc;
	rc = rules_refuse(
		j, field, "held",
		"This is on hold: it is not packed or shipped until the hold is released.");
	err_arg(j->err, "lot", "%s", block.code);
	err_arg(j->err, "why", "%s", block.why);
	return rc;
}

/* of_kind and of_key name a row that is there.  *k its kind. */
static enum err_code find_of(const struct judgement *j, const struct kind **k)
{
	struct uuid key;
	struct key_row row;
	enum err_code rc = ERR_NOT_FOUND;

	*k = kind_find(record_text(j->r, "of_kind"));
	if (!*k) {
		rules_refuse(j, "of_kind", "unknown_kind", "There is no such kind of record.");
		err_arg(j->err, "given", "%s", record_text(j->r, "of_kind"));
		return ERR_INPUT;
	}
	if (uuid_read(record_text(j->r, "of_key"), &key))
		rc = store_find_key(j->b->store, &key, &row, j->err);
	if (rc && rc != ERR_NOT_FOUND)
		return rc;
	if (rc || row.kind != *k)
		return rules_refuse(j, "of_key", "unknown_reference",
				    "There is no row with this key.");
	return ERR_NONE;
}

/* Photos: they name (kind, key). */
static enum err_code photo_is_of_something(const struct judgement *j)
{
	const struct kind *k;

	return find_of(j, &k);
}

/* Dated set-up: a value that its field would take, from a day on. */
static enum err_code change_fits_its_field(const struct judgement *j)
{
	const struct kind *k;
	const char *name = record_text(j->r, "field"), *text = record_text(j->r, "value");
	enum err_code rc = find_of(j, &k);

	if (rc)
		return rc;

	size_t i = kind_field_index(k, name);

	if (i == SIZE_MAX || !kind_field(k, i)->dated)
		return rules_refuse(j, "field", "not_dated",
				    "This field has one value for all days.");

	const struct field *f = kind_field(k, i);
	struct value v;

	if (!text)
		return f->required
			       ? rules_refuse(j, "value", "required", "This cannot be left empty.")
			       : ERR_NONE;
	if (field_read(f, text, '.', j->arena, &v, j->err))
		return ERR_INPUT;
	if (f->has_range && (number_of(&v) < f->lo || number_of(&v) > f->hi)) {
		rules_refuse(j, "value", "out_of_range", "This lies outside what can be.");
		err_arg(j->err, "low", "%g", f->lo);
		err_arg(j->err, "high", "%g", f->hi);
		return ERR_INPUT;
	}
	return ERR_NONE;
}

/* A place cannot stand inside itself. */
static enum err_code place_not_in_itself(const struct judgement *j)
{
	if (!j->r->kind->is_place || !j->r->id)
		return ERR_NONE;

	int64_t parent = record_int(j->r, "parent_id", 0);

	for (int depth = 0; parent && depth < 100; depth++) {
		struct record *up;

		if (parent == j->r->id)
			return rules_refuse(j, "parent_id", "inside_itself",
					    "A place cannot stand inside itself.");

		enum err_code rc =
			store_get(j->b->store, &places_kind, parent, j->arena, &up, j->err);

		if (rc)
			return rc;
		parent = record_int(up, "parent_id", 0);
	}
	return ERR_NONE;
}

/* The farm's zone must be one that this machine knows. */
static enum err_code zone_is_known(const struct judgement *j)
{
	struct zone *z = NULL;
	enum err_code rc = zone_load(record_text(j->r, "time_zone"), &z, j->err);

	if (!rc)
		zone_free(z);
	return rc;
}

/* A closing names a month by its first day, and the month is over. */
static enum err_code month_is_over(const struct judgement *j)
{
	const int64_t month = record_int(j->r, "month", 0);

	if (month != day_month_start(month))
		return rules_refuse(j, "month", "not_a_month",
				    "Name the month by its first day, such as 2026-10-01.");
	/* Once it was over it stays so: `weirbook check` judges without a clock. */
	if (j->before && record_int(j->before, "month", 0) == month)
		return ERR_NONE;
	if (closing_next_month(month) > book_day(j->b, j->hand->now))
		return rules_refuse(
			j, "month", "month_not_over",
			"This month is not over; it can be closed from the first day after it.");
	return ERR_NONE;
}

/* What the service raised follows from the readings; a person says who saw it and what was done. */
static enum err_code alarm_follows_the_readings(const struct judgement *j)
{
	static const char *const kept[] = { "place_id", "quantity", "value", "raised_at",
					    "cleared_at" };

	if (!j->before || !record_has(j->before, "level"))
		return ERR_NONE;
	for (size_t i = 0; i < sizeof(kept) / sizeof(kept[0]); i++) {
		const size_t at = kind_field_index(j->r->kind, kept[i]);

		if (!value_equal(&j->r->values[at], &j->before->values[at]))
			return rules_refuse(j, kept[i], "kept_by_service",
					    "The service keeps this from the readings: correct the "
					    "reading, and the alarm follows.");
	}
	return ERR_NONE;
}

const struct rule row_rules[] = {
	{ .code = "crop_harvest_counts_plants",
	  .sort = RULE_CHECK,
	  .kind = &harvests_kind,
	  .judge = crop_harvest_counts_plants },
	{ .code = "hold_is_of_something",
	  .sort = RULE_CHECK,
	  .kind = &holds_kind,
	  .judge = hold_is_of_something },
	{ .code = "held", .sort = RULE_CHECK, .kind = &packing_lines_kind, .judge = is_not_held },
	{ .code = "held", .sort = RULE_CHECK, .kind = &shipment_lines_kind, .judge = is_not_held },
	{ .code = "photo_is_of_something",
	  .sort = RULE_CHECK,
	  .kind = &photos_kind,
	  .judge = photo_is_of_something },
	{ .code = "change_fits_its_field",
	  .sort = RULE_CHECK,
	  .kind = &set_up_changes_kind,
	  .judge = change_fits_its_field },
	{ .code = "place_not_in_itself", .sort = RULE_CHECK, .judge = place_not_in_itself },
	{ .code = "month_is_over",
	  .sort = RULE_CHECK,
	  .kind = &closings_kind,
	  .judge = month_is_over },
	{ .code = "zone_is_known", .sort = RULE_CHECK, .kind = &farm_kind, .judge = zone_is_known },
	{ .code = "alarm_follows_the_readings",
	  .sort = RULE_CHECK,
	  .kind = &alarms_kind,
	  .judge = alarm_follows_the_readings },
	{ .code = NULL },
};
