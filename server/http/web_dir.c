/* Web files from a folder, never cached.  Only in development: the program has them built in. */
#include "http/web_dir.h"

#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "api/static_files.h"

static const char *type_of(const char *path)
{
	static const struct {
		const char *ending, *type;
	} types[] = {
		{ .ending = ".css", .type = "text/css; charset=utf-8" },
		{ .ending = ".html", .type = "text/html; charset=utf-8" },
		{ .ending = ".js", .type = "text/javascript; charset=utf-8" },
		{ .ending = ".json", .type = "application/json" },
		{ .ending = ".svg", .type = "image/svg+xml" },
		{ .ending = ".png", .type = "image/png" },
	};
	const char *dot = strrchr(path, '.');

	for (size_t i = 0; dot && i < sizeof(types) / sizeof(*types); i++)
		if (strcmp(dot, types[i].ending) == 0)
			return types[i].type;
	return NULL;
}

/* Letters, digits, '-', '_', single dots and slashes: nothing that climbs, hides or is absolute. */
static bool is_plain(const char *path)
{
	for (const char *c = path; *c; c++) {
		bool letter = (*c >= 'a' && *c <= 'z') || (*c >= 'A' && *c <= 'Z') ||
			      (*c >= '0' && *c <= '9') || *c == '-' || *c == '_';

		if (!letter && *c != '/' && *c != '.')
			return false;
		if (!letter && (c[1] == '/' || c[1] == '.'))
			return false;
	}
	return true;
}

static bool read_all(int fd, struct strbuf *to)
{
	char block[16 * 1024];
	ssize_t n;

	while ((n = read(fd, block, sizeof(block))) > 0)
		strbuf_add(to, block, (size_t)n);
	return n == 0;
}

bool web_dir_answer(const char *dir, const struct request *req, struct response *res)
{
	const char *path = static_is_screen(req->path) ? "/index.html" : req->path;
	const char *type = type_of(path);
	struct stat st;
	bool done = false;
	int fd;

	if (strcmp(req->method, "GET") != 0 || strncmp(path, "/api", 4) == 0 || !type ||
	    !is_plain(path))
		return false;
	fd = open(arena_printf(req->arena, "%s%s", dir, path), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
	if (fd < 0)
		return false;
	if (fstat(fd, &st) == 0 && S_ISREG(st.st_mode) && read_all(fd, &res->body)) {
		res->status = 200;
		res->content_type = type;
		res->cache_control = "no-store";
		done = true;
	}
	close(fd);
	return done;
}
