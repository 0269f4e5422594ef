/* The Check program of this folder: one suite a file. */
#include "api_tests.h"

#include <stdlib.h>

int main(void)
{
	SRunner *runner = srunner_create(routes_suite());

	srunner_add_suite(runner, headers_suite());
	srunner_add_suite(runner, json_suite());
	srunner_add_suite(runner, readings_suite());
	srunner_add_suite(runner, records_suite());
	srunner_add_suite(runner, labels_suite());
	srunner_add_suite(runner, lists_suite());
	srunner_add_suite(runner, batch_suite());
	srunner_add_suite(runner, several_suite());
	srunner_add_suite(runner, caching_suite());
	srunner_add_suite(runner, csv_suite());
	srunner_add_suite(runner, reports_suite());
	srunner_add_suite(runner, import_suite());
	srunner_add_suite(runner, writes_suite());
	srunner_add_suite(runner, description_suite());
	srunner_run_all(runner, CK_NORMAL);

	int failed = srunner_ntests_failed(runner);

	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
