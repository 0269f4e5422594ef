/* Runs the tests of server/http: real sockets on a port of the system's choice, a small api of our own. */
#include "http_tests.h"

#include <signal.h>

#include "run_suites.h"

int main(void)
{
	static Suite *(*const suites[])(void) = {
		gate_suite, hostile_suite, flow_suite,    slow_suite,
		stop_suite, streams_suite, web_dir_suite, NULL,
	};

	signal(SIGPIPE, SIG_IGN);
	return run_suites(suites);
}
