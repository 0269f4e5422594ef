/* weirbook describe: prints docs/API.md. */
#include <stdio.h>

#include "api/describe.h"
#include "cmd/commands.h"

static int run(const struct arguments *args)
{
	struct strbuf page;
	size_t written;

	(void)args;
	strbuf_init(&page);
	api_describe(&page);
	written = fwrite(page.text, 1, page.length, stdout);
	if (written != page.length || fflush(stdout) != 0)
		written = 0;
	strbuf_release(&page);
	return written ? EXIT_FINE : EXIT_FAILED;
}

static const enum setting takes[] = { SETTING__MAX };

const struct command command_describe = { .name = "describe",
					  .operands = "",
					  .summary = "prints the description of the API, as it "
						     "stands in docs/API.md",
					  .takes = takes,
					  .run = run };
