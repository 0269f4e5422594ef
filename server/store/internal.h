/* What the files of this folder share; nobody else includes it. */
#ifndef WEIRBOOK_STORE_INTERNAL_H
#define WEIRBOOK_STORE_INTERNAL_H

#include <sqlite3.h>

#include "model/record.h"
#include "store/store.h"

enum {
	SAVEPOINTS_MAX = 4,
	BUSY_WAIT_MS = 5000,    /* for another program that has the file */
	LIST_CACHE_MAX = 16,    /* list statements kept prepared */
	APPLICATION_ID = 0x5742 /* in the file's header: a file of ours */
};

struct stmt {
	struct store *store;
	sqlite3_stmt *handle; /* NULL until first asked for */
	bool busy;
};

/* The statements of one kind, composed and prepared when first needed; NULL before.  A kind of place has
 * two tables: the second statement is for its own. */
struct kind_statements {
	sqlite3_stmt *insert, *insert_own;
	sqlite3_stmt *update, *update_own;
	sqlite3_stmt *get;
	sqlite3_stmt *find_name;
	sqlite3_stmt *label;
};

/* What can be told of a kind from its fields, worked out once. */
struct kind_shape {
	size_t n_fields;
	const struct field **fields; /* as kind_field() */
	enum value_type *types;
	size_t code, name;       /* index of its KIND_CODE and KIND_NAME field, or SIZE_MAX */
	bool has_row;            /* id, key and version; all but readings */
	bool has_instant;        /* a column instant */
	bool has_day;            /* a column day */
	bool has_struck;         /* a column struck_at */
	const char *instant_sql; /* what stands for instant in a list; NULL: none */
};

struct labels {
	const char **by_id; /* NULL: not looked up yet */
	size_t room;
};

struct cached_list {
	char *sql; /* owned; NULL: free place */
	sqlite3_stmt *handle;
	bool busy;
	uint64_t last_used;
};

struct store {
	sqlite3 *db;
	enum store_mode mode;
	struct stmt stmts[QUERY__MAX];
	struct kind_shape *shapes;     /* by kind_index() */
	struct kind_statements *kinds; /* by kind_index() */
	struct arena fixed;            /* owns shapes, kinds, labels' tables */
	struct cached_list lists[LIST_CACHE_MAX];
	uint64_t list_clock;

	bool in_transaction;
	bool lost; /* SQLite undid the transaction by itself; nothing may be written until it ends */
	int64_t version;          /* in a transaction: of its snapshot */
	int64_t begin_changes;    /* sqlite3_total_changes64 at begin */
	int64_t undone;           /* of them, undone by savepoints */
	int64_t readings_changes; /* of them, of readings alone, and not undone */
	bool in_readings;         /* between store_readings_begin and store_readings_end */
	int64_t readings_mark;
	bool *touched; /* by kind_index(): written to since begin, undone or not */
	int savepoints;
	struct {
		int64_t changes, undone, readings_changes;
	} marks[SAVEPOINTS_MAX];
	int wal_pages; /* in the log since the last checkpoint */

	struct arena label_texts;
	struct labels *labels; /* by kind_index() */
	int64_t labels_version;
};

/* fault.c: turns an SQLite result into an err item; ERR_NONE for OK, ROW, DONE. */
enum err_code store_fault(struct store *st, int rc, struct err *err);
enum err_code fault_of(sqlite3 *db, int rc, struct err *err);
/* ERR_UNAVAILABLE, file_damaged: what is read contradicts itself. */
enum err_code store_damaged(struct err *err);
/* ERR_UNAVAILABLE when SQLite has undone the transaction that the caller believes to be in. */
enum err_code store_ready(struct store *st, struct err *err);

/* stmt.c */
enum err_code store_prepare(struct store *st, const char *sql, size_t length, sqlite3_stmt **out,
			    struct err *err);
void store_stmt_init(struct store *st);
void store_stmt_close(struct store *st);

/* migrate.c: runs what is pending in one transaction. */
enum err_code store_migrate(struct store *st, int from, struct err *err);
enum err_code store_pragma_int(sqlite3 *db, const char *sql, int64_t *out, struct err *err);

/* copy.c: gives path.new, synced, the name path, which must not exist. */
enum err_code file_settle(const char *new_path, const char *path, struct err *err);

/* record.c */
void store_kinds_open(struct store *st);
void store_kinds_close(struct store *st);
const struct kind_shape *store_shape(struct store *st, const struct kind *k);
/* Adds "a.col, b.col, ..." for id, key, version, instant and all fields, and " FROM ... " to sql. */
struct strbuf;
void sql_select(struct strbuf *sql, const struct kind *k, const struct kind_shape *shape);
/* Adds " FROM ..." of the same: alias a, and b for a place's own table. */
void sql_from(struct strbuf *sql, const struct kind *k);
/* Adds the alias and quoted name of a field's column. */
void sql_column(struct strbuf *sql, const struct kind *k, const struct field *f);
/* Fills r from the row that stands; texts point into SQLite's row. */
void row_read(sqlite3_stmt *s, const struct kind_shape *shape, struct record *r);

/* Selects code, name and key of row ?1; NULL where the kind has none. */
enum err_code store_label_statement(struct store *st, const struct kind *k, sqlite3_stmt **out,
				    struct err *err);

/* keys.c: the lines in keys and codes of a row that is made, and of its code before the row is rewritten (or
 * dropped, when it has none any more).  ERR_CONFLICT: taken_key, taken_code. */
enum err_code keys_add(struct store *st, const struct record *r, const uint8_t fingerprint[32],
		       struct err *err);
enum err_code codes_add(struct store *st, const struct record *r, struct err *err);
enum err_code codes_follow(struct store *st, const struct record *r, struct err *err);

/* list.c */
void store_lists_close(struct store *st);

/* labels.c: forgets how rows are called, all of them or those of a kind. */
void labels_forget(struct store *st);
void labels_forget_kind(struct store *st, const struct kind *k);

#endif
