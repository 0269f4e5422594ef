/* Whether an entry that comes again is the same one: docs/rules.md, "Asking, queueing,
 * repeating". */
#ifndef WEIRBOOK_BOOK_REPEAT_H
#define WEIRBOOK_BOOK_REPEAT_H

#include "book/book.h"

enum { FINGERPRINT_SIZE = 32 };

/*
 * SHA-256 over the kind and the values as validated and resolved.  Left out: what the server sets,
 * and day where at is given.  at counts as the tablet sent it, so that a better known clock offset
 * changes nothing.
 */
void repeat_fingerprint(const struct record *r, uint8_t out[FINGERPRINT_SIZE]);

/*
 * Looks for an earlier entry with r's key.  ERR_NOT_FOUND (no item): there is none.  ERR_NONE: r is
 * a repeat; *kept is the entry as it is now.  ERR_INPUT key_used: the key belongs to something
 * else.
 */
enum err_code repeat_find(struct book *b, const struct record *r,
			  const uint8_t fingerprint[FINGERPRINT_SIZE], struct arena *arena,
			  struct record **kept, struct err *err);

/*
 * For a set-up row or lot that came without a key: looks for one with its code, else its name.
 * ERR_NOT_FOUND (no item): none.  ERR_NONE: an equal one, *kept.  ERR_INPUT differs (a line for
 * each field that does, args there and given).
 */
enum err_code repeat_find_named(struct book *b, const struct record *r, struct arena *arena,
				struct record **kept, struct err *err);

#endif
