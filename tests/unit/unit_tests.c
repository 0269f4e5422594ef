/* The Check program of this folder: one suite a file. */
#include "unit_tests.h"
#include "run_suites.h"

int main(void)
{
	static Suite *(*const suites[])(void) = {
		civil_suite, zone_suite,   csv_suite,   log_suite,    number_suite,
		uuid_suite,  text_suite,   kinds_suite, record_suite, field_text_suite,
		check_suite, oxygen_suite, alarm_suite, NULL,
	};

	return run_suites(suites);
}
