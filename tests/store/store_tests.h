/* The suites of this folder, and what they share. */
#ifndef WEIRBOOK_TESTS_STORE_TESTS_H
#define WEIRBOOK_TESTS_STORE_TESTS_H

#include <check.h>

#include "store/record.h"
#include "support/sample.h"

Suite *fault_suite(void);
Suite *file_suite(void);
Suite *find_suite(void);
Suite *list_suite(void);
Suite *query_suite(void);
Suite *round_trip_suite(void);
Suite *transaction_suite(void);

/* Set up for each test: a new record in memory, an arena, an empty err.  set_up has begun a transaction. */
extern struct store *st;
extern struct arena arena;
extern struct err err;
void set_up_idle(void);
void set_up(void);
void tear_down(void);

/* Asserts that a call succeeded, else shows what it said. */
#define ck_ok(call)                                                                                \
	do {                                                                                       \
		enum err_code ck_rc = (call);                                                      \
		ck_assert_msg(ck_rc == ERR_NONE, "%s: %d %s", #call, ck_rc,                        \
			      err.n_items ? err.items[0].message : "");                            \
	} while (0)

/* Asserts that a call failed with this class and item code, and empties err. */
#define ck_refused(call, class, item)                                                              \
	do {                                                                                       \
		enum err_code ck_rc = (call);                                                      \
		ck_assert_int_eq(ck_rc, class);                                                    \
		ck_assert_msg(err_has(&err, item), "expected %s, got %s", item,                    \
			      err.n_items ? err.items[0].code : "nothing");                        \
		err_clear(&err);                                                                   \
	} while (0)

/* Keeps a record; its id. */
int64_t keep(struct record *r);
/* Keeps a tank (and loop L1 before the first), a feed, a feeding. */
int64_t keep_tank(const char *code);
int64_t keep_feed(const char *name);
int64_t keep_feeding(int64_t tank_id, int64_t feed_id, int64_t at, double amount_g);
/* A list of all rows that stand. */
struct list_query all_of(const struct kind *k);
int64_t count_rows(struct list_query q);

/* A path in a folder of its own that tear_down_folder() empties and removes. */
const char *path_to(const char *name);
void tear_down_folder(void);

#endif
