/* The Check program of this folder: one suite a file. */
#include "agreement_tests.h"
#include "support/run_suites.h"

int main(void)
{
	static Suite *(*const suites[])(void) = {
		tables_suite,
		NULL,
	};

	return run_suites(suites);
}
