/* Finds a built-in web file by path.  Serving it, and what browsers may cache, is left to http/. */
#include "api/static_files.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

static int by_path(const void *key, const void *element)
{
	const struct static_file *file = element;

	return strcmp(key, file->path);
}

static const struct static_file *find_exact(const char *path)
{
	return bsearch(path, static_files, n_static_files, sizeof(static_files[0]), by_path);
}

static bool is_under(const char *path, const char *folder)
{
	size_t n = strlen(folder);

	return strncmp(path, folder, n) == 0 && (path[n] == '/' || path[n] == '\0');
}

/* A missing script must be a 404, never the page: the browser would run HTML as a script. */
bool static_is_screen(const char *path)
{
	const char *last = strrchr(path, '/');

	return last && !strchr(last, '.') && !is_under(path, "/api") &&
	       !is_under(path, "/healthz") && !is_under(path, "/js") && !is_under(path, "/css") &&
	       !is_under(path, "/lib");
}

const struct static_file *static_file_find(const char *path)
{
	const struct static_file *file = find_exact(path);

	if (!file && static_is_screen(path))
		file = find_exact("/index.html");
	return file;
}
