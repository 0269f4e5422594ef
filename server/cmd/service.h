/* The running service: file, books, server and signals.  What serve and demo have in common. */
#ifndef WEIRBOOK_CMD_SERVICE_H
#define WEIRBOOK_CMD_SERVICE_H

#include <stdbool.h>

#include "cmd/command.h"

/* Checks the values of settings before a file is touched: EXIT_FINE, or says what to do: EXIT_ARGUMENTS. */
int service_check_arguments(const struct arguments *args);

/*
 * Serves the record at path as the arguments say (listen, open-lan, host, web) until SIGTERM or SIGINT,
 * then stops cleanly.  The caller holds the file's lock.  Returns the exit status.
 */
int service_run(const struct arguments *args, const char *path, bool demo);

#endif
