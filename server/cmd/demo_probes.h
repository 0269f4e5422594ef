/* The demo's probes go on telling while it is served: each quarter of an hour what they told a week before. */
#ifndef WEIRBOOK_CMD_DEMO_PROBES_H
#define WEIRBOOK_CMD_DEMO_PROBES_H

#include <stdbool.h>
#include <stdint.h>

#include "book/book.h"

enum { DEMO_PROBE_STEP_S = 900 };

/*
 * Brings the probes of the demo that live up to now (Unix seconds), in a transaction of its own, on the writer's
 * thread: for each quarter of an hour since its newest reading the value of the same time one week before, or as
 * many weeks before as it takes to meet a reading.  The probe that went silent stays so.  *told: the quarter that was
 * seen to last, 0 at first; nothing is done twice for one.  True when something was written.  A fault is logged.
 */
bool demo_probes_step(struct book *b, int64_t now, int64_t *told);

#endif
