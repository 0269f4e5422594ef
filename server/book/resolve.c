/* References that came as text become ids. */
#include <stdio.h>
#include <string.h>

#include "base/nearest.h"
#include "book/book.h"
#include "book/inside.h"
#include "model/kinds.h"
#include "store/record.h"

/* Codes and names of a kind, to name the nearest one. */
struct labels {
	const char **words;
	size_t n;
};

static const char *label_word(size_t i, const void *with)
{
	return ((const struct labels *)with)->words[i];
}

enum { LABELS_MAX = 2000 };

/* What cannot be read now is left out: a refusal needs no nearest word. */
static void read_labels(struct book *b, const struct kind *k, struct arena *arena,
			struct labels *out)
{
	const struct list_query q = {
		.kind = k, .from_day = INT64_MIN, .to_day = INT64_MAX, .limit = LABELS_MAX
	};
	struct record_list *list = NULL;
	const struct record *row;

	*out = (struct labels){ .words = arena_array(arena, LABELS_MAX, sizeof(char *)) };
	if (record_list_open(b->store, &q, &list, NULL))
		return;
	while (out->n < LABELS_MAX && !record_list_next(list, &row, NULL))
		for (size_t i = 0; i < k->n_fields; i++)
			if ((k->fields[i].kind == KIND_CODE || k->fields[i].kind == KIND_NAME) &&
			    row->values[i].type == VALUE_TEXT && out->n < LABELS_MAX)
				out->words[out->n++] = arena_strdup(arena, row->values[i].text);
	record_list_close(list);
}

static enum err_code unknown(struct book *b, const struct field *f, const char *text,
			     bool keys_only, struct err *err)
{
	const struct kind *k = kind_find(f->refers_to);
	struct arena arena;
	struct labels labels = { 0 };

	arena_init(&arena);
	if (!keys_only)
		read_labels(b, k, &arena, &labels);

	const char *near = labels.n ? nearest_word(text, labels.n, label_word, &labels) : NULL;

	if (near)
		err_set(err, ERR_INPUT, f->name, "unknown_reference",
			"There is no \"%.80s\" among %s; \"%.60s\" is near.", text, k->name, near);
	else
		err_set(err, ERR_INPUT, f->name, "unknown_reference",
			"There is no \"%.80s\" among %s.", text, k->name);
	err_arg(err, "given", "%s", text);
	err_arg(err, "kind", "%s", k->name);
	if (near)
		err_arg(err, "nearest", "%s", near);
	arena_release(&arena);
	return ERR_INPUT;
}

static enum err_code wrong_kind(const struct field *f, const char *text, const struct kind *is,
				struct err *err)
{
	err_set(err, ERR_INPUT, f->name, "wrong_kind", "\"%.80s\" is one of %s, not of %s.", text,
		is->name, f->refers_to);
	err_arg(err, "given", "%s", text);
	err_arg(err, "is", "%s", is->name);
	err_arg(err, "kind", "%s", f->refers_to);
	return ERR_INPUT;
}

/* *is: the kind of what was found, for the caller to judge.  ERR_NOT_FOUND adds no item. */
static enum err_code find_text(struct book *b, const struct field *f, const char *text,
			       bool keys_only, const struct kind **is, int64_t *id, struct err *err)
{
	struct uuid key;
	struct key_row row;
	enum err_code rc = ERR_NOT_FOUND;

	if (uuid_read(text, &key)) {
		rc = store_find_key(b->store, &key, &row, err);
		if (!rc) {
			*is = row.kind;
			*id = row.id;
		}
	}
	if (rc != ERR_NOT_FOUND || keys_only)
		return rc;
	rc = store_find_code(b->store, text, is, id, err);
	/* A name within the kind may look like the code of another. */
	if (rc == ERR_NOT_FOUND || (!rc && !kind_answers_to(*is, f->refers_to))) {
		const struct kind *k = kind_find(f->refers_to);
		enum err_code by_name = store_find_name(b->store, k, text, id, err);

		if (!by_name)
			*is = k;
		if (by_name != ERR_NOT_FOUND)
			rc = by_name;
	}
	return rc;
}

static enum err_code resolve_text(struct book *b, const struct field *f, struct value *v,
				  bool keys_only, struct err *err)
{
	const struct kind *is = NULL;
	int64_t id = 0;
	enum err_code rc = find_text(b, f, v->text, keys_only, &is, &id, err);

	if (rc == ERR_NOT_FOUND)
		return unknown(b, f, v->text, keys_only, err);
	if (rc)
		return rc;
	if (!kind_answers_to(is, f->refers_to))
		return wrong_kind(f, v->text, is, err);
	*v = (struct value){ .type = VALUE_INT, .i = id };
	return ERR_NONE;
}

static enum err_code check_id(struct book *b, const struct field *f, int64_t id, struct err *err)
{
	struct arena arena;
	struct record *row;
	struct err none;
	char text[32];

	arena_init(&arena);
	err_clear(&none);

	enum err_code rc = book_referred(b, f, id, &arena, &row, &none);

	arena_release(&arena);
	if (rc == ERR_NOT_FOUND) {
		snprintf(text, sizeof(text), "%lld", (long long)id);
		return unknown(b, f, text, true, err);
	}
	return rc ? err_set(err, rc, f->name, "not_readable", "This cannot be looked up now.")
		  : ERR_NONE;
}

enum err_code book_resolve(struct book *b, struct record *r, bool keys_only, struct err *err)
{
	enum err_code first = ERR_NONE;

	for (size_t i = 0; i < kind_field_count(r->kind); i++) {
		const struct field *f = kind_field(r->kind, i);
		struct value *v = &r->values[i];
		enum err_code rc = ERR_NONE;

		if (f->kind != KIND_REFERENCE)
			continue;
		if (v->type == VALUE_TEXT)
			rc = resolve_text(b, f, v, keys_only, err);
		else if (v->type == VALUE_INT)
			rc = check_id(b, f, v->i, err);
		if (rc && !first)
			first = rc;
	}
	return first;
}
