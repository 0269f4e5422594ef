/* What the writer does between requests.  When it is called is left to http/. */
#include "jobs/upkeep.h"

#include <sys/statvfs.h>

#include "base/log.h"

enum {
	LOG_PAGES = 1024,           /* 4 MiB: checkpoint even while requests keep coming */
	QUIET_S = 5,                /* without a write: checkpoint what there is */
	LOOK_S = 5,                 /* between looks at the disk */
	FLOOR_MIB = 64,             /* free space below which no entry is taken */
	ENOUGH_MIB = FLOOR_MIB + 16 /* and from which they are taken again */
};

void upkeep_init(struct upkeep *u, struct book *book, const char *path)
{
	/* A file that was not closed well may have a log and unsettled lots. */
	*u = (struct upkeep){ .book = book, .path = path, .dirty = true, .unsettled = true };
}

static void checkpoint(struct upkeep *u)
{
	u->log_pages = store_log_pages(book_store(u->book));
	store_checkpoint(book_store(u->book));
	u->dirty = false;
}

/* The log begins anew after a checkpoint that no reader hindered; else it has grown since. */
static bool log_is_long(struct upkeep *u)
{
	int pages = store_log_pages(book_store(u->book));

	if (pages < u->log_pages)
		u->log_pages = 0;
	return pages - u->log_pages >= LOG_PAGES;
}

bool upkeep_disk_is_full(uint64_t free_mib, bool was_full)
{
	return free_mib < (was_full ? ENOUGH_MIB : FLOOR_MIB);
}

static void look_at_disk(struct upkeep *u, int64_t now_s)
{
	struct statvfs disk;
	uint64_t free_mib;
	bool full;

	u->looked_s = now_s;
	if (statvfs(u->path, &disk) != 0)
		return;
	free_mib = (uint64_t)disk.f_bavail * disk.f_frsize / (1024 * 1024);
	full = upkeep_disk_is_full(free_mib, u->disk_full) || (disk.f_flag & ST_RDONLY) != 0;
	if (full && !u->disk_full)
		log_line("%d MiB are free on the disk, or it cannot be written: no entry is taken "
			 "until there is room",
			 (int)free_mib);
	else if (!full && u->disk_full)
		log_line("%d MiB are free on the disk again: entries are taken", (int)free_mib);
	u->disk_full = full;
}

bool upkeep_step(struct upkeep *u, bool idle, int64_t now_s)
{
	if (!idle) {
		u->dirty = u->unsettled = true;
		u->written_s = now_s;
		if (log_is_long(u))
			checkpoint(u);
	} else if (u->unsettled) {
		u->unsettled = book_settle(u->book);
		u->dirty = true;
	} else if (u->dirty && now_s - u->written_s >= QUIET_S) {
		checkpoint(u);
	}
	if (now_s - u->looked_s >= LOOK_S || u->looked_s == 0)
		look_at_disk(u, now_s);
	return u->unsettled;
}

void upkeep_finish(struct upkeep *u)
{
	while (book_settle(u->book))
		;
	checkpoint(u);
}
