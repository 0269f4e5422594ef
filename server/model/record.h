/*
 * What a record is: the dictionary.  Every kind is described once, by a const struct kind with a table
 * of fields.  Validation, storage, CSV, JSON, the API description and the standard forms walk these
 * tables; nothing else lists kinds or fields.
 *
 * A kind whose members domain or book code reads has a C struct and describes it with FIELD(), so that
 * name, offset and type cannot disagree.  Every other kind uses PLAIN() and lives as a struct record only.
 */
#ifndef WEIRBOOK_MODEL_RECORD_H
#define WEIRBOOK_MODEL_RECORD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/uuid.h"

/* What a value means.  The comment gives how it is stored, and how JSON and CSV write it. */
enum field_kind {
	KIND_TEXT,    /* TEXT */
	KIND_CODE,    /* TEXT; letters, digits, hyphen; unique over all kinds, case ignored */
	KIND_NAME,    /* TEXT; unique within its kind, case ignored, NFC */
	KIND_INTEGER, /* INTEGER */
	KIND_REAL,    /* REAL, rounded to 15 significant digits */
	KIND_BOOL,    /* INTEGER 0/1; JSON true/false; CSV 1/0 */
	KIND_CHOICE,  /* TEXT, one of words */
	KIND_WORDS,   /* TEXT, words separated by single spaces; JSON list of text */
	KIND_NUMBERS, /* TEXT, numbers separated by single spaces; JSON list of numbers */
	KIND_CLOCKS,  /* TEXT, HH:MM separated by single spaces, ascending; JSON list of text */
	KIND_CLOCK,   /* TEXT HH:MM */
	KIND_DAY,     /* INTEGER, days since 1970-01-01; JSON and CSV YYYY-MM-DD */
	KIND_TIME,    /* INTEGER, Unix seconds, UTC; JSON and CSV RFC 3339 with Z */
	KIND_REFERENCE, /* INTEGER, id in refers_to; JSON id (takes id or key); CSV code, name or key */
	KIND_UUID,      /* TEXT, canonical */
	KIND__MAX
};

enum field_type { FIELD_INT, FIELD_DOUBLE, FIELD_STRING };

struct field {
	const char *name; /* column = struct member = JSON key; CSV drops a reference's _id */
	enum field_kind kind;
	bool required;
	bool has_range;           /* lo and hi hold */
	double lo, hi;            /* inclusive: the physical range, refused outside */
	const char *unit;         /* as shown, e.g. "mg/L"; NULL for text, a count or a ratio */
	const char *refers_to;    /* KIND_REFERENCE: name of a kind */
	const char *const *words; /* KIND_CHOICE, KIND_WORDS: NULL-ended; NULL = any */
	bool dated;               /* a PATCH may give from_day (set-up that changes in time) */
	bool server_set;          /* never taken from a client; exported and taken back by import */
	bool in_place;            /* the column lives in table places (kinds with is_place) */
	bool in_struct;           /* has an offset: made by FIELD() */
	enum field_type type;     /* of the struct member */
	size_t offset;
};

#define RANGE(low, high) .has_range = true, .lo = (low), .hi = (high)

/* Name, offset and type all come from the token m; a member of any other type does not compile. */
#define FIELD(s, m, ...)                                                                           \
	{                                                                                          \
		.name = #m, .in_struct = true, .offset = offsetof(struct s, m), \
	.type = _Generic(((struct s *)0)->m, \
		int64_t: FIELD_INT, double: FIELD_DOUBLE, const char *: FIELD_STRING), .kind = __VA_ARGS__                  \
	}

#define PLAIN(n, ...)                                                                              \
	{                                                                                          \
		.name = (n), .kind = __VA_ARGS__                                                   \
	}

/* References, of a plain kind and of a kind with a struct. */
#define PLAIN_REF(n, ...)                                                                          \
	{                                                                                          \
		.name = (n), .kind = KIND_REFERENCE, .refers_to = __VA_ARGS__                      \
	}
#define FIELD_REF(s, m, ...) FIELD(s, m, KIND_REFERENCE, .refers_to = __VA_ARGS__)

/* For a struct kind: its field table, and its C struct. */
#define FIELDS(t) .fields = (t), .n_fields = sizeof(t) / sizeof((t)[0])
#define STRUCT(s) .struct_size = sizeof(struct s), .has_offset = offsetof(struct s, has)

enum kind_class {
	CLASS_SET_UP, /* tanks, species, feeds ...: common fields note, retired_on */
	CLASS_LOT,    /* fish-lots, seed-lots ...: as set-up */
	CLASS_ENTRY,  /* feedings, weighings ...: common fields at, day, staff ... */
	CLASS_SYSTEM  /* the farm, changes: no common fields, no generic POST */
};

/* Order of entries that share an instant; (instant, rank, key); docs/rules.md. */
enum rank {
	RANK_OTHER, /* not in the ledger of stock */
	RANK_ARRIVAL,
	RANK_COUNT,
	RANK_MOVE,
	RANK_FEEDING,
	RANK_WEIGHING,
	RANK_DEATH,
	RANK_HARVEST
};

/* Where in the farm day an entry by day alone stands. */
enum day_stand { STANDS_NOON, STANDS_START, STANDS_END };

/* Of these fields at least min and at most max are given. */
struct choice_of {
	const char *fields[8]; /* NULL-ended */
	int min, max;
};

struct kind {
	const char *name;  /* path and CSV file name, e.g. "fish-moves" */
	const char *table; /* e.g. "fish_moves" */
	enum kind_class class;
	const struct field *fields; /* own fields */
	size_t n_fields;
	const struct choice_of *choices; /* ended by an empty one; may be NULL */
	bool is_place; /* shares its id with a row in places, which holds the in_place columns */
	bool is_line;  /* an entry with no time of its own: order-lines, packing-lines ... */
	const char *
		line_of; /* is_line, and what a strike takes along: the reference field to its head */
	enum rank rank;
	enum day_stand stands;
	size_t struct_size; /* 0 for a plain kind */
	size_t has_offset;  /* struct kinds: offset of uint64_t has */
};

enum value_type { VALUE_NONE, VALUE_INT, VALUE_REAL, VALUE_TEXT };

/* A reference is VALUE_INT once it is resolved; before that it may be VALUE_TEXT (a key, code or name). */
struct value {
	enum value_type type;
	union {
		int64_t i;
		double r;
		const char *text; /* owned by the record's arena */
	};
};

/* One row of any kind.  values[i] belongs to kind_field(kind, i): own fields first, then common ones. */
struct record {
	const struct kind *kind;
	int64_t id;      /* 0: not stored yet */
	struct uuid key; /* all zero: none given */
	int64_t version; /* 1 when made; +1 with each change */
	int64_t instant; /* CLASS_ENTRY: where it stands in the ledger, Unix seconds; set by book */
	struct value *values;
};

/* All kinds in the order of dependence, NULL-ended: the one list (model/kinds.c). */
extern const struct kind *const kinds[];

size_t kind_count(void);
const struct kind *kind_find(const char *name); /* NULL when unknown */
size_t kind_index(const struct kind *k);

/* Own and common fields of a kind as one list. */
size_t kind_field_count(const struct kind *k);
const struct field *kind_field(const struct kind *k, size_t i);
/* Index of a field by JSON name, or SIZE_MAX. */
size_t kind_field_index(const struct kind *k, const char *name);
/* Index by CSV column (a reference without _id), or SIZE_MAX. */
size_t kind_column_index(const struct kind *k, const char *column);
/* CSV column of a field: its name, a reference without _id.  Static or in out. */
const char *field_column(const struct field *f, char out[64]) __attribute__((warn_unused_result));

/* How a kind stores a field's value. */
enum value_type field_value_type(const struct field *f);

/* A record with room for all values, none given.  Owned by the arena. */
struct record *record_new(const struct kind *k, struct arena *arena);
/* A copy that shares texts. */
struct record *record_copy(const struct record *r, struct arena *arena);

/* By field name; NULL when not given.  Asserts that the kind has the field. */
const struct value *record_value(const struct record *r, const char *field);
bool record_has(const struct record *r, const char *field);
int64_t record_int(const struct record *r, const char *field, int64_t if_none);
double record_real(const struct record *r, const char *field);      /* NAN if none */
const char *record_text(const struct record *r, const char *field); /* NULL if none */
void record_set_int(struct record *r, const char *field, int64_t v);
void record_set_real(struct record *r, const char *field, double v);
void record_set_text(struct record *r, const char *field, const char *v); /* borrowed */
void record_clear(struct record *r, const char *field);

/* Fills a C struct of a kind with struct_size: members not given are 0, NAN or NULL; bit i of its
 * member has is set when own field i was given.  Texts are shared with the record. */
void record_unpack(const struct record *r, void *out);

bool value_equal(const struct value *a, const struct value *b);

/*
 * Reads text of a CSV cell or a form into a value of this field, by its kind: trims nothing, "" is
 * VALUE_NONE, decimal is '.' or ','.  A reference stays text.  KIND_TIME takes RFC 3339 only (local times
 * are book/import's).  On fault adds an item (codes: not_a_number, not_whole, not_a_date, not_a_time,
 * not_a_choice with arg nearest, not_a_key, bad_code, too_long ...) and returns ERR_INPUT.
 */
enum err_code field_read(const struct field *f, const char *text, char decimal, struct arena *arena,
			 struct value *out, struct err *err);

/* Text of a value as CSV writes it ("" for none); a reference must be given as text by the caller. */
const char *field_write(const struct field *f, const struct value *v, struct arena *arena);

/*
 * Checks one record by itself, whole (for a PATCH the caller merges first): types, required fields
 * (code required), ranges (out_of_range, args low, high), choices (one_of), texts' length and form.  Adds
 * all faults.  Puts canonical forms in place of texts: names trimmed and composed, lists with single
 * spaces, "" as not given.  Clocks must ascend already (not_ascending).
 */
enum err_code record_check(const struct record *r, struct arena *arena, struct err *err);

/* Fields that every kind of a class has, after its own. */
extern const struct field set_up_common[];
extern const size_t n_set_up_common;
extern const struct field entry_common[];
extern const size_t n_entry_common;
extern const struct field line_common[];
extern const size_t n_line_common;

#endif
