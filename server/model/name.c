/* One form of a name: see name.h. */
#include "model/name.h"

#include <stdint.h>
#include <string.h>

enum { MARK_LEAD = 0xCC, COMPOSED_MAX = 24 };

/* What a mark makes of each base letter: Unicode character charts, U+00C0 to U+017F. */
static const struct {
	unsigned char mark; /* second byte of the mark in UTF-8; the first is MARK_LEAD */
	const char *letters;
	uint16_t composed[COMPOSED_MAX]; /* of each letter */
} marks[] = {
	{ .mark = 0x80, /* grave */
	  .letters = "AEIOUaeiou",
	  .composed = { 0xC0, 0xC8, 0xCC, 0xD2, 0xD9, 0xE0, 0xE8, 0xEC, 0xF2, 0xF9 } },
	{ .mark = 0x81, /* acute */
	  .letters = "AEIOUYaeiouyCcLlNnRrSsZz",
	  .composed = { 0xC1,  0xC9,  0xCD,  0xD3,  0xDA,  0xDD,  0xE1,  0xE9,
			0xED,  0xF3,  0xFA,  0xFD,  0x106, 0x107, 0x139, 0x13A,
			0x143, 0x144, 0x154, 0x155, 0x15A, 0x15B, 0x179, 0x17A } },
	{ .mark = 0x82, /* circumflex */
	  .letters = "AEIOUaeiouCcGgHhJjSsWwYy",
	  .composed = { 0xC2,  0xCA,  0xCE,  0xD4,  0xDB,  0xE2,  0xEA,  0xEE,
			0xF4,  0xFB,  0x108, 0x109, 0x11C, 0x11D, 0x124, 0x125,
			0x134, 0x135, 0x15C, 0x15D, 0x174, 0x175, 0x176, 0x177 } },
	{ .mark = 0x83, /* tilde */
	  .letters = "ANOanoIiUu",
	  .composed = { 0xC3, 0xD1, 0xD5, 0xE3, 0xF1, 0xF5, 0x128, 0x129, 0x168, 0x169 } },
	{ .mark = 0x84, /* macron */
	  .letters = "AaEeIiOoUu",
	  .composed = { 0x100, 0x101, 0x112, 0x113, 0x12A, 0x12B, 0x14C, 0x14D, 0x16A, 0x16B } },
	{ .mark = 0x86, /* breve */
	  .letters = "AaEeGgIiOoUu",
	  .composed = { 0x102, 0x103, 0x114, 0x115, 0x11E, 0x11F, 0x12C, 0x12D, 0x14E, 0x14F, 0x16C,
			0x16D } },
	{ .mark = 0x87, /* dot above */
	  .letters = "CcEeGgIZz",
	  .composed = { 0x10A, 0x10B, 0x116, 0x117, 0x120, 0x121, 0x130, 0x17B, 0x17C } },
	{ .mark = 0x88, /* diaeresis */
	  .letters = "AEIOUaeiouyY",
	  .composed = { 0xC4, 0xCB, 0xCF, 0xD6, 0xDC, 0xE4, 0xEB, 0xEF, 0xF6, 0xFC, 0xFF, 0x178 } },
	{ .mark = 0x8A, /* ring above */
	  .letters = "AaUu",
	  .composed = { 0xC5, 0xE5, 0x16E, 0x16F } },
	{ .mark = 0x8B, /* double acute */
	  .letters = "OoUu",
	  .composed = { 0x150, 0x151, 0x170, 0x171 } },
	{ .mark = 0x8C, /* caron */
	  .letters = "CcDdEeLlNnRrSsTtZz",
	  .composed = { 0x10C, 0x10D, 0x10E, 0x10F, 0x11A, 0x11B, 0x13D, 0x13E, 0x147, 0x148, 0x158,
			0x159, 0x160, 0x161, 0x164, 0x165, 0x17D, 0x17E } },
	{ .mark = 0xA7, /* cedilla */
	  .letters = "CcGgKkLlNnRrSsTt",
	  .composed = { 0xC7, 0xE7, 0x122, 0x123, 0x136, 0x137, 0x13B, 0x13C, 0x145, 0x146, 0x156,
			0x157, 0x15E, 0x15F, 0x162, 0x163 } },
	{ .mark = 0xA8, /* ogonek */
	  .letters = "AaEeIiUu",
	  .composed = { 0x104, 0x105, 0x118, 0x119, 0x12E, 0x12F, 0x172, 0x173 } },
};

/* The character that letter and mark make together, or 0. */
static unsigned compose(char letter, unsigned char mark)
{
	for (size_t i = 0; i < sizeof(marks) / sizeof(marks[0]); i++) {
		const char *at = marks[i].mark == mark ? strchr(marks[i].letters, letter) : NULL;

		if (at && letter)
			return marks[i].composed[at - marks[i].letters];
	}
	return 0;
}

const char *name_canonical(const char *text, struct arena *arena)
{
	char *out = arena_alloc(arena, strlen(text) + 1); /* never grows */
	size_t n = 0;

	for (const char *p = text; *p; p++) {
		unsigned c;

		if (*p == ' ' && (n == 0 || out[n - 1] == ' '))
			continue;
		c = (unsigned char)p[1] == MARK_LEAD ? compose(p[0], (unsigned char)p[2]) : 0;
		if (c == 0) {
			out[n++] = *p;
			continue;
		}
		out[n++] = (char)(0xC0 | c >> 6);
		out[n++] = (char)(0x80 | (c & 0x3F));
		p += 2;
	}
	if (n > 0 && out[n - 1] == ' ')
		n--;
	out[n] = '\0';
	return strcmp(out, text) == 0 ? text : out;
}
