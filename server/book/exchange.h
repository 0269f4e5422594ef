/*
 * Rows as exchange CSV: key, the kind's fields, version; references by code, name or key; no id.
 * What is written here, book/import.h takes back.
 */
#ifndef WEIRBOOK_BOOK_EXCHANGE_H
#define WEIRBOOK_BOOK_EXCHANGE_H

#include "base/strbuf.h"
#include "book/book.h"
#include "store/record.h"

/* Appends the line of column names. */
void exchange_write_head(struct strbuf *out, const struct kind *k);

/* Appends a row; what people typed is guarded against being taken for a formula.  arena: for what
 * one row needs, to be reset by the caller. */
void exchange_write_row(struct strbuf *out, struct store *st, const struct record *r,
			struct arena *arena);

/* True for a row that stands in its kind's own file: places.csv leaves out what other files
 * carry. */
bool exchange_own_row(const struct record *r);

/* Everything of a kind, struck rows too, in an order that no id decides. */
struct list_query exchange_query(const struct kind *k);

#endif
