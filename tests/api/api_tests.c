/* The Check program of this folder: one suite a file. */
#include "api_tests.h"
#include "support/run_suites.h"

int main(void)
{
	static Suite *(*const suites[])(void) = {
		routes_suite,  headers_suite, json_suite,        readings_suite,
		records_suite, labels_suite,  lists_suite,       batch_suite,
		several_suite, caching_suite, csv_suite,         reports_suite,
		import_suite,  writes_suite,  description_suite, NULL,
	};

	return run_suites(suites);
}
