/* Another program as a child: see spawn.h. */
#include "base/spawn.h"

#include <fcntl.h>
#include <signal.h>
#include <spawn.h>

/* 0, or an errno. */
static int set_signals(const struct spawn *s, posix_spawnattr_t *attr)
{
	const int group = s->own_group ? POSIX_SPAWN_SETPGROUP : 0;
	sigset_t none, reset;
	int rc;

	sigemptyset(&none);
	sigemptyset(&reset);
	sigaddset(&reset, SIGPIPE);
	sigaddset(&reset, SIGXFSZ);
	rc = posix_spawnattr_setflags(
		attr, (short)(group | POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF));
	rc = rc ? rc : posix_spawnattr_setpgroup(attr, 0);
	rc = rc ? rc : posix_spawnattr_setsigmask(attr, &none);
	return rc ? rc : posix_spawnattr_setsigdefault(attr, &reset);
}

/* 0, or an errno. */
static int set_files(const struct spawn *s, posix_spawn_file_actions_t *files)
{
	int rc = posix_spawn_file_actions_addopen(files, 0, "/dev/null", O_RDONLY, 0);

	if (!rc && s->out >= 0)
		rc = posix_spawn_file_actions_adddup2(files, s->out, 1);
	else if (!rc)
		rc = posix_spawn_file_actions_addopen(files, 1, "/dev/null", O_WRONLY, 0);
	return rc ? rc : posix_spawn_file_actions_addclosefrom_np(files, 3);
}

pid_t spawn_child(const struct spawn *s)
{
	posix_spawnattr_t attr;
	posix_spawn_file_actions_t files;
	pid_t pid = 0;

	posix_spawnattr_init(&attr);
	posix_spawn_file_actions_init(&files);
	if (set_signals(s, &attr) || set_files(s, &files) ||
	    posix_spawn(&pid, s->file, &files, &attr, s->arguments, s->environment) != 0)
		pid = 0;
	posix_spawn_file_actions_destroy(&files);
	posix_spawnattr_destroy(&attr);
	return pid;
}
