/* The JSON object in changes.before: written from two versions of a row, and read back. */
#ifndef WEIRBOOK_BOOK_BEFORE_H
#define WEIRBOOK_BOOK_BEFORE_H

#include "base/strbuf.h"
#include "book/book.h"

/*
 * Appends {"field":value, ...} of the fields in which before and after differ, values as before had
 * them: as the API writes them, but references by key.  null: was not given.
 */
enum err_code before_write(struct book *b, const struct record *before, const struct record *after,
			   struct arena *arena, struct strbuf *out, struct err *err);

/* Puts the values of such an object into r; fields that r's kind no longer has are passed over.
 * Texts are the arena's. ERR_INTERNAL bad_history when the text is not such an object, or names a
 * row that is not there. */
enum err_code before_read(struct book *b, const char *json, struct record *r, struct arena *arena,
			  struct err *err);

#endif
