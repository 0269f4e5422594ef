/* The Check program of this folder: one suite a file. */
#include "unit_tests.h"

#include <stdlib.h>

int main(void)
{
	SRunner *runner = srunner_create(civil_suite());

	srunner_add_suite(runner, zone_suite());
	srunner_add_suite(runner, csv_suite());
	srunner_add_suite(runner, log_suite());
	srunner_add_suite(runner, number_suite());
	srunner_add_suite(runner, uuid_suite());
	srunner_add_suite(runner, text_suite());
	srunner_add_suite(runner, kinds_suite());
	srunner_add_suite(runner, record_suite());
	srunner_add_suite(runner, field_text_suite());
	srunner_add_suite(runner, check_suite());
	srunner_add_suite(runner, oxygen_suite());
	srunner_add_suite(runner, alarm_suite());
	srunner_run_all(runner, CK_NORMAL);

	int failed = srunner_ntests_failed(runner);

	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
