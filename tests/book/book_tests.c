/* The Check program of this folder: one suite a file. */
#include "book_tests.h"

#include <stdlib.h>

int main(void)
{
	SRunner *runner = srunner_create(bed_queue_suite());

	srunner_add_suite(runner, bed_flow_suite());
	srunner_add_suite(runner, calculators_suite());
	srunner_add_suite(runner, climate_suite());
	srunner_add_suite(runner, closing_suite());
	srunner_add_suite(runner, crop_days_suite());
	srunner_add_suite(runner, crop_replay_suite());
	srunner_add_suite(runner, crop_property_suite());
	srunner_add_suite(runner, crop_reports_suite());
	srunner_add_suite(runner, harvest_reports_suite());
	srunner_add_suite(runner, crops_published_suite());
	srunner_add_suite(runner, entries_suite());
	srunner_add_suite(runner, fish_growth_suite());
	srunner_add_suite(runner, fish_ledger_suite());
	srunner_add_suite(runner, fish_watch_suite());
	srunner_add_suite(runner, growth_report_suite());
	srunner_add_suite(runner, fish_published_suite());
	srunner_add_suite(runner, history_suite());
	srunner_add_suite(runner, readings_suite());
	srunner_add_suite(runner, rules_suite());
	srunner_add_suite(runner, stock_rules_suite());
	srunner_add_suite(runner, check_rules_suite());
	srunner_add_suite(runner, tank_numbers_suite());
	srunner_add_suite(runner, times_suite());
	srunner_add_suite(runner, water_suite());
	srunner_add_suite(runner, withdrawal_suite());
	srunner_add_suite(runner, alarms_suite());
	srunner_run_all(runner, CK_NORMAL);

	int failed = srunner_ntests_failed(runner);

	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
