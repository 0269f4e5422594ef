/* Copies of the record, and giving a finished file its name. */
#include <errno.h>
#include <fcntl.h>
#include <libgen.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/strbuf.h"
#include "store/internal.h"

static enum err_code file_fault(struct err *err)
{
	switch (errno) {
	case ENOSPC:
	case EDQUOT:
		return fault_of(NULL, SQLITE_FULL, err);
	case EROFS:
	case EACCES:
	case EPERM:
		return fault_of(NULL, SQLITE_READONLY, err);
	case EEXIST:
		return err_set(err, ERR_CONFLICT, "", "file_exists",
			       "There is a file of that name already: choose another name.");
	default:
		return fault_of(NULL, SQLITE_IOERR, err);
	}
}

static int sync_path(const char *path, int flags)
{
	int fd = open(path, flags | O_RDONLY | O_CLOEXEC);

	if (fd < 0)
		return -1;
	if (fsync(fd) != 0) {
		int why = errno;
		close(fd);
		errno = why;
		return -1;
	}
	return close(fd);
}

static int sync_folder_of(const char *path)
{
	struct strbuf folder; /* dirname() may change its argument */
	int rc;

	strbuf_init(&folder);
	strbuf_adds(&folder, path);
	rc = sync_path(dirname(folder.text), O_DIRECTORY);
	strbuf_release(&folder);
	return rc;
}

/* Gives a file its name unless the name is taken.  Not every file system knows the flag (EINVAL). */
static int rename_to_free(const char *from, const char *to)
{
	if (renameat2(AT_FDCWD, from, AT_FDCWD, to, RENAME_NOREPLACE) == 0)
		return 0;
	if (errno != EINVAL && errno != ENOSYS)
		return -1;
	if (access(to, F_OK) == 0) {
		errno = EEXIST;
		return -1;
	}
	return rename(from, to);
}

enum err_code file_settle(const char *new_path, const char *path, struct err *err)
{
	if (sync_path(new_path, 0) != 0 || rename_to_free(new_path, path) != 0) {
		enum err_code rc = file_fault(err);
		unlink(new_path);
		return rc;
	}
	return sync_folder_of(path) != 0 ? file_fault(err) : ERR_NONE;
}

static enum err_code vacuum_into(struct store *st, const char *path, struct err *err)
{
	sqlite3_stmt *s = NULL;
	enum err_code rc;

	/* query_only refuses VACUUM, though this one writes another file */
	sqlite3_exec(st->db, "PRAGMA query_only = OFF", NULL, NULL, NULL);
	rc = store_fault(st, sqlite3_prepare_v2(st->db, "VACUUM INTO ?1", -1, &s, NULL), err);
	if (!rc) {
		sqlite3_bind_text(s, 1, path, -1, SQLITE_STATIC);
		rc = store_fault(st, sqlite3_step(s), err);
	}
	sqlite3_finalize(s);
	if (st->mode == STORE_READ)
		sqlite3_exec(st->db, "PRAGMA query_only = ON", NULL, NULL, NULL);
	return rc;
}

enum err_code store_copy(struct store *st, const char *path, struct err *err)
{
	struct strbuf new_path;
	enum err_code rc;

	if (access(path, F_OK) == 0) {
		errno = EEXIST;
		return file_fault(err);
	}
	strbuf_init(&new_path);
	strbuf_addf(&new_path, "%s.new", path);
	unlink(new_path.text); /* left by a copy that was cut short */
	rc = vacuum_into(st, new_path.text, err);
	if (!rc)
		rc = file_settle(new_path.text, path, err);
	else
		unlink(new_path.text);
	strbuf_release(&new_path);
	return rc;
}
