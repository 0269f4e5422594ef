/* Inside the fish replay: what an entry does to the cells. */
#ifndef WEIRBOOK_BOOK_FISH_ACTS_H
#define WEIRBOOK_BOOK_FISH_ACTS_H

#include "book/fish_pass.h"

/* Lets one entry, which is that of p->event, act on its cells.  Sets p->moved_event where it stands in a wrong place. */
void fish_act(struct fish_pass *p, struct fish_event *e);

/* A move (FISH_MOVED): between cells, from outside, or out of the book. */
void fish_move(struct fish_pass *p, const struct fish_event *e);

#endif
