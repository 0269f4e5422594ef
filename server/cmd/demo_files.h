/* The demo farm's CSV files, built in (made from fixtures/demo by demo_files.awk). */
#ifndef WEIRBOOK_CMD_DEMO_FILES_H
#define WEIRBOOK_CMD_DEMO_FILES_H

#include <stddef.h>

struct demo_file {
	const char *name; /* "feedings.csv" */
	const char *text;
};

extern const struct demo_file demo_files[];
extern const size_t n_demo_files;

#endif
