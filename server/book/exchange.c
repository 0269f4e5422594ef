/* See exchange.h. */
#include "book/exchange.h"

#include <inttypes.h>
#include <string.h>

#include "base/csv.h"
#include "model/kinds.h"

/* What people typed may look like a formula to a spreadsheet. */
static bool is_free_text(const struct field *f)
{
	return f->kind == KIND_TEXT || f->kind == KIND_NAME;
}

static const char *cell_text(struct store *st, const struct field *f, const struct value *v,
			     struct arena *arena)
{
	const char *text;

	if (f->kind == KIND_REFERENCE && v->type == VALUE_INT) {
		text = store_label(st, kind_find(f->refers_to), v->i);
		return text ? csv_guard(arena, text) : "";
	}
	text = field_write(f, v, arena);
	return is_free_text(f) ? csv_guard(arena, text) : text;
}

/* A place's sort is said by the file that it stands in. */
static bool is_written(const struct field *f)
{
	return strcmp(f->name, "sort") != 0;
}

void exchange_write_head(struct strbuf *out, const struct kind *k)
{
	char column[64];

	csv_write_cell(out, "key", ',', true);
	for (size_t i = 0; i < kind_field_count(k); i++)
		if (is_written(kind_field(k, i)))
			csv_write_cell(out, field_column(kind_field(k, i), column), ',', false);
	csv_write_cell(out, "version", ',', false);
	csv_write_end(out);
}

void exchange_write_row(struct strbuf *out, struct store *st, const struct record *r,
			struct arena *arena)
{
	char key[UUID_TEXT_MAX];

	uuid_write(key, &r->key);
	csv_write_cell(out, key, ',', true);
	for (size_t i = 0; i < kind_field_count(r->kind); i++)
		if (is_written(kind_field(r->kind, i)))
			csv_write_cell(out,
				       cell_text(st, kind_field(r->kind, i), &r->values[i], arena),
				       ',', false);
	csv_write_cell(out, arena_printf(arena, "%" PRId64, r->version), ',', false);
	csv_write_end(out);
}

bool exchange_own_row(const struct record *r)
{
	const char *sort;

	if (r->kind != &places_kind)
		return true;
	sort = record_text(r, "sort");
	return !sort || strcmp(sort, places_kind.table) == 0;
}

struct list_query exchange_query(const struct kind *k)
{
	return (struct list_query){
		.kind = k, .from_day = INT64_MIN, .to_day = INT64_MAX, .all = true, .by_key = true
	};
}
