/* Starts another program as a child: its signals as new, and no file of ours but those named.  When it ends is the
 * caller's to see (waitpid). */
#ifndef WEIRBOOK_BASE_SPAWN_H
#define WEIRBOOK_BASE_SPAWN_H

#include <stdbool.h>
#include <sys/types.h>

struct spawn {
	const char *file;         /* the program, a whole path */
	char *const *arguments;   /* with its name first; NULL-ended */
	char *const *environment; /* NULL-ended */
	int out;                  /* a descriptor that takes what it prints; -1: nobody hears it */
	bool own_group; /* it leads a process group, so that all it starts can be ended with it */
};

/* The child, which reads nothing and complains where this program does; 0 when it could not be started. */
pid_t spawn_child(const struct spawn *s);

#endif
