/* The Check program of this folder: sets of CSV files from fixtures/ into an empty file. */
#include "import_tests.h"
#include "support/run_suites.h"

int main(void)
{
	static Suite *(*const suites[])(void) = {
		cases_suite,
		demo_suite,
		published_suite,
		NULL,
	};

	return run_suites(suites);
}
