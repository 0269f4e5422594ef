/* The clock that never jumps, for waits and deadlines.  What time it is on the wall is an argument
 * everywhere. */
#ifndef WEIRBOOK_BASE_CLOCK_H
#define WEIRBOOK_BASE_CLOCK_H

#include <stdint.h>

/* Milliseconds since some instant of this boot; only differences mean anything. */
int64_t clock_steady_ms(void);

#endif
