/* Set-up that changes in time. */
#include "book/dated.h"

#include "book/inside.h"
#include "model/kinds.h"
#include "store/record.h"

static enum err_code check_dated(const struct record *now, const bool *given, struct err *err)
{
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; i < kind_field_count(now->kind); i++) {
		const struct field *f = kind_field(now->kind, i);

		if (given[i] && !f->dated)
			rc = err_set(err, ERR_INPUT, f->name, "not_dated",
				     "This has one value for all days. Leave out from_day.");
	}
	return rc;
}

/* As CSV writes it; a reference by its key. */
static enum err_code value_text(struct book *b, const struct field *f, const struct value *v,
				struct arena *arena, const char **out, struct err *err)
{
	if (f->kind == KIND_REFERENCE && v->type == VALUE_INT)
		return book_referred_key(b, f, v->i, arena, out, err);
	*out = field_write(f, v, arena);
	return ERR_NONE;
}

/* The id of the change of this field from this day that stands, or 0. */
static enum err_code find_change(struct book *b, const struct record *change, int64_t *id,
				 struct err *err)
{
	struct stmt *q = NULL;
	enum err_code rc = store_query(b->store, Q_SET_UP_CHANGE_OF, &q, err);

	*id = 0;
	if (rc)
		goto out;
	stmt_bind_text(q, ":of_kind", record_text(change, "of_kind"));
	stmt_bind_text(q, ":of_key", record_text(change, "of_key"));
	stmt_bind_text(q, ":field", record_text(change, "field"));
	stmt_bind_int(q, ":from_day", record_int(change, "from_day", 0));
	rc = stmt_row(q, err);
	if (!rc)
		*id = stmt_int(q, 0);
	if (rc == ERR_NOT_FOUND)
		rc = ERR_NONE;
out:
	stmt_done(q);
	return rc;
}

static enum err_code correct_change(struct book *b, int64_t id, struct record *change,
				    const struct hand *hand, struct arena *arena, struct err *err)
{
	const struct kind *k = change->kind;
	bool *given = arena_array(arena, kind_field_count(k), sizeof(*given));
	struct record *there, *kept;
	enum err_code rc = store_get(b->store, k, id, arena, &there, err);

	if (rc)
		return rc;
	given[kind_field_index(k, "value")] = true;
	return book_patch(b, k, id, change, given, there->version, NO_DAY, hand, arena, &kept, err);
}

static enum err_code change_one(struct book *b, const struct record *now, size_t field,
				const struct value *v, int64_t from_day, const struct hand *hand,
				struct arena *arena, struct err *err)
{
	const struct field *f = kind_field(now->kind, field);
	struct record *change = record_new(&set_up_changes_kind, arena), *kept;
	const char *text = NULL;
	int64_t id = 0;
	bool repeat;
	enum err_code rc = value_text(b, f, v, arena, &text, err);

	if (rc)
		return rc;
	record_set_text(change, "of_kind", now->kind->name);
	record_set_text(change, "of_key", book_key_text(arena, &now->key));
	record_set_text(change, "field", f->name);
	record_set_int(change, "from_day", from_day);
	if (text[0])
		record_set_text(change, "value", text);
	if (hand->why && hand->why[0])
		record_set_text(change, "note", hand->why);
	rc = find_change(b, change, &id, err);
	if (rc)
		return rc;
	if (id)
		return correct_change(b, id, change, hand, arena, err);
	return book_create(b, change, hand, arena, &kept, &repeat, err);
}

/* The new values must hold as those of the base row would. */
static enum err_code check_values(const struct record *now, const struct record *values,
				  const bool *given, struct arena *arena, struct err *err)
{
	struct record *as_if = record_copy(now, arena);

	for (size_t i = 0; i < kind_field_count(now->kind); i++)
		if (given[i])
			as_if->values[i] = values->values[i];
	return record_check(as_if, arena, err);
}

enum err_code dated_change(struct book *b, const struct record *now, const struct record *values,
			   const bool *given, int64_t from_day, const struct hand *hand,
			   struct arena *arena, struct err *err)
{
	enum err_code rc = check_dated(now, given, err);

	if (!rc)
		rc = check_values(now, values, given, arena, err);
	for (size_t i = 0; !rc && i < kind_field_count(now->kind); i++)
		if (given[i])
			rc = change_one(b, now, i, &values->values[i], from_day, hand, arena, err);
	return rc;
}
