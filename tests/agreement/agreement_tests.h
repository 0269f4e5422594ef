/* The suites of this folder: two descriptions of one thing are held against each other. */
#ifndef WEIRBOOK_TESTS_AGREEMENT_TESTS_H
#define WEIRBOOK_TESTS_AGREEMENT_TESTS_H

#include <check.h>

Suite *tables_suite(void);

#endif
