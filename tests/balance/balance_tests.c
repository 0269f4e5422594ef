/* The Check program of this folder: one suite a file. */
#include "balance_tests.h"
#include "support/run_suites.h"

int main(void)
{
	static Suite *(*const suites[])(void) = {
		published_suite, loading_suite,          nitrogen_suite, base_suite,
		nitrate_suite,   nitrate_forecast_suite, NULL,
	};

	return run_suites(suites);
}
