/* Plain slips, rule 1 of docs/rules.md: refused on screen; queued or imported they are kept and
 * marked. */
#include <string.h>

#include "book/inside.h"
#include "book/rules.h"
#include "model/kinds.h"
#include "store/record.h"

/* A lot and the place that an entry says it stands in before the entry. */
struct standing {
	enum query first; /* when the lot first stood there */
	const char *lot_kind, *place_kind;
	const char *field; /* where to point */
	int64_t lot, place;
	const struct kind *moves, *counts;
};

static const struct standing fish_standing = {
	.first = Q_LOT_FIRST_IN_TANK,
	.lot_kind = "fish-lots",
	.place_kind = "tanks",
	.field = "tank_id",
	.moves = &fish_moves_kind,
	.counts = &fish_counts_kind,
};
static const struct standing crop_standing = {
	.first = Q_LOT_FIRST_IN_BED,
	.lot_kind = "crop-lots",
	.place_kind = "beds",
	.field = "bed_id",
	.moves = &crop_moves_kind,
	.counts = &crop_counts_kind,
};

/* False when the entry says nothing of the sort. */
static bool find_standing(const struct record *r, struct standing *out)
{
	const struct kind *k = r->kind;

	if (k == &fish_moves_kind) {
		*out = fish_standing;
		out->field = "from_tank_id";
	} else if (k == &fish_deaths_kind || k == &weighings_kind || k == &fish_counts_kind ||
		   (k == &harvests_kind && record_has(r, "fish_lot_id"))) {
		*out = fish_standing;
	} else if (k == &crop_moves_kind) {
		*out = crop_standing;
		out->field = "from_bed_id";
	} else if (k == &crop_counts_kind || k == &crop_losses_kind || k == &harvests_kind) {
		*out = crop_standing;
	} else {
		return false;
	}
	out->lot = record_int(r, out->moves == &fish_moves_kind ? "fish_lot_id" : "crop_lot_id", 0);
	out->place = record_int(r, out->field, 0);
	return out->lot && out->place;
}

bool rules_need_all_rows(const struct record *r)
{
	struct standing s;

	return find_standing(r, &s);
}

/* When a lot first stood where an entry says. */
struct stay {
	struct standing at;
	bool said;     /* the entry says something of the sort; else nothing below holds */
	bool ever;     /* the lot stood there at some time */
	int64_t since; /* instant; when ever */
};

static enum err_code find_stay(const struct judgement *j, struct stay *out)
{
	struct stmt *q = NULL;
	enum err_code rc;

	*out = (struct stay){ .said = false };
	if (!find_standing(j->r, &out->at))
		return ERR_NONE;
	out->said = true;
	rc = store_query(j->b->store, out->at.first, &q, j->err);
	if (rc)
		goto out;
	stmt_bind_int(q, ":lot", out->at.lot);
	stmt_bind_int(q, ":place", out->at.place);
	stmt_bind_int(q, ":self_move", j->r->kind == out->at.moves ? j->r->id : 0);
	stmt_bind_int(q, ":self_count", j->r->kind == out->at.counts ? j->r->id : 0);
	rc = stmt_row(q, j->err);
	if (rc)
		goto out;
	out->ever = !stmt_is_null(q, 0);
	out->since = stmt_int(q, 0);
out:
	stmt_done(q);
	return rc;
}

static const char *lot_name(const struct judgement *j, const struct standing *s)
{
	return book_label(j->b, s->lot_kind, s->lot, j->arena);
}

static const char *place_name(const struct judgement *j, const struct standing *s)
{
	return book_label(j->b, s->place_kind, s->place, j->arena);
}

static void add_names(const struct judgement *j, const struct standing *s)
{
	err_arg(j->err, "lot", "%s", lot_name(j, s));
	err_arg(j->err, "place", "%s", place_name(j, s));
}

/* Rule 1: a wrong tank, or bed, for the lot. */
static enum err_code lot_was_there(const struct judgement *j)
{
	struct stay stay;
	enum err_code rc = find_stay(j, &stay);

	if (rc || !stay.said || stay.ever)
		return rc;
	err_set(j->err, ERR_INPUT, stay.at.field, "wrong_place",
		"%s was never in %s. Choose another lot or place, or enter the move first.",
		lot_name(j, &stay.at), place_name(j, &stay.at));
	add_names(j, &stay.at);
	return ERR_INPUT;
}

/* Rule 1: a departure before the arrival. */
static enum err_code lot_had_arrived(const struct judgement *j)
{
	struct stay stay;
	enum err_code rc = find_stay(j, &stay);

	if (rc || !stay.ever || stay.since <= j->r->instant)
		return rc;

	const char *day = book_day_text(j->arena, book_day(j->b, stay.since));

	err_set(j->err, ERR_INPUT, record_has(j->r, "at") ? "at" : "day", "before_arrival",
		"%s came to %s on %s, after this. Correct the time or the place.",
		lot_name(j, &stay.at), place_name(j, &stay.at), day);
	add_names(j, &stay.at);
	err_arg(j->err, "day", "%s", day);
	return ERR_INPUT;
}

static enum err_code place_in_use(const struct judgement *j, const struct field *f, int64_t id)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(j->b->store, Q_PLACE_RETIRED_ON, &q, j->err);

	if (rc)
		goto out;
	stmt_bind_int(q, ":id", id);
	rc = stmt_row(q, j->err);
	if (rc || stmt_is_null(q, 0) || record_int(j->r, "day", 0) <= stmt_int(q, 0)) {
		rc = rc == ERR_NOT_FOUND ? ERR_NONE : rc;
		goto out;
	}

	const char *day = book_day_text(j->arena, stmt_int(q, 0));

	rc = err_set(j->err, ERR_INPUT, f->name, "retired_place",
		     "%s was retired on %s. Choose another place or correct the time.",
		     stmt_text(q, 1), day);
	err_arg(j->err, "place", "%s", stmt_text(q, 1));
	err_arg(j->err, "day", "%s", day);
out:
	stmt_done(q);
	return rc;
}

/* Rule 1: a retired place. */
static enum err_code places_in_use(const struct judgement *j)
{
	enum err_code first = ERR_NONE;

	for (size_t i = 0; i < j->r->kind->n_fields; i++) {
		const struct field *f = &j->r->kind->fields[i];

		if (f->kind != KIND_REFERENCE || j->r->values[i].type != VALUE_INT ||
		    !kind_find(f->refers_to)->is_place)
			continue;

		enum err_code rc = place_in_use(j, f, j->r->values[i].i);

		if (rc && rc != ERR_INPUT)
			return rc;
		if (rc)
			first = rc;
	}
	return first;
}

/* An entry should not rest on a row that was struck out. */
static enum err_code references_are_not_struck(const struct judgement *j)
{
	enum err_code first = ERR_NONE;

	for (size_t i = 0; i < kind_field_count(j->r->kind); i++) {
		const struct field *f = kind_field(j->r->kind, i);
		struct record *to;

		if (f->kind != KIND_REFERENCE || j->r->values[i].type != VALUE_INT)
			continue;
		if (j->before && value_equal(&j->before->values[i], &j->r->values[i]))
			continue;

		enum err_code rc = book_referred(j->b, f, j->r->values[i].i, j->arena, &to, j->err);

		if (rc)
			return rc;
		if (!record_has(to, "struck_at"))
			continue;
		first = err_set(j->err, ERR_INPUT, f->name, "refers_to_struck",
				"What this refers to is struck out. Choose another.");
		err_arg(j->err, "kind", "%s", to->kind->name);
		err_arg(j->err, "label", "%s", book_label(j->b, to->kind->name, to->id, j->arena));
	}
	return first;
}

/* A delivery, or seed, of something else than the entry names. */
static const struct {
	const struct kind *kind;
	const char *lot, *thing;
} of_same_thing[] = {
	{ .kind = &feedings_kind, .lot = "feed_lot_id", .thing = "feed_id" },
	{ .kind = &doses_kind, .lot = "material_lot_id", .thing = "material_id" },
	{ .kind = &crop_lots_kind, .lot = "seed_lot_id", .thing = "variety_id" },
};

/* Rule 1's sort of slip: the lot of another feed, material or variety. */
static enum err_code lot_is_of_thing(const struct judgement *j)
{
	for (size_t i = 0; i < sizeof(of_same_thing) / sizeof(of_same_thing[0]); i++) {
		const char *lot = of_same_thing[i].lot, *thing = of_same_thing[i].thing;
		struct record *row;

		if (of_same_thing[i].kind != j->r->kind || !record_has(j->r, lot))
			continue;

		const struct field *f = kind_field(j->r->kind, kind_field_index(j->r->kind, lot));
		enum err_code rc =
			book_referred(j->b, f, record_int(j->r, lot, 0), j->arena, &row, j->err);

		if (rc || record_int(row, thing, 0) == record_int(j->r, thing, 0))
			return rc;
		err_set(j->err, ERR_INPUT, lot, "wrong_lot",
			"This lot is of another kind than the entry says.");
		err_arg(j->err, "lot", "%s", book_label(j->b, row->kind->name, row->id, j->arena));
		return ERR_INPUT;
	}
	return ERR_NONE;
}

const struct rule slip_rules[] = {
	{ .code = "wrong_place", .sort = RULE_SLIP, .judge = lot_was_there },
	{ .code = "before_arrival", .sort = RULE_SLIP, .judge = lot_had_arrived },
	{ .code = "retired_place", .sort = RULE_SLIP, .judge = places_in_use },
	{ .code = "refers_to_struck", .sort = RULE_SLIP, .judge = references_are_not_struck },
	{ .code = "wrong_lot", .sort = RULE_SLIP, .judge = lot_is_of_thing },
	{ .code = NULL },
};
