/* A small invented farm in memory. */
#include "support/mini_farm.h"

#include <check.h>
#include <stdarg.h>
#include <string.h>

#include "base/zone.h"
#include "model/kinds.h"

int64_t instant_of(const char *rfc3339)
{
	int64_t at = 0;

	ck_assert(time_read(rfc3339, &at));
	return at;
}

int64_t day_of(const char *text)
{
	int64_t day = 0;

	ck_assert(day_read(text, &day));
	return day;
}

struct mini_farm own_farm;

static void set_field(struct mini_farm *f, struct record *r, const char *name, const char *text)
{
	struct uuid key;

	if (strcmp(name, "key") == 0) {
		ck_assert(uuid_read(text, &key));
		r->key = key;
		return;
	}

	size_t i = kind_field_index(r->kind, name);

	ck_assert_msg(i != SIZE_MAX, "%s has no field %s", r->kind->name, name);
	err_clear(&f->err);
	ck_assert_msg(
		!field_read(kind_field(r->kind, i), text, '.', &f->arena, &r->values[i], &f->err),
		"%s", f->err.items[0].message);
}

struct record *mini_row(struct mini_farm *f, const char *kind, ...)
{
	struct record *r = record_new(kind_find(kind), &f->arena);
	const char *name;
	va_list args;

	va_start(args, kind);
	while ((name = va_arg(args, const char *)))
		set_field(f, r, name, va_arg(args, const char *));
	va_end(args);
	return r;
}

static void begin(struct mini_farm *f)
{
	err_clear(&f->err);
	ck_assert(!store_savepoint(f->store, &f->err));
}

static enum err_code end(struct mini_farm *f, enum err_code rc)
{
	if (rc) {
		store_undo(f->store);
		ck_assert_int_eq(rc == ERR_STALE ? rc : f->err.code, rc);
	} else {
		ck_assert(!store_release(f->store, &f->err));
	}
	return rc;
}

enum err_code mini_create(struct mini_farm *f, const struct record *r, struct record **kept)
{
	struct record *resolved = record_copy(r, &f->arena), *row = NULL;

	begin(f);

	enum err_code rc = book_resolve(f->book, resolved, false, &f->err);

	if (!rc)
		rc = book_create(f->book, resolved, &f->hand, &f->arena, &row, &f->repeat, &f->err);
	if (!rc && kept)
		*kept = row;
	return end(f, rc);
}

struct record *mini_keep(struct mini_farm *f, const struct record *r)
{
	struct record *kept = NULL;

	ck_assert_msg(!mini_create(f, r, &kept), "%s: %s: %s", r->kind->name, f->err.items[0].field,
		      f->err.items[0].message);
	return kept;
}

enum err_code mini_patch(struct mini_farm *f, const struct record *row, const char *field,
			 const char *text, struct record **kept)
{
	struct record *values = record_new(row->kind, &f->arena), *out = NULL;
	bool *given = arena_array(&f->arena, kind_field_count(row->kind), sizeof(*given));

	set_field(f, values, field, text);
	given[kind_field_index(row->kind, field)] = true;
	begin(f);

	enum err_code rc = book_resolve(f->book, values, false, &f->err);

	if (!rc)
		rc = book_patch(f->book, row->kind, row->id, values, given,
				mini_get(f, row)->version, INT64_MIN, &f->hand, &f->arena, &out,
				&f->err);
	if (!rc && kept)
		*kept = out;
	return end(f, rc);
}

enum err_code mini_strike(struct mini_farm *f, const struct record *row, struct record **kept)
{
	struct record *out = NULL;

	begin(f);

	enum err_code rc =
		book_strike(f->book, row->kind, row->id, &f->hand, &f->arena, &out, &f->err);

	if (!rc && kept)
		*kept = out;
	return end(f, rc);
}

enum err_code mini_restore(struct mini_farm *f, const struct record *row, struct record **kept)
{
	struct record *out = NULL;

	begin(f);

	enum err_code rc =
		book_restore(f->book, row->kind, row->id, &f->hand, &f->arena, &out, &f->err);

	if (!rc && kept)
		*kept = out;
	return end(f, rc);
}

struct record *mini_get(struct mini_farm *f, const struct record *row)
{
	struct record *out = NULL;
	struct err err;

	err_clear(&err);
	ck_assert(!store_get(f->store, row->kind, row->id, &f->arena, &out, &err));
	return out;
}

static void set_up_places(struct mini_farm *f)
{
	mini_keep(f, mini_row(f, "farm", "name", "Alderbrook Water Garden", "time_zone",
			      "Europe/Madrid", "day_begins_hour", "4", NULL));
	mini_keep(f, mini_row(f, "loops", "code", "L1", "water_volume_l", "40000", NULL));
	mini_keep(f, mini_row(f, "tanks", "code", "T1", "loop_id", "L1", "volume_l", "5000", NULL));
	mini_keep(f, mini_row(f, "tanks", "code", "T2", "loop_id", "L1", "volume_l", "5000", NULL));
	mini_keep(f, mini_row(f, "beds", "code", "N1", "loop_id", "L1", "role", "nursery",
			      "length_m", "4", "width_m", "1.2", NULL));
	mini_keep(f, mini_row(f, "beds", "code", "B1", "loop_id", "L1", "role", "raft", "length_m",
			      "30.5", "width_m", "2.4", NULL));
}

static void set_up_others(struct mini_farm *f)
{
	mini_keep(f, mini_row(f, "staff", "name", "Nadia", "role", "crew", NULL));
	mini_keep(f, mini_row(f, "staff", "name", "Tomas", "role", "crew", NULL));
	mini_keep(f, mini_row(f, "species", "name", "Tilapia", NULL));
	mini_keep(f, mini_row(f, "feeds", "name", "Grower 32", "protein_pct", "32", NULL));
	mini_keep(f, mini_row(f, "feeds", "name", "Starter 45", "protein_pct", "45", NULL));
	mini_keep(f, mini_row(f, "crops", "name", "Lettuce", "cut", "once", NULL));
	mini_keep(f, mini_row(f, "crops", "name", "Basil", "cut", "again", NULL));
	mini_keep(f,
		  mini_row(f, "varieties", "name", "Green butterhead", "crop_id", "Lettuce", NULL));
	mini_keep(f, mini_row(f, "varieties", "name", "Large leaf", "crop_id", "Basil", NULL));
	mini_keep(f,
		  mini_row(f, "materials", "name", "Potash base", "purpose", "alkalinity", NULL));
	mini_keep(f, mini_row(f, "materials", "name", "Lime", "purpose", "alkalinity", NULL));
	mini_keep(f, mini_row(f, "materials", "name", "Iron chelate", "purpose", "iron", NULL));
}

static void stock(struct mini_farm *f)
{
	mini_keep(f, mini_row(f, "fish-lots", "code", "F1", "species_id", "Tilapia", NULL));
	mini_keep(f, mini_row(f, "fish-lots", "code", "F2", "species_id", "Tilapia", NULL));
	mini_keep(f, mini_row(f, "fish-moves", "fish_lot_id", "F1", "to_tank_id", "T1", "fish",
			      "600", "weight_g", "47520", "reason", "stocking", "at",
			      "2026-03-01T09:00:00Z", NULL));
	mini_keep(f, mini_row(f, "crop-lots", "code", "C1", "variety_id", "Green butterhead",
			      "bed_id", "N1", "cubes", "200", "day", "2026-03-01", NULL));
}

void mini_farm_open(struct mini_farm *f)
{
	memset(f, 0, sizeof(*f));
	arena_init(&f->arena);
	err_clear(&f->err);
	f->hand.now = instant_of(MINI_FARM_NOW);
	ck_assert(!store_open(":memory:", STORE_WRITE, &f->store, &f->err));
	ck_assert(!book_open(f->store, &f->book, &f->err));
	ck_assert(!store_begin(f->store, &f->err));
	set_up_places(f);
	set_up_others(f);
	stock(f);
}

void mini_farm_close(struct mini_farm *f)
{
	store_rollback(f->store);
	book_close(f->book);
	store_close(f->store);
	arena_release(&f->arena);
}
