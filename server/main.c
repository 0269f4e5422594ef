/* The program: one of its commands. */
#include <sys/stat.h>

#include "cmd/command.h"

int main(int argc, char **argv)
{
	/* The record is the farm's own: nobody else on the machine reads it. */
	umask(0077);
	return command_main(argc, argv);
}
