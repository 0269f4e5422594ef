/* Records of any kind, see sample.h. */
#include "support/sample.h"

#include <check.h>
#include <string.h>

#include "model/kinds.h"
#include "store/record.h"

const uint8_t sample_fingerprint[32] = { 1, 2, 3, 4 };

struct uuid sample_key(uint64_t number)
{
	return uuid_v7_from(1700000000000 + (int64_t)number, 0x123, 0x456789abcdefULL + number);
}

static const char *sample_text(const struct field *f, int seed, struct arena *arena)
{
	static const char *const clocks[] = { "06:30", "07:15", "08:45" };
	char key[UUID_TEXT_MAX];
	struct uuid u = sample_key((uint64_t)seed);
	size_t n = 0;

	switch (f->kind) {
	case KIND_CLOCK:
		return clocks[seed % 3];
	case KIND_CLOCKS:
		return arena_printf(arena, "%s 16:00", clocks[seed % 3]);
	case KIND_NUMBERS:
		return arena_printf(arena, "%d 20.5", seed);
	case KIND_UUID:
		uuid_write(key, &u);
		return arena_strdup(arena, key);
	case KIND_CODE:
		return arena_printf(arena, "S-%d", seed);
	case KIND_CHOICE:
	case KIND_WORDS:
		while (f->words && f->words[n])
			n++;
		return n ? f->words[(size_t)seed % n] : "word";
	default:
		/* quotes, other scripts and an emoji: whatever people type comes back */
		return arena_printf(arena, "%s %d, \"it's\" ñ \xE6\xB0\xB4 \xF0\x9F\x90\x9F",
				    f->name, seed);
	}
}

static void fill(struct value *v, const struct field *f, int seed, struct arena *arena)
{
	v->type = field_value_type(f);
	if (v->type == VALUE_REAL)
		v->r = 0.1 + seed;
	else if (v->type == VALUE_TEXT)
		v->text = sample_text(f, seed, arena);
	else
		v->i = f->kind == KIND_BOOL   ? seed & 1
		       : f->kind == KIND_TIME ? 1700000000 + seed
					      : 19000 + seed;
}

struct record *sample_record(const struct kind *k, int seed, const struct samples *samples,
			     int64_t own_id, struct arena *arena)
{
	struct record *r = record_new(k, arena);

	r->key = sample_key((uint64_t)seed * 1000 + kind_index(k));
	r->version = 1;
	r->instant = k->class == CLASS_ENTRY && !k->is_line ? 1700000000 + seed : 0;
	for (size_t i = 0; i < kind_field_count(k); i++) {
		const struct field *f = kind_field(k, i);
		struct value *v = &r->values[i];

		if (strcmp(f->name, "struck_at") == 0)
			continue;
		fill(v, f, seed, arena);
		if (f->kind == KIND_CODE)
			v->text = arena_printf(arena, "%s-%d", k->name, seed);
		if (f->kind == KIND_REFERENCE) {
			v->i = samples->ids[kind_index(kind_find(f->refers_to))];
			if (v->i == 0)
				v->i = own_id;
		}
		if (k->is_place && strcmp(f->name, "sort") == 0)
			v->text = k->table;
	}
	if (k == &changes_kind)
		r->instant = record_int(r, "changed_at", 0);
	if (k == &readings_kind)
		r->instant = record_int(r, "at", 0);
	return r;
}

void sample_rows(struct store *st, const struct kind *k, struct samples *samples,
		 struct arena *arena)
{
	struct err err;

	err_clear(&err);
	memset(samples, 0, sizeof(*samples));
	ck_assert_uint_le(kind_count(), SAMPLE_KINDS_MAX);
	for (size_t i = 0; kinds[i] && kinds[i] != k; i++) {
		struct record *r;

		if (kinds[i] == &farm_kind) { /* its one row is there from the start */
			samples->ids[i] = 1;
			continue;
		}
		/* 900 is far above what a test adds by itself */
		r = sample_record(kinds[i], 900, samples, 900, arena);
		r->id = kinds[i] == &readings_kind ? 0
			: kinds[i]->is_place       ? 900 + (int64_t)i
						   : 900;
		if (kinds[i] == &places_kind)
			record_set_int(r, "parent_id", r->id);
		ck_assert_msg(store_insert(st, r, sample_fingerprint, &err) == ERR_NONE, "%s: %s",
			      kinds[i]->name, err.items[0].message);
		samples->ids[i] = r->id;
	}
}
