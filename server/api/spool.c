/* Text that is sent once it is whole: see spool.h.  A reader never holds a snapshot open while a slow client
 * takes its answer, and a large export never stands in memory. */
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <unistd.h>

#include "api/spool.h"

enum { IN_MEMORY_MAX = 256 << 10 };

void spool_init(struct spool *s)
{
	strbuf_init(&s->text);
	s->fd = -1;
}

void spool_release(struct spool *s)
{
	strbuf_release(&s->text);
	if (s->fd >= 0)
		close(s->fd);
	s->fd = -1;
}

static int open_nameless(void)
{
	static const char *const folders[] = { "/var/tmp", "/tmp" };
	const char *own = getenv("TMPDIR");
	int fd = own ? open(own, O_TMPFILE | O_RDWR | O_CLOEXEC, 0600) : -1;

	for (size_t i = 0; fd < 0 && i < sizeof(folders) / sizeof(folders[0]); i++) {
		char name[] = "/var/tmp/weirbook-XXXXXX";

		fd = open(folders[i], O_TMPFILE | O_RDWR | O_CLOEXEC, 0600);
		if (fd < 0 && i == 0 && (fd = mkostemp(name, O_CLOEXEC)) >= 0)
			unlink(name); /* a file system without nameless files */
	}
	return fd;
}

static enum err_code no_room(struct err *err)
{
	return err_set(err, ERR_UNAVAILABLE, "", "no_room",
		       "There is no room on the service's disk to prepare this export.");
}

static enum err_code write_out(struct spool *s, struct err *err)
{
	const char *at = s->text.text;
	size_t left = s->text.length;

	if (s->fd < 0 && (s->fd = open_nameless()) < 0)
		return no_room(err);
	while (left > 0) {
		ssize_t n = write(s->fd, at, left);

		if (n < 0 && errno == EINTR)
			continue;
		if (n <= 0)
			return no_room(err);
		at += n;
		left -= (size_t)n;
	}
	strbuf_clear(&s->text);
	return ERR_NONE;
}

enum err_code spool_flush(struct spool *s, struct err *err)
{
	return s->text.length < IN_MEMORY_MAX ? ERR_NONE : write_out(s, err);
}

enum err_code spool_finish(struct spool *s, struct response *res, struct err *err)
{
	enum err_code rc = ERR_NONE;

	if (s->fd >= 0) {
		rc = write_out(s, err);
		if (rc)
			return rc;
		res->fd = s->fd;
		s->fd = -1;
		return ERR_NONE;
	}
	strbuf_release(&res->body);
	res->body = s->text;
	strbuf_init(&s->text);
	return ERR_NONE;
}
