/*
 * What the C tests of every folder share.
 *
 * check_ok(call, err) fails with the messages of err, so that a test that breaks says why.
 * check_refused(call, err, code, item_code) wants this code and an item with this item_code.
 * check_that(condition, format, ...) is for long loops.
 */
#ifndef WEIRBOOK_TESTS_SUPPORT_H
#define WEIRBOOK_TESTS_SUPPORT_H

#include <check.h>
#include <stdint.h>

#include "base/err.h"

/* All items of err in one line: "field code: message; ...".  Static, until the next call. */
const char *err_text(const struct err *err);

#define check_ok(call, err)                                                                        \
	do {                                                                                       \
		err_clear(err);                                                                    \
		enum err_code rc_ = (call);                                                        \
		ck_assert_msg(rc_ == ERR_NONE, "%s gave %d: %s", #call, (int)rc_, err_text(err));  \
	} while (0)

#define check_refused(call, err, want, item_code)                                                  \
	do {                                                                                       \
		err_clear(err);                                                                    \
		enum err_code rc_ = (call);                                                        \
		ck_assert_msg(rc_ == (want) && err_has(err, item_code),                            \
			      "%s gave %d, wanted %d with %s: %s", #call, (int)rc_, (int)(want),   \
			      item_code, err_text(err));                                           \
	} while (0)

/* Fails the test with both texts. */
void check_failed(const char *condition, const char *format, ...)
	__attribute__((format(printf, 2, 3)));

/* For loops of many thousand cases: unlike ck_assert it costs nothing while it holds (Check notes the place
 * of each ck_assert, and under a sanitizer those notes fill the memory). */
#define check_that(condition, ...)                                                                 \
	do {                                                                                       \
		if (!(condition))                                                                  \
			check_failed(#condition, __VA_ARGS__);                                     \
	} while (0)

/* The first item of err with this item_code; fails the test when there is none. */
const struct err_item *err_item_of(const struct err *err, const char *item_code);

/* The text of a named argument of an item; fails the test when there is none. */
const char *err_arg_of(const struct err_item *item, const char *name);

/* A small random source, the same on every machine: print the seed when a case fails. */
struct chance {
	uint64_t state;
};

uint64_t chance_next(struct chance *c);
/* From low to high, both included. */
int64_t chance_between(struct chance *c, int64_t low, int64_t high);

#endif
