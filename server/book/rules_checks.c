/* Rules that an entry cannot break and still mean something: always refused.  Ranges, words and required
 * fields are the dictionary's; here stands what holds between fields and rows. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/zone.h"
#include "book/closing.h"
#include "book/inside.h"
#include "book/rules.h"
#include "book/withdrawal.h"
#include "model/fish_kinds.h"
#include "model/kinds.h"
#include "store/record.h"

static enum err_code refuse(const struct judgement *j, const char *field, const char *code,
			    const char *message)
{
	return err_set(j->err, ERR_INPUT, field, code, "%s", message);
}

static size_t list_count(const char *list)
{
	size_t n = 0;

	for (const char *at = list; at && *at; n++) {
		at += strcspn(at, " ");
		at += strspn(at, " ");
	}
	return n;
}

/* Calls each(word) with a copy of every word of a list; stops at the first that is false. */
static bool each_word(const char *list, struct arena *arena,
		      bool (*each)(const char *word, const void *with), const void *with)
{
	char *copy = arena_strdup(arena, list), *rest = NULL;

	for (char *word = strtok_r(copy, " ", &rest); word; word = strtok_r(NULL, " ", &rest))
		if (!each(word, with))
			return false;
	return true;
}

/* --- weighings ------------------------------------------------------------------------------------ */

/* "20 4310 18 3902": fish and grams of each net. */
static bool nets_are_pairs(const char *nets, struct arena *arena)
{
	char *copy = arena_strdup(arena, nets), *rest = NULL;
	bool fish_next = true;

	for (char *word = strtok_r(copy, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
		double v;

		if (!number_read_real(word, '.', &v) || v <= 0 || v > 1e10)
			return false;
		if (fish_next && v != floor(v))
			return false;
		fish_next = !fish_next;
	}
	return fish_next;
}

/* Weighings: one of fish and weight_g; nets; weights_g. */
static enum err_code weighing_is_whole(const struct judgement *j)
{
	struct weighing w;

	record_unpack(j->r, &w);
	if (w.nets && !nets_are_pairs(w.nets, j->arena))
		return refuse(j, "nets", "nets_pairs",
			      "Nets are pairs: fish and grams of each, such as 20 4310 18 3902.");
	if (!isnan(w.weight_g) && !w.fish)
		return refuse(j, "fish", "required", "Say how many fish weighed that much.");
	if (w.fish && isnan(w.weight_g))
		return refuse(j, "fish", "not_with",
			      "The nets or single weights say how many fish; leave this out.");
	return ERR_NONE;
}

/* Weighings: lengths_mm, one for each fish that was weighed singly. */
static enum err_code lengths_match(const struct judgement *j)
{
	struct weighing w;

	record_unpack(j->r, &w);
	if (!w.lengths_mm)
		return ERR_NONE;

	size_t lengths = list_count(w.lengths_mm), weights = list_count(w.weights_g);

	if (w.weights_g && lengths != weights) {
		refuse(j, "lengths_mm", "lengths_count",
		       "Give one length for each weight, in the same order.");
		err_arg(j->err, "lengths", "%zu", lengths);
		err_arg(j->err, "weights", "%zu", weights);
		return ERR_INPUT;
	}
	if (w.fish && lengths > (size_t)w.fish)
		return refuse(j, "lengths_mm", "lengths_count",
			      "There are more lengths than fish.");
	return ERR_NONE;
}

/* --- fish moves ----------------------------------------------------------------------------------- */

/* Fish-moves: a merge, and only a merge, enters another lot; else the tank must change. */
static enum err_code move_goes_somewhere(const struct judgement *j)
{
	struct fish_move m;

	record_unpack(j->r, &m);

	bool merge = strcmp(m.reason, "merge") == 0;

	if (merge && !m.into_lot_id)
		return refuse(j, "into_lot_id", "required", "A merge needs the lot it goes into.");
	if (!merge && m.into_lot_id)
		return refuse(j, "into_lot_id", "not_with", "Only a merge goes into another lot.");
	if (merge && m.into_lot_id == m.fish_lot_id)
		return refuse(j, "into_lot_id", "same_lot", "A lot cannot be merged into itself.");
	if (merge && !m.from_tank_id)
		return refuse(j, "from_tank_id", "required", "Say which tank the fish stood in.");
	if (!merge && m.from_tank_id && m.from_tank_id == m.to_tank_id)
		return refuse(j, "to_tank_id", "same_tank",
			      "The fish were in this tank already; choose another.");
	return ERR_NONE;
}

/* Fish-moves: what was sold or escaped is in no tank afterwards. */
static enum err_code gone_is_gone(const struct judgement *j)
{
	struct fish_move m;

	record_unpack(j->r, &m);

	bool gone = strcmp(m.reason, "sold_live") == 0 || strcmp(m.reason, "escape") == 0;

	if (gone && m.to_tank_id)
		return refuse(j, "to_tank_id", "not_with",
			      "Fish that left the farm go to no tank; leave this out.");
	if (gone && !m.from_tank_id)
		return refuse(j, "from_tank_id", "required", "Say which tank they left.");
	return ERR_NONE;
}

/* --- harvests ------------------------------------------------------------------------------------- */

/* Harvests: fish_lot and tank, or crop_lot and bed. */
static enum err_code harvest_has_its_place(const struct judgement *j)
{
	struct harvest h;

	record_unpack(j->r, &h);
	if (h.fish_lot_id && !h.tank_id)
		return refuse(j, "tank_id", "required", "A harvest of fish needs the tank.");
	if (h.crop_lot_id && !h.bed_id)
		return refuse(j, "bed_id", "required", "A harvest of plants needs the bed.");
	return ERR_NONE;
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

/* Harvests of plants: by weight alone the plants must be said, unless it empties or the crop regrows. */
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
	return refuse(j, "plants", "required",
		      "By weight alone the book cannot tell how many plants went: give plants.");
}

/* --- water tests ---------------------------------------------------------------------------------- */

static bool names_given(const char *word, const void *with)
{
	const struct record *r = with;

	return kind_field_index(r->kind, word) != SIZE_MAX && record_has(r, word);
}

/* Water-tests: below, above and as_ion name fields that are given. */
static enum err_code marks_name_given_fields(const struct judgement *j)
{
	static const char *const marks[] = { "below", "above", "as_ion" };
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; i < sizeof(marks) / sizeof(marks[0]); i++) {
		const char *list = record_text(j->r, marks[i]);

		if (list && !each_word(list, j->arena, names_given, j->r))
			rc = refuse(j, marks[i], "names_no_value",
				    "Name only quantities whose value is given here.");
	}
	return rc;
}

static bool not_in_list(const char *word, const void *with)
{
	const char *list = with;
	size_t n = strlen(word);

	for (const char *at = list; *at;) {
		size_t length = strcspn(at, " ");

		if (length == n && strncmp(at, word, n) == 0)
			return false;
		at += length;
		at += strspn(at, " ");
	}
	return true;
}

/* A value cannot be a kit's lower and upper limit at once. */
static enum err_code not_below_and_above(const struct judgement *j)
{
	const char *below = record_text(j->r, "below"), *above = record_text(j->r, "above");

	if (!below || !above || each_word(below, j->arena, not_in_list, above))
		return ERR_NONE;
	return refuse(j, "above", "below_and_above",
		      "A value is below or above what the kit reads, not both.");
}

/* Water-tests: any of the quantities; a test that measured nothing is none. */
static enum err_code something_was_measured(const struct judgement *j)
{
	for (size_t i = 0; i < j->r->kind->n_fields; i++)
		if (j->r->kind->fields[i].kind == KIND_REAL && j->r->values[i].type != VALUE_NONE)
			return ERR_NONE;
	return refuse(j, "", "nothing_measured", "Give at least one value that was measured.");
}

/* --- between fields, from a table ------------------------------------------------------------------ */

/* The first may not be above the second; of a chain each two, since the one between them may not be set. */
static const struct {
	const struct kind *kind;
	const char *low, *high;
} orders[] = {
	{ &treatments_kind, "first_day", "last_day" },
	{ &incidents_kind, "began_at", "ended_at" },
	{ &probe_faults_kind, "began_at", "ended_at" },
	{ &orders_kind, "wanted_on", "ends_on" },
	{ &alarms_kind, "raised_at", "cleared_at" },
	{ &feed_lots_kind, "received_on", "expires_on" },
	{ &material_lots_kind, "received_on", "expires_on" },
	{ &loops_kind, "feed_ratio_min_g_m2_day", "feed_ratio_max_g_m2_day" },
	{ &zones_kind, "temperature_low_c", "temperature_high_c" },
	{ &zones_kind, "humidity_low_pct", "humidity_high_pct" },
	{ &probes_kind, "low", "high" },
	{ &chores_kind, "low", "high" },
	{ &species_limits_kind, "low_stop", "low" },
	{ &species_limits_kind, "low", "high" },
	{ &species_limits_kind, "high", "high_stop" },
	{ &species_limits_kind, "low", "high_stop" },
	{ &species_limits_kind, "low_stop", "high" },
	{ &species_limits_kind, "low_stop", "high_stop" },
};

static double number_of(const struct value *v)
{
	return v->type == VALUE_REAL ? v->r : (double)v->i;
}

/* Pairs of low and high, first and last, stand in their order. */
static enum err_code pairs_in_order(const struct judgement *j)
{
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; i < sizeof(orders) / sizeof(orders[0]); i++) {
		if (orders[i].kind != j->r->kind)
			continue;

		const struct value *low = record_value(j->r, orders[i].low);
		const struct value *high = record_value(j->r, orders[i].high);

		if (!low || !high || number_of(low) <= number_of(high))
			continue;
		rc = err_set(j->err, ERR_INPUT, orders[i].high, "out_of_order",
			     "This lies before or below %s; swap or correct them.", orders[i].low);
		err_arg(j->err, "other", "%s", orders[i].low);
	}
	return rc;
}

/* Feeding-plans: a share for each time, or none. */
static enum err_code shares_match_times(const struct judgement *j)
{
	const char *shares = record_text(j->r, "shares");

	if (!shares || list_count(shares) == list_count(record_text(j->r, "times")))
		return ERR_NONE;
	return refuse(j, "shares", "shares_count", "Give one share for each time, or none.");
}

/* --- between rows --------------------------------------------------------------------------------- */

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
	refuse(j, "of_code", "unknown_reference", "No lot, harvest or packing has this code.");
	err_arg(j->err, "given", "%s", record_text(j->r, "of_code"));
	return ERR_INPUT;
}

/* Rule 8: what is held is neither packed nor shipped.  An import brings what was packed before the hold. */
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
	rc = refuse(j, field, "held",
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
		refuse(j, "of_kind", "unknown_kind", "There is no such kind of record.");
		err_arg(j->err, "given", "%s", record_text(j->r, "of_kind"));
		return ERR_INPUT;
	}
	if (uuid_read(record_text(j->r, "of_key"), &key))
		rc = store_find_key(j->b->store, &key, &row, j->err);
	if (rc && rc != ERR_NOT_FOUND)
		return rc;
	if (rc || row.kind != *k)
		return refuse(j, "of_key", "unknown_reference", "There is no row with this key.");
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
		return refuse(j, "field", "not_dated", "This field has one value for all days.");

	const struct field *f = kind_field(k, i);
	struct value v;

	if (!text)
		return f->required ? refuse(j, "value", "required", "This cannot be left empty.")
				   : ERR_NONE;
	if (field_read(f, text, '.', j->arena, &v, j->err))
		return ERR_INPUT;
	if (f->has_range && (number_of(&v) < f->lo || number_of(&v) > f->hi)) {
		refuse(j, "value", "out_of_range", "This lies outside what can be.");
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
			return refuse(j, "parent_id", "inside_itself",
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
		return refuse(j, "month", "not_a_month",
			      "Name the month by its first day, such as 2026-10-01.");
	/* Once it was over it stays so: `weirbook check` judges without a clock. */
	if (j->before && record_int(j->before, "month", 0) == month)
		return ERR_NONE;
	if (closing_next_month(month) > book_day(j->b, j->hand->now))
		return refuse(
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
			return refuse(j, kept[i], "kept_by_service",
				      "The service keeps this from the readings: correct the "
				      "reading, and the alarm follows.");
	}
	return ERR_NONE;
}

const struct rule check_rules[] = {
	{ "weighing_is_whole", RULE_CHECK, &weighings_kind, .judge = weighing_is_whole },
	{ "lengths_match", RULE_CHECK, &weighings_kind, .judge = lengths_match },
	{ "move_goes_somewhere", RULE_CHECK, &fish_moves_kind, .judge = move_goes_somewhere },
	{ "gone_is_gone", RULE_CHECK, &fish_moves_kind, .judge = gone_is_gone },
	{ "harvest_has_its_place", RULE_CHECK, &harvests_kind, .judge = harvest_has_its_place },
	{ "crop_harvest_counts_plants", RULE_CHECK, &harvests_kind,
	  .judge = crop_harvest_counts_plants },
	{ "marks_name_given_fields", RULE_CHECK, &water_tests_kind,
	  .judge = marks_name_given_fields },
	{ "not_below_and_above", RULE_CHECK, &water_tests_kind, .judge = not_below_and_above },
	{ "something_was_measured", RULE_CHECK, &water_tests_kind,
	  .judge = something_was_measured },
	{ "pairs_in_order", RULE_CHECK, NULL, .judge = pairs_in_order },
	{ "shares_match_times", RULE_CHECK, &feeding_plans_kind, .judge = shares_match_times },
	{ "hold_is_of_something", RULE_CHECK, &holds_kind, .judge = hold_is_of_something },
	{ "held", RULE_CHECK, &packing_lines_kind, .judge = is_not_held },
	{ "held", RULE_CHECK, &shipment_lines_kind, .judge = is_not_held },
	{ "photo_is_of_something", RULE_CHECK, &photos_kind, .judge = photo_is_of_something },
	{ "change_fits_its_field", RULE_CHECK, &set_up_changes_kind,
	  .judge = change_fits_its_field },
	{ "place_not_in_itself", RULE_CHECK, NULL, .judge = place_not_in_itself },
	{ "month_is_over", RULE_CHECK, &closings_kind, .judge = month_is_over },
	{ "zone_is_known", RULE_CHECK, &farm_kind, .judge = zone_is_known },
	{ "alarm_follows_the_readings", RULE_CHECK, &alarms_kind,
	  .judge = alarm_follows_the_readings },
	{ .code = NULL },
};
