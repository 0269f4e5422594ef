/*
 * What went wrong, in words a person can act on.
 *
 * What can fail returns enum err_code (ERR_NONE is 0) and takes struct err * last.  Input checks
 * add every fault they find; everything else keeps the first.  No heap: a struct err can live on
 * the stack.
 */
#ifndef WEIRBOOK_BASE_ERR_H
#define WEIRBOOK_BASE_ERR_H

#include <stdbool.h>
#include <stddef.h>

enum err_code {
	ERR_NONE = 0,
	ERR_MALFORMED,    /* 400: cannot be read at all */
	ERR_UNAUTHORISED, /* 401 */
	ERR_FORBIDDEN,    /* 403 */
	ERR_NOT_FOUND,    /* 404 */
	ERR_METHOD,       /* 405 */
	ERR_CONFLICT,     /* 409: a question, or something in the way; confirm may help */
	ERR_STALE,        /* 412: the record moved on */
	ERR_TOO_LARGE,    /* 413 */
	ERR_MEDIA_TYPE,   /* 415 */
	ERR_MISDIRECTED,  /* 421: a Host that is not ours */
	ERR_INPUT,        /* 422: readable, but breaks a rule */
	ERR_NEEDS_MATCH,  /* 428: If-Match is missing */
	ERR_TOO_MANY,     /* 429 */
	ERR_UNAVAILABLE,  /* 503: try again */
	ERR_INTERNAL,     /* 500: our own mistake */
	ERR__MAX
};

enum { ERR_ITEMS_MAX = 16, ERR_ARGS_MAX = 6 };

struct err_arg {
	char name[24];
	char text[96];
};

struct err_item {
	char field[64];    /* the field's name, or "" for the whole */
	char code[40];     /* stable, snake_case: the screen's key to its own words */
	char message[240]; /* one English sentence that says what to change */
	size_t n_args;
	struct err_arg args[ERR_ARGS_MAX];
};

struct err {
	enum err_code code; /* the first one set */
	size_t n_items;
	size_t n_dropped; /* items beyond ERR_ITEMS_MAX */
	struct err_item items[ERR_ITEMS_MAX];
};

/* Makes err empty.  Must be called before first use; cheap. */
void err_clear(struct err *err);

/*
 * Adds an item and returns code, so that `return err_set(...)` reads well.  The first code stays.
 * err may be NULL: then only the code is returned.
 */
enum err_code err_set(struct err *err, enum err_code code, const char *field, const char *item_code,
		      const char *format, ...) __attribute__((format(printf, 5, 6)));

/* The analyzer looks into one file at a time, and must be told that what goes in comes out. */
#ifdef __clang_analyzer__
#define err_set(err, code, ...) (err_set(err, code, __VA_ARGS__), (code))
#endif

/* Adds a named argument to the newest item; nothing when there is none or no room. */
void err_arg(struct err *err, const char *name, const char *format, ...)
	__attribute__((format(printf, 3, 4)));

/* Adds all items of other, its code too unless err has one.  err may be NULL. */
void err_append(struct err *err, const struct err *other);

/* True when any item has this item_code. */
bool err_has(const struct err *err, const char *item_code);

#endif
