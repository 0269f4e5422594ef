/* What all threads share: settings that stay as they are after start, and the record's version. */
#ifndef WEIRBOOK_API_APP_H
#define WEIRBOOK_API_APP_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>

enum { APP_KINDS_MAX = 128, DEMO_MAKING = -1 };

struct app {
	const char *db_path;
	const char *build;   /* text that changes with each build, for ETags */
	const char *web_dir; /* --web DIR: files are read from there instead (development) */
	const char **hosts;  /* allowed Host names without port, NULL-ended */
	bool demo;
	bool open_lan;
	int beside; /* of a demo: the port of the farm that it stands beside; 0: none */
	bool (*start_demo)(void *with); /* starts a demo beside this farm; on the writer's thread */
	void *start_demo_with;
	_Atomic int demo_port;            /* where it serves; DEMO_MAKING; 0: there is none */
	_Atomic int64_t version;          /* of the record, as of the last commit */
	_Atomic int64_t readings_version; /* of the readings, likewise */
	_Atomic int64_t
		touched[APP_KINDS_MAX]; /* by kind_index(): the version that last wrote rows */
	_Atomic bool writing_off;       /* damage found or disk full: no entry is taken */
	_Atomic bool importing;         /* writes get 503 with Retry-After meanwhile */
};

#endif
