/* The Accept header: see accept.h.  What cannot be read in it counts as not said. */
#include "api/accept.h"

#include <stddef.h>
#include <string.h>
#include <strings.h>

/* 3: the type itself, 2: its family ("text/" and a star), 1: anything, 0: something else. */
static int exactness(const char *range, size_t n, const char *type)
{
	const size_t family = strcspn(type, "/") + 1;

	if (n == strlen(type) && !strncasecmp(range, type, n))
		return 3;
	if (n == family + 1 && range[family] == '*' && !strncasecmp(range, type, family))
		return 2;
	return n == 3 && !strncmp(range, "*/*", 3);
}

/* Digits of "0.8" as thousandths. */
static int read_thousandths(const char *p)
{
	int value = *p == '1' ? 1000 : 0;

	if ((*p != '0' && *p != '1') || p[1] != '.')
		return value;
	p += 2;
	for (int unit = 100; unit && *p >= '0' && *p <= '9'; unit /= 10)
		value += (*p++ - '0') * unit;
	return value < 1000 ? value : 1000;
}

/* The q of one range's parameters, which end at its comma. */
static int read_q(const char *p)
{
	while (*p && *p != ',') {
		p += strspn(p, "; \t");
		if (!strncasecmp(p, "q=", 2))
			return read_thousandths(p + 2);
		p += strcspn(p, ";,");
	}
	return 1000;
}

/* How much a header wants a media type, 0 to 1000 thousandths; its most exact range counts.  NULL:
 * 1000. */
static int accept_quality(const char *header, const char *type)
{
	int best = 0, quality = 0;

	if (!header)
		return 1000;
	for (const char *p = header; *p; p += strcspn(p, ",")) {
		size_t n;
		int exact;

		p += strspn(p, ", \t");
		n = strcspn(p, ";, \t");
		exact = exactness(p, n, type);
		if (exact > best) {
			best = exact;
			quality = read_q(p + n);
		}
	}
	return quality;
}

bool accept_prefers_csv(const char *header)
{
	return header &&
	       accept_quality(header, "text/csv") > accept_quality(header, "application/json");
}

bool media_type_is(const char *type, const char *media)
{
	const size_t n = strlen(media);

	if (!type || strncasecmp(type, media, n) != 0)
		return false;
	type += n;
	type += strspn(type, " \t");
	return !*type || *type == ';';
}
