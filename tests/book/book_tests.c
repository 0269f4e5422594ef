/* The Check program of this folder: one suite a file. */
#include "book_tests.h"
#include "support/run_suites.h"

int main(void)
{
	static Suite *(*const suites[])(void) = {
		bed_queue_suite,      bed_flow_suite,        calculators_suite,
		climate_suite,        closing_suite,         crop_days_suite,
		crop_replay_suite,    crop_property_suite,   crop_reports_suite,
		yield_suite,          harvest_reports_suite, crops_published_suite,
		entries_suite,        fish_growth_suite,     fish_ledger_suite,
		fish_watch_suite,     growth_property_suite, growth_report_suite,
		fish_published_suite, history_suite,         readings_suite,
		rules_suite,          stock_rules_suite,     check_rules_suite,
		tank_numbers_suite,   times_suite,           water_suite,
		withdrawal_suite,     alarms_suite,          NULL,
	};

	return run_suites(suites);
}
