/* The suites of this folder, one a file. */
#ifndef WEIRBOOK_UNIT_TESTS_H
#define WEIRBOOK_UNIT_TESTS_H

#include <check.h>

Suite *civil_suite(void);
Suite *zone_suite(void);
Suite *csv_suite(void);
Suite *log_suite(void);
Suite *number_suite(void);
Suite *uuid_suite(void);
Suite *text_suite(void);
Suite *kinds_suite(void);
Suite *record_suite(void);
Suite *field_text_suite(void);
Suite *alarm_suite(void);
Suite *oxygen_suite(void);
Suite *check_suite(void);

#endif
