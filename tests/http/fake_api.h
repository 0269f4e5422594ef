/*
 * A small api in place of server/api, and a server on it.
 *   GET  /api/small          inline   {"n":1}
 *   GET  /api/large          inline   200,000 bytes of JSON, ETag "large-1"
 *   GET  /api/asked          inline   path and query as they arrived: path|name=value|...
 *   GET  /api/long           reader   sleeps 100 ms
 *   POST /api/echo           inline   the body, up to 256 KiB
 *   POST /api/bulk           reader   {"n":1}; the body is at most 8 MiB
 *   POST /api/write          writer   {"order":N,"group":G}; the body is at most 1 KiB
 *   POST /api/loud           writer   as /api/write; its event is told in a megabyte
 *   GET  /api/events         inline   a stream: "hello", then "moved" after each group of writes
 *   GET  /                   a built-in file
 */
#ifndef WEIRBOOK_TESTS_HTTP_FAKE_API_H
#define WEIRBOOK_TESTS_HTTP_FAKE_API_H

#include <stdbool.h>

#include "http/server.h"

#define FILE_TEXT "<!doctype html><title>Test</title>\n"

struct fake {
	struct app app;
	struct server *server;
	const char *address;
};

/* Starts a server with these time limits (0: the defaults). */
void fake_start(struct fake *f, int request_ms, int sending_ms);
/* With settings of the caller's; app, listen and upkeep are filled in. */
void fake_start_with(struct fake *f, const struct server_settings *settings);
void fake_stop(struct fake *f);

/* While held, the writer waits before it answers the group that it took. */
void fake_hold_writer(bool hold);
void fake_fail_commit(bool fail);
int fake_count_writes(void);
int fake_count_streams(const struct fake *f);
int fake_count_upkeep(void); /* calls with idle */

#endif
