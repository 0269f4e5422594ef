/* The suites of this folder: the balance of the two crops. */
#ifndef WEIRBOOK_BALANCE_TESTS_H
#define WEIRBOOK_BALANCE_TESTS_H

#include <check.h>

Suite *base_suite(void);
Suite *loading_suite(void);
Suite *nitrate_suite(void);
Suite *nitrate_forecast_suite(void);
Suite *nitrogen_suite(void);
Suite *published_suite(void);

#endif
