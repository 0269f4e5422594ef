/* The program: one of its commands. */
#include <signal.h>
#include <sys/stat.h>

#include "cmd/command.h"

int main(int argc, char **argv)
{
	/* The record is the farm's own: nobody else on the machine reads it. */
	umask(0077);
	/* A file that may grow no further is an answer to give, not a reason to die. */
	signal(SIGXFSZ, SIG_IGN);
	return command_main(argc, argv);
}
