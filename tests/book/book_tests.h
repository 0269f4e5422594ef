/* The suites of this folder. */
#ifndef WEIRBOOK_TESTS_BOOK_TESTS_H
#define WEIRBOOK_TESTS_BOOK_TESTS_H

#include <check.h>

Suite *bed_queue_suite(void);
Suite *crop_property_suite(void);
Suite *bed_flow_suite(void);
Suite *calculators_suite(void);
Suite *climate_suite(void);
Suite *closing_suite(void);
Suite *crop_days_suite(void);
Suite *crop_replay_suite(void);
Suite *crop_reports_suite(void);
Suite *yield_suite(void);
Suite *harvest_reports_suite(void);
Suite *crops_published_suite(void);
Suite *entries_suite(void);
Suite *fish_growth_suite(void);
Suite *fish_ledger_suite(void);
Suite *fish_watch_suite(void);
Suite *growth_property_suite(void);
Suite *growth_report_suite(void);
Suite *fish_published_suite(void);
Suite *history_suite(void);
Suite *readings_suite(void);
Suite *rules_suite(void);
Suite *stock_rules_suite(void);
Suite *check_rules_suite(void);
Suite *tank_numbers_suite(void);
Suite *times_suite(void);
Suite *water_suite(void);
Suite *withdrawal_suite(void);
Suite *alarms_suite(void);

#endif
