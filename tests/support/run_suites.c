/* Runs the suites of one Check program; what is in them is the business of each folder. */
#include "run_suites.h"

#include <stdlib.h>

int run_suites(Suite *(*const suites[])(void))
{
	SRunner *runner = srunner_create(NULL);
	int run, failed;

	for (size_t i = 0; suites[i]; i++)
		srunner_add_suite(runner, suites[i]());
	srunner_run_all(runner, CK_NORMAL);
	run = srunner_ntests_run(runner);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return run > 0 && failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
