/* Which fish lots must be replayed together: those that were in one tank at one time, or were
 * merged. */
#ifndef WEIRBOOK_BOOK_FISH_GROUP_H
#define WEIRBOOK_BOOK_FISH_GROUP_H

#include "base/id_set.h"
#include "book/book.h"

/*
 * Adds to lots every lot that shares a tank or a merge with one of them, and so on.  What
 * fish_cells says of lots that are not dirty is taken as it stands; a dirty lot is taken to have
 * been in each of its tanks from its first entry on.
 */
enum err_code fish_group_close(struct book *b, struct id_set *lots, struct arena *arena,
			       struct err *err);

/* The lots whose kept rows no longer hold. */
enum err_code fish_dirty_lots(struct book *b, struct arena *arena, struct id_set *out,
			      struct err *err);

#endif
