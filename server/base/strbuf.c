/* A growing string of bytes: see strbuf.h. */
#include "base/strbuf.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"

/* What an empty one points at.  Never written to: writing asks for room first. */
static char nothing[1];

void strbuf_init(struct strbuf *s)
{
	s->text = nothing;
	s->length = 0;
	s->room = 0;
}

void strbuf_release(struct strbuf *s)
{
	if (s->room)
		free(s->text);
	strbuf_init(s);
}

void strbuf_clear(struct strbuf *s)
{
	s->length = 0;
	if (s->room)
		s->text[0] = '\0';
}

/* Room for n more bytes and the NUL. */
static void make_room(struct strbuf *s, size_t n)
{
	if (n >= SIZE_MAX / 2 - s->length)
		abort();

	size_t need = s->length + n + 1;

	if (need <= s->room)
		return;

	size_t room = s->room ? s->room * 2 : 64;

	if (room < need)
		room = need;
	s->text = xrealloc(s->room ? s->text : NULL, room);
	s->room = room;
}

void strbuf_add(struct strbuf *s, const char *bytes, size_t n)
{
	if (n == 0)
		return;
	make_room(s, n);
	memcpy(s->text + s->length, bytes, n);
	s->length += n;
	s->text[s->length] = '\0';
}

char *strbuf_ask(struct strbuf *s, size_t n)
{
	make_room(s, n);
	return s->text + s->length;
}

void strbuf_took(struct strbuf *s, size_t n)
{
	s->length += n;
	s->text[s->length] = '\0';
}

void strbuf_adds(struct strbuf *s, const char *text)
{
	strbuf_add(s, text, strlen(text));
}

void strbuf_addc(struct strbuf *s, char c)
{
	make_room(s, 1);
	s->text[s->length++] = c;
	s->text[s->length] = '\0';
}

void strbuf_addf(struct strbuf *s, const char *format, ...)
{
	va_list args, again;

	va_start(args, format);
	va_copy(again, args);

	int n = vsnprintf(NULL, 0, format, args);

	if (n > 0) {
		make_room(s, (size_t)n);
		vsnprintf(s->text + s->length, (size_t)n + 1, format, again);
		s->length += (size_t)n;
	}
	va_end(again);
	va_end(args);
}

char *strbuf_detach(struct strbuf *s, size_t *length)
{
	if (!s->room)
		make_room(s, 0);
	s->text[s->length] = '\0';

	char *text = s->text;

	if (length)
		*length = s->length;
	strbuf_init(s);
	return text;
}
