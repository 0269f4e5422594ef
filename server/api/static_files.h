/* The web files that are built into the program.  The table is made by web/embed.mjs. */
#ifndef WEIRBOOK_API_STATIC_FILES_H
#define WEIRBOOK_API_STATIC_FILES_H

#include <stdbool.h>
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

/* Is path the address of a screen: "/", or outside of /api, /js, /css, /lib with no dot in its last part ("/tanks/T1")? */
bool static_is_screen(const char *path);

/* The file that answers a path: its own, or index.html for a screen.  NULL when there is none. */
const struct static_file *static_file_find(const char *path);

#endif
