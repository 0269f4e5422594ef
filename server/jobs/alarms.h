/* Raises and clears alarms: after each group of writes for the places they touched, and by the clock. */
#ifndef WEIRBOOK_JOBS_ALARMS_H
#define WEIRBOOK_JOBS_ALARMS_H

#include <stdbool.h>
#include <stdint.h>

#include "book/book.h"

/*
 * Looks at one place that waits or is due at this time, in a transaction of its own, on the writer's thread.  True
 * while others may wait.  *changed: something was written.  A fault is logged and tried again at the next call:
 * entries are never held up by it.
 */
bool alarms_step(struct book *b, int64_t now, bool *changed);

#endif
