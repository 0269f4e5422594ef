/* Kinds and fields by name, and the values of a record: see record.h.  Reading text is field_text.c's,
 * judging a record check.c's. */
#include "model/record.h"

#include <assert.h>
#include <math.h>
#include <string.h>

size_t kind_count(void)
{
	size_t n = 0;

	while (kinds[n])
		n++;
	return n;
}

const struct kind *kind_find(const char *name)
{
	for (size_t i = 0; kinds[i]; i++)
		if (strcmp(kinds[i]->name, name) == 0)
			return kinds[i];
	return NULL;
}

size_t kind_index(const struct kind *k)
{
	for (size_t i = 0; kinds[i]; i++)
		if (kinds[i] == k)
			return i;
	assert(0 && "a kind that is not in kinds[]");
	return SIZE_MAX;
}

/* The fields that a kind has after its own. */
static const struct field *common_fields(const struct kind *k, size_t *n)
{
	switch (k->class) {
	case CLASS_SET_UP:
	case CLASS_LOT:
		*n = n_set_up_common;
		return set_up_common;
	case CLASS_ENTRY:
		*n = k->is_line ? n_line_common : n_entry_common;
		return k->is_line ? line_common : entry_common;
	case CLASS_SYSTEM:
		break;
	}
	*n = 0;
	return NULL;
}

size_t kind_field_count(const struct kind *k)
{
	size_t n;

	common_fields(k, &n);
	return k->n_fields + n;
}

const struct field *kind_field(const struct kind *k, size_t i)
{
	size_t n;
	const struct field *common = common_fields(k, &n);

	assert(i < k->n_fields + n);
	return i < k->n_fields ? &k->fields[i] : &common[i - k->n_fields];
}

size_t kind_field_index(const struct kind *k, const char *name)
{
	size_t n = kind_field_count(k);

	for (size_t i = 0; i < n; i++)
		if (strcmp(kind_field(k, i)->name, name) == 0)
			return i;
	return SIZE_MAX;
}

size_t kind_column_index(const struct kind *k, const char *column)
{
	size_t n = kind_field_count(k);
	char buffer[64];

	for (size_t i = 0; i < n; i++)
		if (strcmp(field_column(kind_field(k, i), buffer), column) == 0)
			return i;
	return SIZE_MAX;
}

const char *field_column(const struct field *f, char out[64])
{
	size_t n = strlen(f->name);

	if (f->kind != KIND_REFERENCE || n <= 3 || n >= 64 || strcmp(f->name + n - 3, "_id") != 0)
		return f->name;
	memcpy(out, f->name, n - 3);
	out[n - 3] = '\0';
	return out;
}

enum value_type field_value_type(const struct field *f)
{
	switch (f->kind) {
	case KIND_INTEGER:
	case KIND_BOOL:
	case KIND_DAY:
	case KIND_TIME:
	case KIND_REFERENCE:
		return VALUE_INT;
	case KIND_REAL:
		return VALUE_REAL;
	default:
		return VALUE_TEXT;
	}
}

struct record *record_new(const struct kind *k, struct arena *arena)
{
	struct record *r = arena_alloc(arena, sizeof(*r));

	r->kind = k;
	r->values = arena_array(arena, kind_field_count(k), sizeof(r->values[0]));
	return r;
}

struct record *record_copy(const struct record *r, struct arena *arena)
{
	struct record *copy = record_new(r->kind, arena);
	struct value *values = copy->values;

	*copy = *r;
	copy->values = values;
	memcpy(values, r->values, kind_field_count(r->kind) * sizeof(values[0]));
	return copy;
}

static struct value *slot(const struct record *r, const char *field)
{
	size_t i = kind_field_index(r->kind, field);

	assert(i != SIZE_MAX);
	return &r->values[i];
}

const struct value *record_value(const struct record *r, const char *field)
{
	const struct value *v = slot(r, field);

	return v->type == VALUE_NONE ? NULL : v;
}

bool record_has(const struct record *r, const char *field)
{
	return slot(r, field)->type != VALUE_NONE;
}

int64_t record_int(const struct record *r, const char *field, int64_t if_none)
{
	const struct value *v = slot(r, field);

	return v->type == VALUE_INT ? v->i : if_none;
}

double record_real(const struct record *r, const char *field)
{
	const struct value *v = slot(r, field);

	return v->type == VALUE_REAL ? v->r : v->type == VALUE_INT ? (double)v->i : (double)NAN;
}

const char *record_text(const struct record *r, const char *field)
{
	const struct value *v = slot(r, field);

	return v->type == VALUE_TEXT ? v->text : NULL;
}

void record_set_int(struct record *r, const char *field, int64_t v)
{
	*slot(r, field) = (struct value){ .type = VALUE_INT, .i = v };
}

void record_set_real(struct record *r, const char *field, double v)
{
	*slot(r, field) = (struct value){ .type = VALUE_REAL, .r = v };
}

void record_set_text(struct record *r, const char *field, const char *v)
{
	if (v)
		*slot(r, field) = (struct value){ .type = VALUE_TEXT, .text = v };
	else
		record_clear(r, field);
}

void record_clear(struct record *r, const char *field)
{
	*slot(r, field) = (struct value){ .type = VALUE_NONE };
}

/* Writes one member; false when the value is not given or, a reference, not resolved yet. */
static bool unpack_member(const struct field *f, const struct value *v, void *out)
{
	void *member = (char *)out + f->offset;

	switch (f->type) {
	case FIELD_INT:
		*(int64_t *)member = v->type == VALUE_INT ? v->i : 0;
		return v->type == VALUE_INT;
	case FIELD_DOUBLE:
		*(double *)member = v->type == VALUE_REAL ? v->r : (double)NAN;
		return v->type == VALUE_REAL;
	case FIELD_STRING:
		*(const char **)member = v->type == VALUE_TEXT ? v->text : NULL;
		return v->type == VALUE_TEXT;
	}
	return false;
}

void record_unpack(const struct record *r, void *out)
{
	const struct kind *k = r->kind;
	uint64_t has = 0;

	assert(k->struct_size > 0 && k->n_fields <= 64);
	memset(out, 0, k->struct_size);
	for (size_t i = 0; i < k->n_fields; i++)
		if (k->fields[i].in_struct && unpack_member(&k->fields[i], &r->values[i], out))
			has |= UINT64_C(1) << i;
	*(uint64_t *)((char *)out + k->has_offset) = has;
}

bool value_equal(const struct value *a, const struct value *b)
{
	if (a->type != b->type)
		return false;
	switch (a->type) {
	case VALUE_INT:
		return a->i == b->i;
	case VALUE_REAL:
		return !(a->r < b->r) && !(a->r > b->r);
	case VALUE_TEXT:
		return strcmp(a->text, b->text) == 0;
	case VALUE_NONE:
		break;
	}
	return true;
}
