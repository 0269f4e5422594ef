/* The look at the whole file after the start: on a thread and a connection of its own, reading only. */
#ifndef WEIRBOOK_CMD_SERVICE_CHECK_H
#define WEIRBOOK_CMD_SERVICE_CHECK_H

#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>

struct service_check {
	_Atomic bool damaged; /* out: the file has damage; no entry should be taken */
	pthread_t thread;
	bool started;
	const char *path;
};

void service_check_start(struct service_check *c, const char *path); /* path is borrowed */
void service_check_stop(struct service_check *c);                    /* waits for its end */

#endif
