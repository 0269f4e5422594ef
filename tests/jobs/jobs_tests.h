/* The suites of this folder. */
#ifndef WEIRBOOK_TESTS_JOBS_TESTS_H
#define WEIRBOOK_TESTS_JOBS_TESTS_H

#include <check.h>

Suite *alarm_jobs_suite(void);

#endif
