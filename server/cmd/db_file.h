/* Where the record's file stands, and the lock that says a program has it. */
#ifndef WEIRBOOK_CMD_DB_FILE_H
#define WEIRBOOK_CMD_DB_FILE_H

#include "base/arena.h"
#include "base/err.h"
#include "cmd/command.h"

/*
 * The file that the arguments name, else NAME ("weirbook.db") in $STATE_DIRECTORY, else in weirbook/ of the
 * user's data folder ($XDG_DATA_HOME, else ~/.local/share).  NULL with err when none of these is known.
 */
const char *db_file(const struct arguments *args, const char *name, struct arena *arena,
		    struct err *err);

/* Makes the folder that path lies in, with those above it, for the owner alone (0700). */
enum err_code db_make_folder(const char *path, struct arena *arena, struct err *err);

/*
 * Takes the exclusive lock on path.lock, which holds until the process ends or db_unlock.  Returns a
 * descriptor, or -1: ERR_CONFLICT service_runs while another program has it.  What changes the record
 * from outside the service takes it first; reading needs none.
 */
int db_lock(const char *path, struct arena *arena, struct err *err);
void db_unlock(int lock); /* -1 is fine */

#endif
