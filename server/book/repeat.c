/* Whether an entry that comes again is the same one. */
#include "book/repeat.h"

#include <string.h>
#include <strings.h>

#include "base/strbuf.h"
#include "book/history.h"
#include "book/inside.h"
#include "model/kinds.h"
#include "store/record.h"

static void add_value(struct strbuf *s, const char *name, const struct value *v)
{
	double r;

	strbuf_adds(s, name);
	strbuf_addc(s, '\0');
	strbuf_addc(s, (char)('0' + (int)v->type));
	switch (v->type) {
	case VALUE_INT:
		strbuf_add(s, (const char *)&v->i, sizeof(v->i));
		break;
	case VALUE_REAL:
		r = v->r + 0.0; /* -0 is 0 */
		strbuf_add(s, (const char *)&r, sizeof(r));
		break;
	case VALUE_TEXT:
		strbuf_adds(s, v->text);
		break;
	case VALUE_NONE:
		break;
	}
	strbuf_addc(s, '\0');
}

void repeat_fingerprint(const struct record *r, uint8_t out[FINGERPRINT_SIZE])
{
	bool timed = kind_has_time(r->kind);
	bool has_at = timed && record_has(r, "at");
	struct strbuf s;

	strbuf_init(&s);
	strbuf_adds(&s, r->kind->name);
	strbuf_addc(&s, '\0');
	for (size_t i = 0; i < kind_field_count(r->kind); i++) {
		const struct field *f = kind_field(r->kind, i);
		const struct value *v = &r->values[i];

		if (v->type == VALUE_NONE || f->server_set)
			continue;
		if (has_at && strcmp(f->name, "day") == 0)
			continue;
		if (timed && strcmp(f->name, "at") == 0 && record_has(r, "tablet_at"))
			v = record_value(r, "tablet_at");
		add_value(&s, f->name, v);
	}
	sha256(out, s.text, s.length);
	strbuf_release(&s);
}

static bool equal_fingerprint(const struct record *r, const uint8_t fingerprint[FINGERPRINT_SIZE])
{
	uint8_t of_r[FINGERPRINT_SIZE];

	repeat_fingerprint(r, of_r);
	return memcmp(of_r, fingerprint, FINGERPRINT_SIZE) == 0;
}

/* Goes back through the versions of the entry until one is equal. */
static enum err_code equal_to_any_version(struct book *b, const struct record *now,
					  const uint8_t fingerprint[FINGERPRINT_SIZE],
					  struct arena *arena, bool *equal, struct err *err)
{
	struct record *r = record_copy(now, arena);

	*equal = equal_fingerprint(r, fingerprint);
	while (!*equal && r->version > 1) {
		enum err_code rc = history_step_back(b, r, arena, err);

		if (rc)
			return rc == ERR_NOT_FOUND ? ERR_NONE : rc;
		*equal = equal_fingerprint(r, fingerprint);
	}
	return ERR_NONE;
}

/* Whether the row with r's key is r, in any version.  *now: as it stands; NULL when it is of
 * another kind. */
static enum err_code is_same(struct book *b, const struct record *r, const struct key_row *row,
			     const uint8_t fingerprint[FINGERPRINT_SIZE], struct arena *arena,
			     struct record **now, bool *same, struct err *err)
{
	enum err_code rc;

	*now = NULL;
	*same = false;
	if (row->kind != r->kind)
		return ERR_NONE;
	rc = store_get(b->store, row->kind, row->id, arena, now, err);
	if (rc)
		return rc;
	*same = memcmp(row->fingerprint, fingerprint, FINGERPRINT_SIZE) == 0;
	return *same ? ERR_NONE : equal_to_any_version(b, *now, fingerprint, arena, same, err);
}

enum err_code repeat_find(struct book *b, const struct record *r,
			  const uint8_t fingerprint[FINGERPRINT_SIZE], struct arena *arena,
			  struct record **kept, struct err *err)
{
	struct key_row row;
	struct record *now;
	bool same;
	enum err_code rc = store_find_key(b->store, &r->key, &row, err);

	if (!rc)
		rc = is_same(b, r, &row, fingerprint, arena, &now, &same, err);
	if (rc)
		return rc;
	if (!same) {
		err_set(err, ERR_INPUT, "key", "key_used",
			"This key belongs to an entry with other content. Make a new key for a new "
			"entry.");
		err_arg(err, "kind", "%s", row.kind->name);
		return ERR_INPUT;
	}
	*kept = now;
	return ERR_NONE;
}

static enum err_code find_named(struct book *b, const struct record *r, int64_t *id,
				struct err *err)
{
	for (size_t i = 0; i < r->kind->n_fields; i++) {
		const struct field *f = &r->kind->fields[i];
		const struct value *v = &r->values[i];
		const struct kind *kind = r->kind;
		enum err_code rc = ERR_NOT_FOUND;

		if (v->type != VALUE_TEXT)
			continue;
		if (f->kind == KIND_CODE)
			rc = store_find_code(b->store, v->text, &kind, id, err);
		else if (f->kind == KIND_NAME)
			rc = store_find_name(b->store, kind, v->text, id, err);
		/* A code of another kind is the insert's to refuse. */
		if (!rc && kind != r->kind)
			rc = ERR_NOT_FOUND;
		if (rc != ERR_NOT_FOUND)
			return rc;
	}
	return ERR_NOT_FOUND;
}

static const char *value_text(struct book *b, const struct field *f, const struct value *v,
			      struct arena *arena)
{
	if (f->kind == KIND_REFERENCE && v->type == VALUE_INT)
		return book_label(b, f->refers_to, v->i, arena);
	return field_write(f, v, arena);
}

/* Fields that were left out of the new row are not compared: it adds nothing and takes nothing
 * away. */
static enum err_code must_equal(struct book *b, const struct record *there,
				const struct record *given, struct arena *arena, struct err *err)
{
	enum err_code rc = ERR_NONE;

	for (size_t i = 0; i < kind_field_count(there->kind); i++) {
		const struct field *f = kind_field(there->kind, i);

		if (f->server_set || given->values[i].type == VALUE_NONE ||
		    value_equal(&there->values[i], &given->values[i]))
			continue;
		if ((f->kind == KIND_CODE || f->kind == KIND_NAME) &&
		    there->values[i].type == VALUE_TEXT &&
		    strcasecmp(there->values[i].text, given->values[i].text) == 0)
			continue;

		const char *t = value_text(b, f, &there->values[i], arena);
		const char *g = value_text(b, f, &given->values[i], arena);

		rc = err_set(
			err, ERR_INPUT, f->name, "differs",
			"This is there already with \"%.60s\", not \"%.60s\". Change that one, "
			"or give this one another code or name.",
			t, g);
		err_arg(err, "there", "%s", t);
		err_arg(err, "given", "%s", g);
	}
	return rc;
}

enum err_code repeat_find_named(struct book *b, const struct record *r, struct arena *arena,
				struct record **kept, struct err *err)
{
	int64_t id = FARM_ID;
	struct record *there;
	enum err_code rc = r->kind == &farm_kind ? ERR_NONE : find_named(b, r, &id, err);

	if (rc)
		return rc;
	rc = store_get(b->store, r->kind, id, arena, &there, err);
	if (rc)
		return rc;
	/* As the file was made, not set up yet: what is imported takes its place, unless it says
	 * just that. */
	if (r->kind == &farm_kind && there->version == 1) {
		struct err unequal;
		err_clear(&unequal);
		if (must_equal(b, there, r, arena, &unequal))
			return ERR_NOT_FOUND;
	}
	/* Struck out: its code stays taken, which the insert says. */
	if (r->kind != &farm_kind && record_has(there, "struck_at"))
		return ERR_NOT_FOUND;
	rc = must_equal(b, there, r, arena, err);
	if (!rc)
		*kept = there;
	return rc;
}
