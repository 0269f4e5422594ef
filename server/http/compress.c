/* gzip of answers.  Whether to pack at all is left to reply.c. */
#include "http/compress.h"

#include <stdint.h>
#include <stdlib.h>
#include <zlib.h>

#include "base/arena.h"

enum { GZIP_WINDOW = 15 + 16 }; /* zlib: window bits, with the gzip wrapper */

char *compress_pack(const char *bytes, size_t n, size_t *packed)
{
	z_stream z = { .next_in = (z_const Bytef *)(uintptr_t)bytes, .avail_in = (uInt)n };
	size_t room;
	char *out;

	if (n > UINT32_MAX ||
	    deflateInit2(&z, 1, Z_DEFLATED, GZIP_WINDOW, 8, Z_DEFAULT_STRATEGY) != Z_OK)
		abort();
	room = deflateBound(&z, (uLong)n);
	out = xmalloc(room);
	z.next_out = (Bytef *)out;
	z.avail_out = (uInt)room;
	if (deflate(&z, Z_FINISH) != Z_STREAM_END)
		abort(); /* deflateBound said it fits */
	*packed = room - z.avail_out;
	deflateEnd(&z);
	return out;
}

/* A gzip file ends with its length before packing, least byte first (RFC 1952). */
static size_t length_in_trailer(const unsigned char *gzip, size_t n)
{
	const unsigned char *t = gzip + n - 4;

	return (size_t)t[0] | (size_t)t[1] << 8 | (size_t)t[2] << 16 | (size_t)t[3] << 24;
}

char *compress_unpack(const unsigned char *gzip, size_t n, size_t *length)
{
	size_t room = length_in_trailer(gzip, n);
	char *out = xmalloc(room + 1);
	z_stream z = { .next_in = (z_const Bytef *)(uintptr_t)gzip,
		       .avail_in = (uInt)n,
		       .next_out = (Bytef *)out,
		       .avail_out = (uInt)room + 1 };

	if (inflateInit2(&z, GZIP_WINDOW) != Z_OK || inflate(&z, Z_FINISH) != Z_STREAM_END)
		abort(); /* built in: our own mistake */
	inflateEnd(&z);
	*length = room;
	return out;
}
