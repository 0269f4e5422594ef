/*
 * What the writer does between requests: settles what waits, checkpoints the log, and looks whether the
 * disk has room.  In small steps, on the writer's thread, since all commits and checkpoints are its own.
 */
#ifndef WEIRBOOK_JOBS_UPKEEP_H
#define WEIRBOOK_JOBS_UPKEEP_H

#include <stdbool.h>
#include <stdint.h>

#include "book/book.h"

struct upkeep {
	struct book *book; /* the writer's; borrowed */
	const char *path;  /* of the record's file; borrowed */
	bool dirty;        /* something was written since the last checkpoint */
	bool unsettled;    /* book_settle may have work */
	bool disk_full;    /* out: less room than the floor; no entry should be taken */
	int log_pages;     /* in the log when it was last checkpointed */
	int64_t written_s; /* when a group was last written, and when the disk was last looked at */
	int64_t looked_s;
};

void upkeep_init(struct upkeep *u, struct book *book, const char *path);

/*
 * One step.  idle: no request waits; else a group was just written.  now_s: any clock that does not jump,
 * in seconds.  True while more small steps wait.
 */
bool upkeep_step(struct upkeep *u, bool idle, int64_t now_s);

/* Whether so much free space is too little; once it was, a little more must be free than before. */
bool upkeep_disk_is_full(uint64_t free_mib, bool was_full);

/* All that waits, then a last checkpoint: before the file is closed. */
void upkeep_finish(struct upkeep *u);

#endif
