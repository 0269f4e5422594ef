/*
 * Any text as a request's target, Host and Content-Length, on a line each: what is taken is text without
 * control characters, names this service, and is a number.
 */
#include <string.h>

#include "base/utf8.h"
#include "fuzz.h"
#include "http/gate.h"
#include "http/uri.h"

static void want_text(const char *text)
{
	fuzz_want(text && utf8_valid(text, strlen(text)));
	for (const char *c = text; *c; c++)
		fuzz_want((unsigned char)*c >= 0x20 && *c != 0x7f);
}

static void read_target(const char *target, struct arena *arena)
{
	struct request req = { .arena = arena };
	struct err err;

	err_clear(&err);
	if (uri_read(target, &req, &err)) {
		fuzz_want(err.code == ERR_MALFORMED && err.n_items == 1);
		return;
	}
	fuzz_want(req.path[0] == '/');
	want_text(req.path);
	for (size_t i = 0; i < req.n_query; i++) {
		want_text(req.query[i].name);
		want_text(req.query[i].value);
	}
}

static void read_host(const char *host)
{
	static const char *names[] = { "farm.example", NULL };
	const struct app app = { .hosts = names, .open_lan = true };

	if (gate_host_is_ours(host, &app))
		fuzz_want(host[strspn(host, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
					    "0123456789.:[]")] == '\0');
}

static void read_length(const char *length)
{
	const struct pair header = { "content-length", length };
	const struct request req = { .headers = &header, .n_headers = 1 };
	unsigned long long number;
	struct framing framing;
	struct err err;

	err_clear(&err);
	if (gate_framing(&req, &framing, &err))
		return;
	fuzz_want(*length && length[strspn(length, "0123456789")] == '\0');
	number = strtoull(length, NULL, 10);
	fuzz_want(framing.has_length);
	fuzz_want(framing.length == number || (framing.length == SIZE_MAX && number > INT64_MAX));
}

FUZZ_TARGET(uri)
{
	struct arena arena;
	char *text, *host, *length;

	arena_init(&arena);
	text = arena_strndup(&arena, (const char *)data, size);
	host = strchr(text, '\n');
	if (host)
		*host++ = '\0';
	length = host ? strchr(host, '\n') : NULL;
	if (length)
		*length++ = '\0';
	read_target(text, &arena);
	if (host)
		read_host(host);
	if (length)
		read_length(length);
	arena_release(&arena);
	return 0;
}
