/* Rules that an entry cannot break and still mean something: always refused.  Ranges, words and
 * required fields are the dictionary's; here stands what holds between the fields of one row, in
 * rules_rows.c what holds between rows. */
#include <math.h>
#include <string.h>

#include "base/number.h"
#include "base/word_list.h"
#include "book/inside.h"
#include "book/rules.h"
#include "model/fish_kinds.h"
#include "model/kinds.h"

/* --- weighings -------------------------------------------------------------------------------- */

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
		return rules_refuse(
			j, "nets", "nets_pairs",
			"Nets are pairs: fish and grams of each, such as 20 4310 18 3902.");
	if (!isnan(w.weight_g) && !w.fish)
		return rules_refuse(j, "fish", "required", "Say how many fish weighed that much.");
	if (w.fish && isnan(w.weight_g))
		return rules_refuse(
			j, "fish", "not_with",
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

	size_t lengths = word_list_count(w.lengths_mm), weights = word_list_count(w.weights_g);

	if (w.weights_g && lengths != weights) {
		rules_refuse(j, "lengths_mm", "lengths_count",
			     "Give one length for each weight, in the same order.");
		err_arg(j->err, "lengths", "%zu", lengths);
		err_arg(j->err, "weights", "%zu", weights);
		return ERR_INPUT;
	}
	if (w.fish && lengths > (size_t)w.fish)
		return rules_refuse(j, "lengths_mm", "lengths_count",
				    "There are more lengths than fish.");
	return ERR_NONE;
}

/* --- fish moves ------------------------------------------------------------------------------- */

/* Fish-moves: a merge, and only a merge, enters another lot; else the tank must change. */
static enum err_code move_goes_somewhere(const struct judgement *j)
{
	struct fish_move m;

	record_unpack(j->r, &m);

	bool merge = strcmp(m.reason, "merge") == 0;

	if (merge && !m.into_lot_id)
		return rules_refuse(j, "into_lot_id", "required",
				    "A merge needs the lot it goes into.");
	if (!merge && m.into_lot_id)
		return rules_refuse(j, "into_lot_id", "not_with",
				    "Only a merge goes into another lot.");
	if (merge && m.into_lot_id == m.fish_lot_id)
		return rules_refuse(j, "into_lot_id", "same_lot",
				    "A lot cannot be merged into itself.");
	if (merge && !m.from_tank_id)
		return rules_refuse(j, "from_tank_id", "required",
				    "Say which tank the fish stood in.");
	if (!merge && m.from_tank_id && m.from_tank_id == m.to_tank_id)
		return rules_refuse(j, "to_tank_id", "same_tank",
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
		return rules_refuse(j, "to_tank_id", "not_with",
				    "Fish that left the farm go to no tank; leave this out.");
	if (gone && !m.from_tank_id)
		return rules_refuse(j, "from_tank_id", "required", "Say which tank they left.");
	return ERR_NONE;
}

/* --- harvests --------------------------------------------------------------------------------- */

/* Harvests: fish_lot and tank, or crop_lot and bed. */
static enum err_code harvest_has_its_place(const struct judgement *j)
{
	struct harvest h;

	record_unpack(j->r, &h);
	if (h.fish_lot_id && !h.tank_id)
		return rules_refuse(j, "tank_id", "required", "A harvest of fish needs the tank.");
	if (h.crop_lot_id && !h.bed_id)
		return rules_refuse(j, "bed_id", "required", "A harvest of plants needs the bed.");
	return ERR_NONE;
}

/* --- water tests ------------------------------------------------------------------------------ */

static bool names_given(const char *list, const struct record *r, struct arena *arena)
{
	size_t n;

	for (const char *at = list; (at = word_list_next(at, &n)); at += n) {
		const char *field = arena_strndup(arena, at, n);

		if (kind_field_index(r->kind, field) == SIZE_MAX || !record_has(r, field))
			return false;
	}
	return true;
}

/* Water-tests: below, above and as_ion name fields that are given. */
static enum err_code marks_name_given_fields(const struct judgement *j)
{
	static const char *const marks[] = { "below", "above", "as_ion" };
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; i < sizeof(marks) / sizeof(marks[0]); i++) {
		const char *list = record_text(j->r, marks[i]);

		if (!names_given(list, j->r, j->arena))
			rc = rules_refuse(j, marks[i], "names_no_value",
					  "Name only quantities whose value is given here.");
	}
	return rc;
}

/* A value cannot be a kit's lower and upper limit at once. */
static enum err_code not_below_and_above(const struct judgement *j)
{
	const char *below = record_text(j->r, "below"), *above = record_text(j->r, "above");
	size_t n;

	for (const char *at = below; (at = word_list_next(at, &n)); at += n)
		if (word_list_has(above, arena_strndup(j->arena, at, n)))
			return rules_refuse(
				j, "above", "below_and_above",
				"A value is below or above what the kit reads, not both.");
	return ERR_NONE;
}

/* Water-tests: any of the quantities; a test that measured nothing is none. */
static enum err_code something_was_measured(const struct judgement *j)
{
	for (size_t i = 0; i < j->r->kind->n_fields; i++)
		if (j->r->kind->fields[i].kind == KIND_REAL && j->r->values[i].type != VALUE_NONE)
			return ERR_NONE;
	return rules_refuse(j, "", "nothing_measured",
			    "Give at least one value that was measured.");
}

/* --- between fields, from a table ------------------------------------------------------------- */

/* The first may not be above the second; of a chain each two, since the one between them may not be
 * set. */
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

	if (!shares || word_list_count(shares) == word_list_count(record_text(j->r, "times")))
		return ERR_NONE;
	return rules_refuse(j, "shares", "shares_count", "Give one share for each time, or none.");
}

const struct rule check_rules[] = {
	{ .code = "weighing_is_whole",
	  .sort = RULE_CHECK,
	  .kind = &weighings_kind,
	  .judge = weighing_is_whole },
	{ .code = "lengths_match",
	  .sort = RULE_CHECK,
	  .kind = &weighings_kind,
	  .judge = lengths_match },
	{ .code = "move_goes_somewhere",
	  .sort = RULE_CHECK,
	  .kind = &fish_moves_kind,
	  .judge = move_goes_somewhere },
	{ .code = "gone_is_gone",
	  .sort = RULE_CHECK,
	  .kind = &fish_moves_kind,
	  .judge = gone_is_gone },
	{ .code = "harvest_has_its_place",
	  .sort = RULE_CHECK,
	  .kind = &harvests_kind,
	  .judge = harvest_has_its_place },
	{ .code = "marks_name_given_fields",
	  .sort = RULE_CHECK,
	  .kind = &water_tests_kind,
	  .judge = marks_name_given_fields },
	{ .code = "not_below_and_above",
	  .sort = RULE_CHECK,
	  .kind = &water_tests_kind,
	  .judge = not_below_and_above },
	{ .code = "something_was_measured",
	  .sort = RULE_CHECK,
	  .kind = &water_tests_kind,
	  .judge = something_was_measured },
	{ .code = "pairs_in_order", .sort = RULE_CHECK, .judge = pairs_in_order },
	{ .code = "shares_match_times",
	  .sort = RULE_CHECK,
	  .kind = &feeding_plans_kind,
	  .judge = shares_match_times },
	{ .code = NULL },
};
