/*
 * Records of any kind, in and out of their tables.  The only file that composes SQL text, from the
 * const field tables; names in SQL come from these tables alone, values are always bound.  Does not
 * judge.
 */
#ifndef WEIRBOOK_STORE_RECORD_H
#define WEIRBOOK_STORE_RECORD_H

#include "model/record.h"
#include "store/store.h"

/*
 * Writes a new row (references resolved, key set): its table, its row in places, and its lines in
 * keys (key, kind, id, fingerprint) and codes (code, kind, id).  Sets r->id; r->version should be
 * 1.  A place's sort is its kind's table.  ERR_CONFLICT: code taken_key, taken_code (args kind,
 * other), taken_name.
 */
enum err_code store_insert(struct store *st, struct record *r, const uint8_t fingerprint[32],
			   struct err *err);

/* Rewrites all values, instant and version of row r->id; keeps codes in step. */
enum err_code store_update(struct store *st, const struct record *r, struct err *err);

/* ERR_NOT_FOUND (with an item) when there is no such row. */
enum err_code store_get(struct store *st, const struct kind *k, int64_t id, struct arena *arena,
			struct record **out, struct err *err);

struct key_row {
	const struct kind *kind;
	int64_t id;
	uint8_t fingerprint[32]; /* of the entry as it was made */
};

/* ERR_NOT_FOUND adds no item. */
enum err_code store_find_key(struct store *st, const struct uuid *key, struct key_row *out,
			     struct err *err);
enum err_code store_find_code(struct store *st, const char *code, const struct kind **kind,
			      int64_t *id, struct err *err);
/* By a kind's KIND_NAME field, case ignored (ASCII), among all rows, struck ones left out. */
enum err_code store_find_name(struct store *st, const struct kind *k, const char *name, int64_t *id,
			      struct err *err);

/* How CSV writes a reference to this row: its code, else its unique name, else its key.  Cached per
 * store while the version stays.  Owned by the store until the next call that changes the
 * record. */
const char *store_label(struct store *st, const struct kind *k, int64_t id);

/* A list: all filters hold at once. */
struct list_filter {
	const struct field *field; /* NULL: the row's id */
	struct value equals;       /* VALUE_NONE: not given */
	/* ids, any of which will do instead of equals; n_any 0: none */
	const int64_t *any;
	size_t n_any;
	/* references that lead from the row to the one that has field, the row's own first; n_via
	 * 0: its own field */
	const struct field *const *via;
	size_t n_via;
};
struct list_query {
	const struct kind *kind;
	const struct list_filter *filters;
	size_t n_filters;
	int64_t from_day, to_day;        /* both included; INT64_MIN, INT64_MAX: open */
	const int64_t *since, *until;    /* instants beside the days, both included; NULL: open */
	bool with_struck;                /* only struck rows; else they are left out */
	bool all;                        /* struck ones and others: export */
	bool newest_first;               /* order=-at */
	bool by_key;                     /* order (instant, key) or by code/name: export */
	int64_t limit;                   /* at most so many; 0: no limit */
	int64_t after_instant, after_id; /* cursor: strictly after this place in the order */
	bool has_cursor;
};

struct record_list; /* an open list; one statement of its own */

enum err_code record_list_open(struct store *st, const struct list_query *q,
			       struct record_list **out, struct err *err);
/* The next row, valid until the next call (texts point into SQLite's row).  ERR_NOT_FOUND at the
 * end. */
enum err_code record_list_next(struct record_list *l, const struct record **out, struct err *err);
void record_list_close(struct record_list *l);

#endif
