/* The suites of this folder. */
#ifndef WEIRBOOK_TESTS_IMPORT_TESTS_H
#define WEIRBOOK_TESTS_IMPORT_TESTS_H

#include <check.h>

Suite *cases_suite(void);
Suite *demo_suite(void);
Suite *published_suite(void);

#endif
