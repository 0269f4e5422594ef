/* Where the service listens and to which names it answers, from the command line. */
#ifndef WEIRBOOK_CMD_HOSTS_H
#define WEIRBOOK_CMD_HOSTS_H

#include "base/arena.h"
#include "cmd/command.h"

/*
 * The address to listen on.  Without --open-lan it is a loopback address whatever --listen says, and a
 * line says so; with it a line says what that means.
 */
const char *hosts_listen(const struct arguments *args, struct arena *arena);

/* Names beside localhost that a Host header may carry: those of --host, and with --open-lan the machine's
 * own name, bare and with .local.  NULL-ended. */
const char **hosts_allowed(const struct arguments *args, struct arena *arena);

/* A text that differs between builds of the program. */
const char *hosts_build(struct arena *arena);

#endif
