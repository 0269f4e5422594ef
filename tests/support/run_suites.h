/* What every Check program's main() does: run its suites, print Check's summary line. */
#ifndef WEIRBOOK_TESTS_RUN_SUITES_H
#define WEIRBOOK_TESTS_RUN_SUITES_H

#include <check.h>

/*
 * Makes and runs each suite of a list that ends in NULL.
 * Returns what main() returns: EXIT_FAILURE when a test failed or there was none to run.
 */
int run_suites(Suite *(*const suites[])(void));

#endif
