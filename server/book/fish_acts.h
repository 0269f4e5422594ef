/* Inside the fish replay: what an entry does to the cells. */
#ifndef WEIRBOOK_BOOK_FISH_ACTS_H
#define WEIRBOOK_BOOK_FISH_ACTS_H

#include "book/fish_pass.h"

/* Lets entry e, which is that of p->event, act on its cells.  One that stands in a wrong place is
 * put right in the world's events instead, and p->moved_event says that the pass is void. */
void fish_act(struct fish_pass *p, const struct fish_event *e);

/* A move (FISH_MOVED): between cells, from outside, or out of the book. */
void fish_move(struct fish_pass *p, const struct fish_event *e);

#endif
