/* The web files that are built into the program.  The table is made by web/embed.mjs. */
#ifndef WEIRBOOK_API_STATIC_FILES_H
#define WEIRBOOK_API_STATIC_FILES_H

#include <stddef.h>

/* One file, packed with gzip; all texts are static. */
struct static_file {
	const char *path; /* "/js/main.js" */
	const char *content_type;
	const unsigned char *gzip;
	size_t gzip_length;
	const char *etag; /* with its quotes; changes with the content */
};

extern const struct static_file static_files[]; /* by path, ascending */
extern const size_t n_static_files;
extern const char static_files_build[]; /* changes when any file does */

/*
 * The file that answers a path: its own, or index.html for "/" and for an address of a screen, which is
 * a path outside /api whose last part has no dot ("/tanks/T1").  NULL when there is none.
 */
const struct static_file *static_file_find(const char *path);

#endif
