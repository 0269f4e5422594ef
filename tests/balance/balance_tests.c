/* The Check program of this folder: one suite a file. */
#include "balance_tests.h"

#include <stdlib.h>

int main(void)
{
	SRunner *runner = srunner_create(published_suite());

	srunner_add_suite(runner, loading_suite());
	srunner_add_suite(runner, nitrogen_suite());
	srunner_add_suite(runner, base_suite());
	srunner_add_suite(runner, nitrate_suite());
	srunner_add_suite(runner, nitrate_forecast_suite());
	srunner_run_all(runner, CK_NORMAL);

	int failed = srunner_ntests_failed(runner);

	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
