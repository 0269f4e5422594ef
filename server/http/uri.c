/* The target of a request line.  libmicrohttpd's own decoding cuts at %00 and lets any bytes through. */
#include "http/uri.h"

#include <string.h>

enum { QUERY_MAX = 64 };

static int hex(char c)
{
	if (c >= '0' && c <= '9')
		return c - '0';
	if (c >= 'a' && c <= 'f')
		return c - 'a' + 10;
	if (c >= 'A' && c <= 'F')
		return c - 'A' + 10;
	return -1;
}

/* Length of a well-formed sequence at s of at most n bytes, or 0. */
static size_t utf8_sequence(const unsigned char *s, size_t n)
{
	unsigned char low = 0x80, high = 0xbf;
	size_t more;

	if (s[0] < 0x80)
		return 1;
	if (s[0] >= 0xc2 && s[0] <= 0xdf)
		more = 1;
	else if (s[0] >= 0xe0 && s[0] <= 0xef)
		more = 2;
	else if (s[0] >= 0xf0 && s[0] <= 0xf4)
		more = 3;
	else
		return 0;
	/* The second byte rules out long forms, surrogates and what lies beyond U+10FFFF. */
	if (s[0] == 0xe0)
		low = 0xa0;
	else if (s[0] == 0xed)
		high = 0x9f;
	else if (s[0] == 0xf0)
		low = 0x90;
	else if (s[0] == 0xf4)
		high = 0x8f;
	if (n <= more || s[1] < low || s[1] > high)
		return 0;
	for (size_t i = 2; i <= more; i++)
		if (s[i] < 0x80 || s[i] > 0xbf)
			return 0;
	return more + 1;
}

bool utf8_is_valid(const char *text, size_t n)
{
	const unsigned char *s = (const unsigned char *)text;

	for (size_t i = 0; i < n;) {
		size_t length = utf8_sequence(s + i, n - i);

		if (length == 0)
			return false;
		i += length;
	}
	return true;
}

/* Decodes n bytes into the arena; NULL when they are not text. */
static const char *decode(struct arena *arena, const char *raw, size_t n, bool plus_is_space)
{
	char *out = arena_alloc(arena, n + 1);
	size_t length = 0;

	for (size_t i = 0; i < n; i++) {
		unsigned char c = (unsigned char)raw[i];

		if (c == '%') {
			int high = i + 2 < n ? hex(raw[i + 1]) : -1;
			int low = i + 2 < n ? hex(raw[i + 2]) : -1;

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
	return utf8_is_valid(out, length) ? out : NULL;
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
