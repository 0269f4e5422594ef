/* Which of two whole numbers, or instants, comes first. */
#ifndef WEIRBOOK_BASE_ORDER_H
#define WEIRBOOK_BASE_ORDER_H

#include <stdint.h>

/* The later, and the sooner, of two instants or days (Unix seconds, or days since 1970-01-01). */
int64_t later_of(int64_t a, int64_t b);
int64_t sooner_of(int64_t a, int64_t b);

/* Compares the int64_t that two pointers lead to, ascending; for qsort and bsearch. */
int order_int64(const void *a, const void *b);

#endif
