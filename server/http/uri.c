/* The target of a request line.  libmicrohttpd's own decoding cuts at %00 and lets any bytes through. */
#include "http/uri.h"

#include <string.h>

#include "base/number.h"
#include "base/utf8.h"

enum { QUERY_MAX = 64 };

/* Decodes n bytes into the arena; NULL when they are not text. */
static const char *decode(struct arena *arena, const char *raw, size_t n, bool plus_is_space)
{
	char *out = arena_alloc(arena, n + 1);
	size_t length = 0;

	for (size_t i = 0; i < n; i++) {
		unsigned char c = (unsigned char)raw[i];

		if (c == '%') {
			int high = i + 2 < n ? hex_digit(raw[i + 1]) : -1;
			int low = i + 2 < n ? hex_digit(raw[i + 2]) : -1;

			if (high < 0 || low < 0)
				return NULL;
			c = (unsigned char)(high * 16 + low);
			i += 2;
		} else if (c == '+' && plus_is_space) {
			c = ' ';
		}
		if (c < 0x20 || c == 0x7f)
			return NULL;
		out[length++] = (char)c;
	}
	return utf8_valid(out, length) ? out : NULL;
}

static enum err_code bad_target(struct err *err)
{
	return err_set(err, ERR_MALFORMED, "", "bad_address",
		       "The address cannot be read: it must start with / and hold UTF-8 text, with "
		       "other characters written as %%XX.");
}

static enum err_code read_query(const char *raw, struct request *req, struct err *err)
{
	struct pair *pairs = arena_array(req->arena, QUERY_MAX, sizeof(*pairs));
	size_t n = 0;

	while (*raw) {
		size_t length = strcspn(raw, "&");
		const char *equals = memchr(raw, '=', length);
		size_t name_length = equals ? (size_t)(equals - raw) : length;
		struct pair p;

		if (length > 0) {
			if (n == QUERY_MAX)
				return err_set(err, ERR_MALFORMED, "", "too_many_questions",
					       "The address has more than %d parameters.",
					       QUERY_MAX);
			p.name = decode(req->arena, raw, name_length, true);
			p.value = equals ? decode(req->arena, equals + 1, length - name_length - 1,
						  true)
					 : "";
			if (!p.name || !p.value)
				return bad_target(err);
			pairs[n++] = p;
		}
		raw += length;
		raw += *raw == '&';
	}
	req->query = pairs;
	req->n_query = n;
	return ERR_NONE;
}

enum err_code uri_read(const char *raw, struct request *req, struct err *err)
{
	size_t path_length = strcspn(raw, "?");

	if (raw[0] != '/')
		return bad_target(err);
	req->path = decode(req->arena, raw, path_length, false);
	if (!req->path)
		return bad_target(err);
	return raw[path_length] ? read_query(raw + path_length + 1, req, err) : ERR_NONE;
}
