/* After an import: the slips that its rows show once all of them are there. */
#include "book/book.h"
#include "book/inside.h"
#include "book/rules.h"
#include "store/record.h"

enum err_code book_look_over(struct book *b, const struct kind *k, int64_t id,
			     const struct hand *hand, struct arena *arena, bool *looks,
			     struct err *err)
{
	struct record *row;
	bool changed = false;
	enum err_code rc = store_get(b->store, k, id, arena, &row, err);

	if (!rc)
		rc = rules_look_over(b, row, hand, arena, &changed, err);
	/* The version stays: nobody has read the row yet. */
	if (!rc && changed)
		rc = store_update(b->store, row, err);
	if (!rc)
		*looks = kind_has_time(k) && record_has(row, "look");
	return rc;
}
