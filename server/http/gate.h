/*
 * What every request must keep to before a route is looked for: methods, framing and the Host header.
 * Covers what libmicrohttpd 0.9.75 lets through.  Pure functions of struct request, no socket.
 */
#ifndef WEIRBOOK_HTTP_GATE_H
#define WEIRBOOK_HTTP_GATE_H

#include <stdbool.h>
#include <stddef.h>

#include "api/app.h"
#include "api/request.h"
#include "base/err.h"

#define GATE_METHODS "GET, HEAD, POST, PATCH"

/* How the body is framed. */
struct framing {
	bool chunked;
	bool has_length;
	size_t length; /* SIZE_MAX when the number is larger */
};

/*
 * ERR_MALFORMED: Content-Length twice, or not a plain number, or together with Transfer-Encoding;
 * Transfer-Encoding twice.  The connection must be closed: where the next request begins is not sure.
 */
enum err_code gate_framing(const struct request *req, struct framing *out, struct err *err);

/* ERR_METHOD, or ERR_MALFORMED (no Host or two), or ERR_MISDIRECTED (a Host that is not ours). */
enum err_code gate_check(const struct request *req, const struct app *app, struct err *err);

/*
 * True when a Host header's value names this service: localhost, 127.0.0.1, [::1] or one of app->hosts,
 * on any port, case ignored.  With app->open_lan any literal IP address too: a page from elsewhere whose
 * name was re-bound to our address carries its name, never a number.
 */
bool gate_host_is_ours(const char *host, const struct app *app);

#endif
