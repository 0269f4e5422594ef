/*
 * The demo farm beside a farm that is only begun: another weirbook on a free port of its own, so that nothing that a
 * tablet keeps for one farm can reach the other.  It ends with this service.  All of it runs on the writer's thread.
 */
#ifndef WEIRBOOK_CMD_DEMO_BESIDE_H
#define WEIRBOOK_CMD_DEMO_BESIDE_H

#include <stdbool.h>
#include <sys/types.h>

#include "api/app.h"
#include "cmd/command.h"

struct demo_beside {
	struct app *app; /* its demo_port is written here */
	const struct arguments *args;
	pid_t pid; /* 0: none runs */
	int said;  /* what it prints, until it serves; -1 */
	char text[256];
	size_t n;
};

/* app and args are borrowed until demo_beside_finish. */
void demo_beside_init(struct demo_beside *d, struct app *app, const struct arguments *args);

/* Starts it, unless it runs; listen is where this service listens, with its port.  True: app->demo_port says, now or
 * soon, where it serves. */
bool demo_beside_start(struct demo_beside *d, const char *listen);

/* Sees whether it serves by now, or has ended.  Never waits. */
void demo_beside_step(struct demo_beside *d);

/* Ends it, and waits for that. */
void demo_beside_finish(struct demo_beside *d);

/* For the demo itself: from now on it ends with the service that started it. */
void demo_beside_follow(void);

#endif
