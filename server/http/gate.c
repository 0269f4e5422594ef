/* What every request must keep to.  Origin, content types and the rest of a route are left to api/. */
#include "http/gate.h"

#include <arpa/inet.h>
#include <stdint.h>
#include <string.h>
#include <strings.h>

enum { HOST_MAX = 255 };

static bool is_digits(const char *text)
{
	return text[0] && text[strspn(text, "0123456789")] == '\0';
}

static size_t read_length(const char *digits)
{
	size_t n = 0;

	for (; *digits; digits++) {
		if (n > (SIZE_MAX - 9) / 10)
			return SIZE_MAX;
		n = n * 10 + (size_t)(*digits - '0');
	}
	return n;
}

enum err_code gate_framing(const struct request *req, struct framing *out, struct err *err)
{
	size_t lengths = request_header_count(req, "Content-Length");
	size_t codings = request_header_count(req, "Transfer-Encoding");
	const char *length = request_header(req, "Content-Length");

	*out = (struct framing){ .chunked = codings > 0, .has_length = lengths > 0 };
	if (lengths > 1 || codings > 1 || (lengths && codings))
		return err_set(err, ERR_MALFORMED, "", "bad_framing",
			       "Send one Content-Length or one Transfer-Encoding, not more.");
	if (lengths && !is_digits(length))
		return err_set(err, ERR_MALFORMED, "", "bad_framing",
			       "Content-Length must be a plain number.");
	if (lengths)
		out->length = read_length(length);
	return ERR_NONE;
}

/* The name without port in out; false when the value is not host[:port]. */
static bool split_host(const char *host, char out[HOST_MAX + 1])
{
	size_t n = host[0] == '[' ? strcspn(host, "]") + 1 : strcspn(host, ":");
	const char *rest = host + n;

	if (n == 0 || n > HOST_MAX || n > strlen(host))
		return false;
	if (*rest && !(*rest == ':' && (rest[1] == '\0' || is_digits(rest + 1))))
		return false;
	memcpy(out, host, n);
	out[n] = '\0';
	return true;
}

static bool is_address(const char *name)
{
	struct in6_addr six;
	struct in_addr four;
	char bare[HOST_MAX + 1];
	size_t n = strlen(name);

	if (name[0] != '[')
		return inet_pton(AF_INET, name, &four) == 1;
	memcpy(bare, name + 1, n - 2);
	bare[n - 2] = '\0';
	return inet_pton(AF_INET6, bare, &six) == 1;
}

bool gate_host_is_ours(const char *host, const struct app *app)
{
	static const char *const always[] = { "localhost", "127.0.0.1", "[::1]" };
	char name[HOST_MAX + 1];

	if (!split_host(host, name))
		return false;
	for (size_t i = 0; i < sizeof(always) / sizeof(*always); i++)
		if (strcasecmp(name, always[i]) == 0)
			return true;
	for (const char **own = app->hosts; own && *own; own++)
		if (strcasecmp(name, *own) == 0)
			return true;
	return app->open_lan && is_address(name);
}

static bool method_is_known(const char *method)
{
	static const char *const known[] = { "GET", "HEAD", "POST", "PATCH" };

	for (size_t i = 0; i < sizeof(known) / sizeof(*known); i++)
		if (strcmp(method, known[i]) == 0)
			return true;
	return false;
}

enum err_code gate_check(const struct request *req, const struct app *app, struct err *err)
{
	if (request_header_count(req, "Host") != 1)
		return err_set(err, ERR_MALFORMED, "", "bad_host",
			       "A request must have exactly one Host header.");
	if (!gate_host_is_ours(request_header(req, "Host"), app)) {
		err_set(err, ERR_MISDIRECTED, "", "other_host",
			"This service does not answer to that name. Use http://localhost, or start "
			"it with --host NAME for the name in the address.");
		return ERR_MISDIRECTED;
	}
	if (!method_is_known(req->method))
		return err_set(err, ERR_METHOD, "", "unknown_method",
			       "This service answers " GATE_METHODS ".");
	return ERR_NONE;
}
