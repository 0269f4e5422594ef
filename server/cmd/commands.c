/* The one list of commands.  Each command's own file describes and runs it. */
#include "cmd/commands.h"

#include <stddef.h>

const struct command *const commands[] = {
	&command_serve, &command_demo,    &command_import,   &command_export, &command_backup,
	&command_check, &command_rebuild, &command_describe, &command_calc,   &command_version,
	NULL,
};
