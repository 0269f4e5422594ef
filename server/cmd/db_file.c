/* Where the record's file stands, and its lock.  Opening the file itself is left to store/. */
#include "cmd/db_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

const char *db_file(const struct arguments *args, const char *name, struct arena *arena,
		    struct err *err)
{
	const char *state = getenv("STATE_DIRECTORY");
	const char *data = getenv("XDG_DATA_HOME");
	const char *home = getenv("HOME");

	if (args->given[SETTING_DB])
		return args->given[SETTING_DB];
	if (state && *state)
		/* systemd gives several folders with colons between them. */
		return arena_printf(arena, "%.*s/%s", (int)strcspn(state, ":"), state, name);
	if (data && *data == '/')
		return arena_printf(arena, "%s/weirbook/%s", data, name);
	if (home && *home == '/')
		return arena_printf(arena, "%s/.local/share/weirbook/%s", home, name);
	err_set(err, ERR_INPUT, "db", "no_folder",
		"Say where the record is to stand with --db FILE: this user has no home folder.");
	return NULL;
}

static enum err_code cannot(struct err *err, const char *what, const char *path)
{
	return err_set(err, ERR_UNAVAILABLE, "db", "file_unreadable", "Cannot %s %s: %s.", what,
		       path, strerror(errno));
}

enum err_code db_make_folder(const char *path, struct arena *arena, struct err *err)
{
	char *folder = arena_strdup(arena, path);

	for (char *slash = strchr(folder + 1, '/'); slash; slash = strchr(slash + 1, '/')) {
		*slash = '\0';
		if (mkdir(folder, 0700) != 0 && errno != EEXIST)
			return cannot(err, "make the folder", folder);
		*slash = '/';
	}
	return ERR_NONE;
}

int db_lock(const char *path, struct arena *arena, struct err *err)
{
	const char *name = arena_printf(arena, "%s.lock", path);
	int lock = open(name, O_RDWR | O_CREAT | O_CLOEXEC, 0600);

	if (lock < 0) {
		cannot(err, "open", name);
		return -1;
	}
	if (flock(lock, LOCK_EX | LOCK_NB) == 0)
		return lock;
	if (errno == EWOULDBLOCK)
		err_set(err, ERR_CONFLICT, "db", "service_runs",
			"Weirbook is running on %s: stop it first (Ctrl-C where it runs, or "
			"systemctl "
			"stop weirbook), then try again.",
			path);
	else
		cannot(err, "lock", name);
	close(lock);
	return -1;
}

void db_unlock(int lock)
{
	if (lock >= 0)
		close(lock);
}
