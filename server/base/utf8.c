/* Which bytes are UTF-8 text: see utf8.h. */
#include "base/utf8.h"

size_t utf8_size(const char *bytes, size_t n)
{
	const unsigned char *p = (const unsigned char *)bytes;
	unsigned char low = 0x80, high = 0xBF; /* of the second byte */
	size_t size;

	if (n == 0 || p[0] == 0)
		return 0;
	if (p[0] < 0x80)
		return 1;
	if (p[0] < 0xC2 || p[0] > 0xF4)
		return 0;
	size = p[0] < 0xE0 ? 2 : p[0] < 0xF0 ? 3 : 4;
	if (p[0] == 0xE0)
		low = 0xA0; /* else it could have been shorter */
	if (p[0] == 0xED)
		high = 0x9F; /* surrogates */
	if (p[0] == 0xF0)
		low = 0x90;
	if (p[0] == 0xF4)
		high = 0x8F; /* beyond U+10FFFF */
	if (n < size || p[1] < low || p[1] > high)
		return 0;
	for (size_t i = 2; i < size; i++)
		if ((p[i] & 0xC0) != 0x80)
			return 0;
	return size;
}

bool utf8_valid(const char *bytes, size_t n)
{
	size_t at = 0;

	while (at < n) {
		size_t size = utf8_size(bytes + at, n - at);

		if (size == 0)
			return false;
		at += size;
	}
	return true;
}
