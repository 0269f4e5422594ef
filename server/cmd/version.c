/* weirbook version: of the program, and of the files that it writes. */
#include "config.h"

#include <stdio.h>

#include "cmd/commands.h"
#include "store/store.h"

static int run(const struct arguments *args)
{
	(void)args;
	printf("weirbook %s, schema %d\n", PACKAGE_VERSION, store_schema_version());
	return EXIT_FINE;
}

static const enum setting takes[] = { SETTING__MAX };

const struct command command_version = { .name = "version",
					 .operands = "",
					 .summary = "prints the version of the program and of the "
						    "files it writes",
					 .takes = takes,
					 .run = run };
