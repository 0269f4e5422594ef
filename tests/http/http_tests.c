/* Runs the tests of server/http: real sockets on a port of the system's choice, a small api of our own. */
#include "http_tests.h"

#include <signal.h>
#include <stdlib.h>

int main(void)
{
	SRunner *runner = srunner_create(gate_suite());
	int failed;

	signal(SIGPIPE, SIG_IGN);
	srunner_add_suite(runner, hostile_suite());
	srunner_add_suite(runner, flow_suite());
	srunner_add_suite(runner, slow_suite());
	srunner_add_suite(runner, stop_suite());
	srunner_add_suite(runner, streams_suite());
	srunner_add_suite(runner, web_dir_suite());
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
