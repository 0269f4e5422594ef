/* After an import: the slips that its rows show once all of them are there. */
#include "book/book.h"
#include "book/inside.h"
#include "book/rules.h"
#include "store/record.h"

enum err_code book_look_over(struct book *b, struct record *row, const struct hand *hand,
			     struct arena *arena, bool *looks, struct err *err)
{
	bool changed = false;
	enum err_code rc = rules_look_over(b, row, hand, arena, &changed, err);

	/* The version stays: nobody has read the row yet. */
	if (!rc && changed)
		rc = store_update(b->store, row, err);
	if (!rc)
		*looks = kind_has_time(row->kind) && record_has(row, "look");
	return rc;
}
