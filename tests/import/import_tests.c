/* The Check program of this folder: sets of CSV files from fixtures/ into an empty file. */
#include "import_tests.h"

#include <stdlib.h>

int main(void)
{
	SRunner *runner = srunner_create(cases_suite());

	srunner_add_suite(runner, demo_suite());
	srunner_add_suite(runner, published_suite());
	srunner_run_all(runner, CK_NORMAL);

	int failed = srunner_ntests_failed(runner);

	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
