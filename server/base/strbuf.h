/* A growing string of bytes.  Always followed by a NUL that is not counted. */
#ifndef WEIRBOOK_BASE_STRBUF_H
#define WEIRBOOK_BASE_STRBUF_H

#include <stddef.h>
#include <stdint.h>

struct strbuf {
	char *text; /* owned; "" (not owned) while empty */
	size_t length;
	size_t room;
};

void strbuf_init(struct strbuf *s);
/* Frees the text; s is empty and usable afterwards. */
void strbuf_release(struct strbuf *s);
void strbuf_clear(struct strbuf *s); /* keeps the room */
void strbuf_add(struct strbuf *s, const char *bytes, size_t n);
/* Room for n bytes at the end, to be written at once and then counted with strbuf_took. */
char *strbuf_ask(struct strbuf *s, size_t n);
void strbuf_took(struct strbuf *s, size_t n);
void strbuf_adds(struct strbuf *s, const char *text);
void strbuf_addc(struct strbuf *s, char c);
void strbuf_addf(struct strbuf *s, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Gives the text away; the caller frees it.  s is empty afterwards. */
char *strbuf_detach(struct strbuf *s, size_t *length);

#endif
