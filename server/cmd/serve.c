/* weirbook serve: the record for browsers, until it is told to stop.  What runs is service.c's. */
#include "cmd/commands.h"
#include "cmd/db_file.h"
#include "cmd/service.h"

static int run(const struct arguments *args)
{
	struct arena arena;
	struct err err;
	const char *path;
	int status = service_check_arguments(args), lock = -1;

	if (status)
		return status;
	arena_init(&arena);
	err_clear(&err);
	path = db_file(args, "weirbook.db", &arena, &err);
	if (path && !db_make_folder(path, &arena, &err))
		lock = db_lock(path, &arena, &err);
	status = lock >= 0 ? service_run(args, path, false) : command_failed(&err);
	db_unlock(lock);
	arena_release(&arena);
	return status;
}

static const enum setting takes[] = { SETTING_DB,   SETTING_LISTEN, SETTING_OPEN_LAN,
				      SETTING_HOST, SETTING_WEB,    SETTING_ALARM_COMMAND,
				      SETTING__MAX };

const struct command command_serve = { .name = "serve",
				       .operands = "",
				       .summary =
					       "serves the record to browsers, and makes it when "
					       "there is none",
				       .takes = takes,
				       .run = run };
