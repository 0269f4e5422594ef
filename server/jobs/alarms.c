/* Raises and clears alarms between requests: see alarms.h.  What an alarm is, book/alarms.c says. */
#include "jobs/alarms.h"

#include "base/log.h"
#include "book/alarms.h"

bool alarms_step(struct book *b, int64_t now, bool *changed)
{
	struct store *st = book_store(b);
	bool waits = false;
	struct err err;

	err_clear(&err);
	*changed = false;
	enum err_code rc = alarms_wait(b, now, &waits, &err);
	if (!rc && !waits)
		return false;
	if (!rc)
		rc = store_begin(st, &err);
	if (!rc) {
		rc = alarms_look(b, now, &err);
		if (!rc)
			rc = store_commit(st, &err);
		if (rc)
			store_rollback(st);
	}
	if (rc)
		log_line("alarms: %s",
			 err.n_items ? err.items[0].message : "a place could not be looked at");
	*changed = !rc;
	return !rc;
}
